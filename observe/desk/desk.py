"""The desk: which page is open, on which logbook; it joins pages and use cases."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QWidget

from observe.desk.defect import DefectWindow
from observe.desk.frame import Frame
from observe.desk.live.debounce import Debounce
from observe.desk.settings.keeper import SettingsKeeper
from observe.desk.start import ObserverLine, StartPage, WorkshopLine
from observe.desk.tablet import Tablet
from observe.desk.theme import Skin, dots_per_inch
from observe.domain.troubles import Trouble
from observe.work.settings import default_path

if TYPE_CHECKING:
    from observe.desk.live.model import LiveModel
    from observe.desk.live.page import LivePage
    from observe.domain.workshop import Workshop
    from observe.work.logbooks import Logbook
    from observe.work.session import Room

FIRST_SIZE = (1280, 800)
AGAIN_S = 2.0
"""How long a second press on "plan the same again" counts as the same one."""
LIVE, DEBRIEF, REVIEW, RECORDS = "Live", "Debrief", "Review", "Records"


class Desk(QObject):
    """One window on one logbook. What the first paint does not need is loaded after it."""

    def __init__(self, skin: Skin, path: Path | None) -> None:
        super().__init__()
        self.skin, self.path = skin, path
        self.keeper = SettingsKeeper(skin, default_path(), self)
        self._unread = self.keeper.load()
        self.keeper.changed.connect(self._settings_changed)
        self.frame = Frame(skin)
        QApplication.setPalette(skin.palette())
        self.start = StartPage(skin)
        self.start.opened.connect(self.ask_to_enter)
        self.start.demonstrate.connect(self.make_demonstration)
        self.start.again.connect(self.plan_again)
        self.frame.bar.chosen.connect(self.choose)
        self.frame.bar.settings.connect(self.show_settings)
        self.logbook: Logbook | None = None
        self.model: LiveModel | None = None
        self.live: LivePage | None = None
        self.tablet = Tablet(skin, self.frame, self)
        self.tablet.let_in.connect(self.enter)
        self.tablet.left.connect(self._nobody_entered)
        self.tablet.returned.connect(self.show_live)
        self.tablet.warned.connect(self._warn)
        self._passing: QWidget | None = None
        self._again = Debounce(time.monotonic)
        self._defect: DefectWindow | None = None
        self._show_start()

    def show(self) -> None:
        """Show the window, filling a small screen."""
        screen = QGuiApplication.primaryScreen().availableGeometry()
        self.frame.resize(*FIRST_SIZE)
        if screen.width() <= FIRST_SIZE[0] or screen.height() <= FIRST_SIZE[1]:
            self.frame.showMaximized()
        else:
            self.frame.show()
        handle = self.frame.windowHandle()
        if handle is not None:
            handle.screenChanged.connect(self._fit_screen)

    def _fit_screen(self) -> None:
        self.skin.set_screen(dots_per_inch(self.frame.screen()))
        self.frame.lay_out()
        if self.live is not None:
            self.live.arrange()
        self.skin.changed.emit()

    # the logbook

    def open_logbook(self) -> None:
        """Open the logbook, just after the first paint."""
        from observe.work.logbooks import default_path, open_logbook

        path = (self.path or default_path()).absolute()
        try:
            self.logbook = open_logbook(path, create=self.path is None)
        except Trouble as trouble:
            self.start.wait("The logbook is not open.")
            self._tell(trouble, ("Try again", self.open_logbook))
            return
        self.frame.trouble.clear()
        self.tablet.take_up(self.logbook)
        self._show_start()
        unread, self._unread = self._unread, None
        if unread is not None:
            self._tell(unread, ("Not now", self._not_now))

    def close(self) -> None:
        """Close the window, which keeps what was typed in it, and then the logbook."""
        self.frame.close()
        self._retire()
        self.close_logbook()

    def close_logbook(self) -> None:
        """Close the logbook that is open, if one is."""
        if self.logbook is not None:
            self.tablet.put_down()
            self.logbook.close()
            self.logbook = None

    def make_demonstration(self) -> None:
        """Make the demonstration beside the person's own logbook, and open it."""
        from observe import places
        from observe.work.demo.run import demonstrate
        from observe.work.logbooks import NAME

        folder = places.data() / "demonstration"
        self.start.wait("Making the demonstration. It takes a few seconds …")
        self.start.repaint()
        try:
            if not (folder / NAME).is_file():
                demonstrate(folder, tick=self._tick)
        except Trouble as trouble:
            self._show_start()
            self._tell(trouble, ("Not now", self._not_now))
            return
        self.close_logbook()
        self.path = folder / NAME
        self.open_logbook()

    def plan_again(self, workshop: str) -> None:
        """Plan the next attempt of a workshop's learners, and show it first."""
        from observe.work.again import plan_again

        if self.logbook is None or not self._again.lets("again"):
            return
        self._again.hold("again", AGAIN_S)
        try:
            plan_again(self.logbook, self.logbook.workshop(workshop))
        except Trouble as trouble:
            self._tell(trouble, ("Not now", self._not_now))
            return
        self.start.chosen = 0
        self._show_start()

    def _tick(self, done: int, total: int) -> None:
        self.start.wait(f"Making the demonstration: {done} of {total} …")
        self.start.repaint()

    # pages

    def choose(self, screen: str) -> None:
        """Go to the screen whose word was pressed."""
        if screen == RECORDS:
            self.show_records()
        elif screen == REVIEW:
            self.show_review()
        elif self.model is None:
            self._show_start()
        elif screen == DEBRIEF:
            self.show_debrief(self.model.front)
        elif self.frame.page is self.start:
            self._show_start()
        else:
            self.show_live()

    def _show_passing(self, page: QWidget) -> None:
        """Take leave of the rating or debrief that was shown before this one."""
        self._retire()
        self._passing = page

    def _retire(self) -> None:
        if self._passing is not None:
            self._passing.close()  # It stops what it does beside the window.
            self._passing.deleteLater()
            self._passing = None

    def _show_start(self) -> None:
        if self.logbook is not None:
            try:
                self.start.show_lines(_lines(self.logbook))
            except Trouble as trouble:
                self._tell(trouble, ("Try again", self._show_start))
        self._frame_page(self.start, LIVE)
        self._retire()
        self.frame.setWindowTitle("Workshops · Observe")

    def _frame_page(self, page: QWidget, word: str) -> None:
        screens = (LIVE, DEBRIEF) if self.model is not None else (LIVE,)
        screens = (*screens, REVIEW, RECORDS) if self.logbook is not None else screens
        title, state = self._what_is_open(open_word="Open: " if page is self.start else "")
        self.frame.bar.show_screens(screens, word, title, state)
        disk = f"All on this disk: {self.logbook.path}" if self.logbook else ""
        place = self.model.room.workshop.place if self.model else ""
        person = self.model.room.name(self.model.room.observer) if self.model else ""
        self.frame.status.say(disk, place, person)
        self.frame.show_page(page, whole=False)

    def _what_is_open(self, *, open_word: str) -> tuple[str, str]:
        """The bar's two lines; among the workshops it is said that another one is open."""
        if self.model is None:
            return ("Observe", "choose a workshop")
        from observe.domain.words import forms_said

        workshop = self.model.room.workshop
        state = f"{workshop.mode.value} · {forms_said(self.model.room.forms)}"
        return (f"{open_word}{workshop.title}, {_day(workshop.date)}", state)

    def ask_to_enter(self, workshop: str, observer: str) -> None:
        """Open a room for somebody whose name was pressed, once their PIN let them in."""
        if self.logbook is None:
            return
        try:
            known = self.logbook.workshop(workshop)
            self.tablet.ask_who(self.logbook, known, now="", chosen=observer)
        except Trouble as trouble:
            self._tell(trouble, ("Not now", self._not_now))

    def switch_observer(self) -> None:
        """Ask who goes on at this tablet; nothing of the other's marks is shown (rule T3)."""
        if self.logbook is None or self.model is None:
            return
        room = self.model.room
        try:
            self.tablet.ask_who(self.logbook, room.workshop, now=room.observer)
        except Trouble as trouble:
            self._tell(trouble, ("Not now", self._not_now))

    def _nobody_entered(self) -> None:
        self.tablet.done_asking()
        if self.live is not None and self.model is not None:
            self.show_live()
        else:
            self._show_start()

    def enter(self, workshop: str, observer: str) -> None:
        """Open a room as one observer; where they were, they are again."""
        from observe.work.session import Room

        self.tablet.done_asking()
        if self.logbook is None:
            return
        try:
            room = Room(self.logbook, self.logbook.workshop(workshop), observer)
        except Trouble as trouble:
            self._show_start()
            self._tell(trouble, ("Not now", self._not_now))
            return
        self._open_room(room)

    def type_in(self, observer: str, date: str, start: str) -> None:
        """Open the papers that somebody marked in the workshop that is open (rule D2)."""
        from observe.work.typing_room import TypingRoom

        if self.logbook is None or self.model is None:
            return
        now = self.model.room
        try:
            room = TypingRoom(
                self.logbook,
                self.logbook.workshop(now.workshop.id),
                observer,
                typist=now.observer,
                date=date,
                start=start,
            )
        except Trouble as trouble:
            self._tell(trouble, ("Not now", self._not_now))
            return
        self._open_room(room)

    def go_on_live(self) -> None:
        """Leave the room of papers; whoever typed is in their own room again."""
        if self.model is not None:
            room = self.model.room
            self.enter(room.workshop.id, room.typist or room.observer)

    def _open_room(self, room: Room) -> None:
        from observe.desk.live.model import LiveModel
        from observe.desk.live.page import LivePage

        self.model = LiveModel(room)
        self.model.confirm = partial(self.tablet.confirm, room.logbook)
        if self.live is not None:
            self.live.deleteLater()
        live = LivePage(self.skin, self.model, cue=self.keeper.settings.cue)
        live.cue_turned.connect(self._keep_cue)
        live.leave.connect(self._show_start)
        live.rate.connect(self.show_rating)
        live.debrief.connect(self.show_debrief)
        live.switch.connect(self.switch_observer)
        live.learner_screen.connect(self.hand_to_learner)
        live.paper.connect(self.type_in)
        live.live_again.connect(self.go_on_live)
        live.settings.connect(self.show_settings)
        self.live = live
        self.tablet.follow(self.model)
        self.show_live()

    def _settings_changed(self) -> None:
        """Where to look next was turned on or off among the settings, while a room is open."""
        cue = self.keeper.settings.cue
        if self.live is not None and cue is not None and cue != self.live.lamp.is_on:
            self.live.turn_cue()

    def _keep_cue(self, on: bool) -> None:  # noqa: FBT001 - what the signal carries
        self.keeper.choose(cue=on)

    def _warn(self, sentence: str) -> None:
        if self.live is not None:
            self.live.bar.warn(sentence)

    def hand_to_learner(self, seat: int, peer: str) -> None:
        """Give the tablet to a learner: their own attempt, or a peer's (rule P2)."""
        from observe.work.learner_screen import open_own, open_peer

        if self.logbook is None or self.model is None:
            return
        room, place = self.model.room, self.model.sessions[seat].seat
        try:
            if peer:
                session = open_peer(self.logbook, room.workshop, place, peer)
            else:
                session = open_own(self.logbook, room.workshop, place)
        except Trouble as trouble:
            self._tell(trouble, ("Not now", self._not_now))
            return
        self.tablet.hand_to_learner(session, name=self.model.name(seat), observer=room.observer)

    def show_settings(self) -> None:
        """How the desk looks and which hand presses; Esc leads back."""
        from observe.desk.settings.page import SettingsPage

        page = SettingsPage(self.skin, self.keeper)
        before = self.frame.page
        page.left.connect(self.show_live if before is self.live else self._show_start)
        self._show_passing(page)
        self.frame.show_page(page, whole=True)
        self.frame.setWindowTitle("Settings · Observe")

    def show_live(self) -> None:
        """Back to the seats."""
        if self.live is None or self.model is None:
            return
        self.frame.setWindowTitle(f"{self.model.room.workshop.title} · Live · Observe")
        self.frame.show_page(self.live, whole=True)
        self._retire()
        self.live.refresh()

    def show_rating(self, seat: int) -> None:
        """The rating of one learner."""
        from observe.desk.rating.page import RatingPage

        if self.model is None:
            return
        page = RatingPage(self.skin, self.model, seat)
        page.back.connect(self.show_live)
        page.sealed.connect(self.show_debrief)
        self._show_passing(page)
        self.frame.setWindowTitle(f"{self.model.name(seat)} · Rating · Observe")
        self.frame.show_page(page, whole=True)

    def show_debrief(self, seat: int) -> None:
        """What a sealed observation comes to."""
        from observe.desk.debrief.page import DebriefPage

        if self.model is None:
            return
        page = DebriefPage(self.skin, self.model, seat)
        page.live.connect(self.show_live)
        page.rate.connect(self.show_rating)
        self._show_passing(page)
        self._frame_page(page, DEBRIEF)
        self.frame.setWindowTitle(f"{self.model.name(seat)} · Debrief · Observe")

    def show_review(self) -> None:
        """Whether observers agree, over the second looks of all workshops."""
        from observe.desk.review.page import ReviewPage

        if self.logbook is None:
            return
        try:
            page = ReviewPage(self.skin, self.logbook)
        except Trouble as trouble:
            self._tell(trouble, ("Not now", self._not_now))
            return
        page.told.connect(lambda trouble: self._tell(trouble, ("Not now", self._not_now)))
        self._show_passing(page)
        self._frame_page(page, REVIEW)
        self.frame.setWindowTitle("Review · Observe")

    def show_records(self) -> None:
        """Who holds what, packets in and out, and what waits for a person."""
        from observe.desk.records.page import RecordsPage

        if self.logbook is None:
            return
        me = self.model.room.name(self.model.room.observer) if self.model else ""
        try:
            page = RecordsPage(self.skin, self.logbook, me)
        except Trouble as trouble:
            self._tell(trouble, ("Not now", self._not_now))
            return
        page.told.connect(lambda trouble: self._tell(trouble, ("Not now", self._not_now)))
        self._show_passing(page)
        self._frame_page(page, RECORDS)
        self.frame.setWindowTitle("Records · Observe")

    # troubles

    def _tell(self, trouble: Trouble, *deeds: tuple[str, Callable[[], None]]) -> None:
        self.frame.trouble.tell(trouble, deeds)
        self.frame.lay_out()

    def _not_now(self) -> None:
        self.frame.trouble.clear()
        self.frame.lay_out()

    def meet_defect(
        self, kind: type[BaseException], defect: BaseException, trace: TracebackType | None
    ) -> None:
        """Keep a report of a defect and say so in a window of its own."""
        from observe.work import defects

        report = defects.write(defect)
        if self._defect is None or not self._defect.isVisible():
            self._defect = DefectWindow(self.skin)
        self._defect.tell(kind.__name__, str(report) if report else "")
        self._defect.show()


