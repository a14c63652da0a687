"""Every page of the desk, for a walk: each visit shows one page in every state that it has.

A visit is made with a `Guide` and yields the page each time another state stands on it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.debrief.page import DebriefPage
from observe.desk.defect import DefectWindow
from observe.desk.frame import Frame
from observe.desk.live.interruptions import away
from observe.desk.live.model import LiveModel
from observe.desk.live.page import LivePage
from observe.desk.rating.page import RatingPage
from observe.desk.settings.keeper import SettingsKeeper
from observe.desk.settings.page import SettingsPage
from observe.desk.sharing.learner import LearnerScreen
from observe.desk.sharing.switch import SwitchPanel, Watcher
from observe.desk.start import ObserverLine, StartPage, WorkshopLine
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.observation import Role
from observe.domain.troubles import Refused, Surroundings
from observe.work.learner_screen import open_own, open_peer
from observe.work.pins import Pins
from observe.work.session import Session
from tests.desk.people import HandClock, ready_to_seal, work_through

FULL = Surroundings(
    "The disk is full: nothing more can be kept.",
    where="/media/tablet/observe/tarn-valley/logbook.observe",
    remedy="Free some space on this disk; what was marked so far is safe.",
)
MARKED = Refused(
    "A learner with marks cannot be noted as not here.",
    remedy="Take the marks back, or move them to the learner who earned them.",
)
WARNING = "The battery has 9 minutes left: plug the tablet in, or hand over."


@dataclass
class Guide:
    """What a visit needs. wide, high: px of the window; names: of the learners."""

    skin: Skin
    keeper: SettingsKeeper
    clock: HandClock
    qtbot: QtBot
    pins: Pins
    wide: int
    high: int
    seats: int
    names: tuple[str, ...]
    make_model: Callable[..., LiveModel]

    @cached_property
    def model(self) -> LiveModel:
        """A room where something of every kind was marked."""
        made = self.make_model(self.seats, names=self.names, observers=self.observers, looks=1)
        work_through(made, self.clock)
        return made

    @property
    def observers(self) -> tuple[str, str]:
        return self.names[1], self.names[0]

    def hold(self, page: QWidget) -> None:
        self.qtbot.addWidget(page)

    def live(self) -> LivePage:
        page = LivePage(self.skin, self.model)
        self.hold(page)
        page.resize(self.wide, self.high)
        page.show()
        page._timer.stop()
        return page


Visit = Callable[[Guide], Iterator[QWidget]]


def in_frame(guide: Guide, page: QWidget) -> Frame:
    """A page in the window, with bar and status line."""
    frame = Frame(guide.skin)
    guide.hold(frame)
    title = "Lumbar puncture and device placement, skills afternoon, 14 March 2026"
    frame.bar.show_screens(("Live", "Debrief"), "Live", title, "formative · form LPX 1.0")
    frame.status.say(
        f"All on this disk: {FULL.where}", "Tarn Valley Teaching Hospital", guide.names[1]
    )
    frame.resize(guide.wide, guide.high)
    frame.show_page(page, whole=False)
    return frame


def start(guide: Guide) -> Iterator[QWidget]:
    page = StartPage(guide.skin)
    frame = in_frame(guide, page)
    yield frame
    page.show_lines(())
    yield frame
    observers = (*guide.names[:3], "Dr Quill")
    lines = tuple(
        WorkshopLine(
            id=f"w-{number}",
            title=f"Lumbar puncture, skills afternoon number {number}",
            when="14 September 2026",
            about=f"formative · {guide.seats} learners, 2 absent · 2 rooms",
            form="Lumbar puncture and Device placement, forms LPX 1.0 and IUP 1.0 · "
            "Tarn Valley Teaching Hospital",
            seats=tuple(
                (seat, f"{name}, absent" if seat == 2 else name)
                for seat, name in enumerate(guide.names[: guide.seats], start=1)
            ),
            observers=tuple(
                ObserverLine(f"o-{n}", name, 12 - n * (n > 2) * 4, 3)
                for n, name in enumerate(observers)
            ),
        )
        for number in range(1, 5)
    )
    page.show_lines(lines)
    yield frame
    frame.trouble.tell(FULL, (("Try again", frame.lay_out), ("Not now", frame.lay_out)))
    frame.lay_out()
    yield frame


def settings(guide: Guide) -> Iterator[QWidget]:
    page = SettingsPage(guide.skin, guide.keeper)
    guide.hold(page)
    yield page
    page._tell(FULL)
    yield page


def switch(guide: Guide) -> Iterator[QWidget]:
    people = [Watcher(f"o-{n}", name, 12) for n, name in enumerate(guide.names[:8], start=1)]
    page = SwitchPanel(guide.skin, guide.pins, people, now="o-1")
    guide.hold(page)
    yield page
    page._choose(people[1])
    yield page
    guide.pins.choose("o-2", "2718", "2718")
    page._choose(people[1])
    page.pad.refuse("That is not the PIN. Wait 300 seconds.")
    yield page
    page._forgotten()
    yield page
    guide.pins.choose("o-3", "2718", "2718")
    page._choose(people[1])
    page._forgotten()
    yield page
    page._vouch(people[2])
    yield page
    page._tell(FULL)
    yield page


def _screens(guide: Guide, session: Session) -> Iterator[QWidget]:
    page = LearnerScreen(
        guide.skin,
        session,
        guide.pins,
        name=guide.names[0],
        observer="o-1",
        seconds=guide.clock.now,
    )
    guide.hold(page)
    whole = session.state.role is Role.SELF
    for place in range(len(page.pages)) if whole else (0, len(page.pages) - 1):
        page.at = place
        page.refresh()
        yield page
    page._finish()
    yield page
    page.lock()
    yield page
    guide.pins.choose("o-1", "2718", "2718")
    page.lock()
    yield page


def own_screen(guide: Guide) -> Iterator[QWidget]:
    room = guide.model.room
    yield from _screens(guide, open_own(room.logbook, room.workshop, room.workshop.seats[0]))


def peer_screen(guide: Guide) -> Iterator[QWidget]:
    room = guide.model.room
    first, second = room.workshop.seats[0], room.workshop.seats[-1]
    if first is not second:
        session = open_peer(room.logbook, room.workshop, first, second.learner)
        yield from _screens(guide, session)


def rating(guide: Guide) -> Iterator[QWidget]:
    page = RatingPage(guide.skin, guide.model, guide.seats - 1)
    guide.hold(page)
    for place in range(len(page.sections)):
        page.open_section(place)
        yield page
    dimensions = guide.model.state(0).ground.form.dimensions
    for one in dimensions[:3]:
        guide.model.rate(guide.seats - 1, gestures.rate_dimension, one.id, 4)
    page.open_section(1)
    yield page
    guide.model.trouble = FULL
    page.open_section(len(page.sections) - 1)
    yield page
    guide.model.trouble = None


def debrief(guide: Guide) -> Iterator[QWidget]:
    sealed = range(0, guide.seats, 2)
    for seat in sealed:
        ready_to_seal(guide.model, seat)
        guide.model.do(seat, gestures.seal)
    page = DebriefPage(guide.skin, guide.model, 0, lambda _: True)
    frame = in_frame(guide, page)
    yield frame
    for line in page.decision.lines:
        page.decision.opened.emit(line)
        yield frame
    page.decision.opened.emit(page.decision.lines[-1])
    page._tell("The signed sheet is /media/tablet/observe/sheets/lumbar-puncture-0001.pdf")
    yield frame
    if guide.seats > 1:
        page.choose(1)
        yield frame
        page.choose(guide.seats - 1)
        yield frame


def defect(guide: Guide) -> Iterator[QWidget]:
    page = DefectWindow(guide.skin)
    guide.hold(page)
    page.tell("ZeroDivisionError", "/media/tablet/share/observe/defects/2026-03-14.txt")
    page.tell("ZeroDivisionError", "/media/tablet/share/observe/defects/2026-03-14.txt")
    yield page


# over the seats of Live


def wipe(guide: Guide) -> Iterator[QWidget]:
    live = guide.live()
    live.wipe()
    yield live


def together(guide: Guide) -> Iterator[QWidget]:
    live = guide.live()
    live.toggle_together()
    yield live
    if live.together is not None:
        live.together.turn(30)
        live.together.take_in_all()
    yield live


def arrange(guide: Guide) -> Iterator[QWidget]:
    live = guide.live()
    live.toggle_arranging()
    view = live.arranging
    if view is None:
        return
    yield live
    view.press(0)
    yield live
    view.ask_place()
    yield live
    live.questions.close_it()
    view.ask_late()
    yield live
    live.questions.close_it()
    view._refuse(MARKED)
    view.refresh()
    yield live


def room(guide: Guide) -> Iterator[QWidget]:
    live = guide.live()
    deeds = live.room_deeds
    for ask in (live.toggle_room, deeds.hand_over, deeds.note_incident, deeds.ask_whose_paper):
        ask()
        yield live
    deeds._ask_when("o-1")
    yield live
    deeds._hand_over("o-2")
    yield live
    live.questions.close_it()


def learner(guide: Guide) -> Iterator[QWidget]:
    live = guide.live()
    deeds, seat = live.learner_deeds, guide.seats - 1
    guide.model.look(seat)
    live.ask_for_more(seat)
    yield live
    state = guide.model.state(seat)
    longest = max(state.steps, key=lambda step: sum(map(len, step.errors)))
    deeds.words(seat, longest.id)
    yield live
    for ask in (deeds.note, deeds.wrong, deeds.variant, deeds.time_up, deeds.whose_screen):
        ask(seat)
        yield live
    deeds.to_whom(seat, 1)
    yield live
    live.questions.close_it()


def critical(guide: Guide) -> Iterator[QWidget]:
    """The well asks which critical item it was, and what became of it."""
    live = guide.live()
    for seat in {0, guide.seats - 1}:
        guide.model.look(seat)
        yield live
        guide.model.critical(seat)
        yield live
        named = guide.model.state(seat).occurrences[-1].id
        guide.model.do(seat, gestures.name_critical, named, "LPX-C2")
        yield live


def alone(guide: Guide) -> Iterator[QWidget]:
    live = guide.live()
    live.show_alone(guide.seats - 1)
    yield live


def grid(guide: Guide) -> Iterator[QWidget]:
    live = guide.live()
    live.show_grid()
    yield live
    guide.model.look(guide.seats - 1)
    yield live


def keys(guide: Guide) -> Iterator[QWidget]:
    live = guide.live()
    live.toggle_keys_table()
    yield live


def note(guide: Guide) -> Iterator[QWidget]:
    live = guide.live()
    model = guide.model
    for seconds in (102, 7380):
        model.away = away([one.state for one in model.sessions], seconds)
        live.refresh()
        yield live
    live.show_grid()
    yield live


def bar(guide: Guide) -> Iterator[QWidget]:
    """A warning, the lamp, a stop, a refusal, the shield, and at last a full disk."""
    live = guide.live()
    model = guide.model
    live.bar.warn(WARNING)
    live.shown.light(guide.seats - 1)
    yield live
    model.do(0, gestures.stop_for_safety)
    model.look(0)
    yield live
    live.strike("Shield")
    yield live
    live.strike("Shield")
    model.trouble = FULL
    model.trouble_changed.emit()
    yield live
    model.trouble = None


VISITS: Mapping[str, Visit] = MappingProxyType(
    {
        "start": start,
        "settings": settings,
        "switch": switch,
        "own": own_screen,
        "peer": peer_screen,
        "rating": rating,
        "debrief": debrief,
        "defect": defect,
        "wipe": wipe,
        "together": together,
        "arrange": arrange,
        "room": room,
        "learner": learner,
        "critical": critical,
        "alone": alone,
        "grid": grid,
        "keys": keys,
        "note": note,
        "bar": bar,
    }
)