def _lines(logbook: Logbook) -> tuple[WorkshopLine, ...]:
    """Every workshop of a logbook as the start page shows it, newest first."""
    names = logbook.names()
    found = [_line(logbook, one, names) for one in logbook.workshops().values()]
    return tuple(reversed(found))


def _line(logbook: Logbook, workshop: Workshop, names: Mapping[str, str]) -> WorkshopLine:
    from observe.domain.words import forms_said, listed

    forms = [logbook.form(one.form) for one in workshop.forms]
    named = [one.title if len(forms) == 1 else one.short or one.title for one in forms]
    sealed = {
        event.observation for event in logbook.log.read(workshop=workshop.id, kinds=("sealed",))
    }
    return WorkshopLine(
        id=workshop.id,
        title=workshop.title,
        when=_day(workshop.date),
        about=f"{workshop.mode.value} · {_who(workshop)}",
        form=f"{listed(named)}, {forms_said(forms)} · {workshop.place}",
        seats=tuple(
            (
                seat.number,
                f"{names.get(seat.learner, seat.learner)}{', absent' if seat.absent else ''}",
            )
            for seat in workshop.seats
            if seat.room
        ),
        observers=tuple(_observer(workshop, one, names, sealed) for one in workshop.observers),
    )


def _who(workshop: Workshop) -> str:
    """How many learners, how many of them absent, and whether there are two rooms."""
    from observe.domain.words import counted

    absent = sum(seat.absent for seat in workshop.seats)
    away = f", {absent} absent" if absent else ""
    rooms = f" · {len(workshop.rooms)} rooms" if len(workshop.rooms) > 1 else ""
    return f"{counted(len(workshop.seats), 'learner')}{away}{rooms}"


def _observer(
    workshop: Workshop, person: str, names: Mapping[str, str], sealed: set[str]
) -> ObserverLine:
    mine = [seat for seat in workshop.seats if person in seat.observers and not seat.absent]
    done = sum(seat.observation_of(person) in sealed for seat in mine)
    return ObserverLine(person, names.get(person, person), len(mine), done)


def _day(day: str) -> str:
    try:
        return f"{date.fromisoformat(day):%d %B %Y}".lstrip("0")
    except ValueError:
        return day
