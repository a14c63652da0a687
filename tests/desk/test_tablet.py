"""One tablet for several observers and for learners: names, PINs, and a way back (K1, P2, T3)."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from observe.desk.desk import Desk
from observe.desk.live.room_deeds import HAND_OVER, PAPER, SWITCH
from observe.desk.rating.page import RatingPage
from observe.desk.sharing.learner import LearnerScreen
from observe.desk.sharing.switch import SwitchPanel
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.form import Mode
from observe.domain.marks import DONE, NOT_SEEN
from observe.work.logbooks import open_logbook
from observe.work.pins import Pins, pins_path
from observe.work.session import Room
from tests.desk.people import HandClock


@pytest.fixture
def desk(make_room: Callable[..., Room], skin: Skin, qtbot: QtBot) -> Iterator[Desk]:
    """A workshop of four, two of whom a second observer watches too; the first one is in."""
    path = make_room(4, mode=Mode.FORMATIVE, looks=2).logbook.path
    made = Desk(skin, path)
    qtbot.addWidget(made.frame)
    made.show()
    made.open_logbook()
    workshop = next(iter(made.logbook.workshops())) if made.logbook else ""
    made.enter(workshop, "o-1")
    yield made
    made.close_logbook()


def choose(desk: Desk, name: str) -> None:
    """Open the room's panel, and press one of its deeds."""
    assert desk.live is not None
    desk.live.toggle_room()
    answer(desk, name)


def answer(desk: Desk, words: str) -> None:
    assert desk.live is not None
    keys = [key for key in desk.live.questions.choices.answers if key.isVisible()]
    next(key for key in keys if key.accessibleName().startswith(words)).click()


def type_digits(desk: Desk, digits: str) -> None:
    """Type on the keyboard, whatever has it."""
    focused = desk.frame.focusWidget()
    assert focused is not None
    QTest.keyClicks(focused, digits)


def observer(desk: Desk) -> str:
    return desk.model.room.observer if desk.model is not None else ""


def test_another_observer_takes_the_tablet_by_name_and_pin(desk: Desk, clock: HandClock) -> None:
    """Rule K1: a press for the panel, one for the name, four digits."""
    assert desk.logbook is not None
    Pins(pins_path(desk.logbook.path), clock).choose("o-2", "2468", "2468")
    desk.tablet.take_up(desk.logbook)
    choose(desk, SWITCH)
    panel = desk.frame.page
    assert isinstance(panel, SwitchPanel)
    next(key for key in panel.keys if "Dr Quill" in key.accessibleName()).click()
    QTest.keyClicks(panel.pad, "1111")
    assert observer(desk) == "o-1"
    QTest.keyClicks(panel.pad, "2468")
    assert observer(desk) == "o-2"
    assert desk.frame.page is desk.live


def test_a_pin_is_typed_as_soon_as_a_name_on_the_start_page_was_pressed(
    desk: Desk, clock: HandClock
) -> None:
    assert desk.logbook is not None
    assert desk.model is not None
    Pins(pins_path(desk.logbook.path), clock).choose("o-2", "2468", "2468")
    desk.tablet.take_up(desk.logbook)
    desk.ask_to_enter(desk.model.room.workshop.id, "o-2")
    type_digits(desk, "2468")
    assert observer(desk) == "o-2"


def test_who_countersigns_enters_their_own_pin(desk: Desk, clock: HandClock) -> None:
    """Rule M6."""
    assert desk.logbook is not None
    assert desk.model is not None
    Pins(pins_path(desk.logbook.path), clock).choose("o-2", "2468", "2468")
    desk.tablet.take_up(desk.logbook)
    signed: list[str] = []
    desk.model.confirm("o-2", partial(signed.append, "void"))
    assert desk.tablet.switch is not None
    type_digits(desk, "2468")
    assert signed == ["void"]
    assert desk.frame.page is desk.live


def test_neither_sees_what_the_other_marked(desk: Desk) -> None:
    """Rule T3: each works on an observation of their own."""
    assert desk.model is not None
    for seat in range(4):
        desk.model.mark(seat, DONE)
    desk.enter(desk.model.room.workshop.id, "o-2")
    states = [session.state for session in desk.model.sessions]
    assert len(states) == 2
    assert {state.mark("LPX-01") for state in states} == {NOT_SEEN}


def test_nobody_chosen_is_back_where_it_was(desk: Desk) -> None:
    choose(desk, SWITCH)
    panel = desk.frame.page
    assert isinstance(panel, SwitchPanel)
    panel.back_key.click()
    assert desk.frame.page is desk.live
    assert observer(desk) == "o-1"


def test_a_learner_gets_the_tablet_and_gives_it_back(desk: Desk) -> None:
    """Rule P2: a locked screen that shows nothing of others."""
    assert desk.live is not None
    desk.live.ask_for_more(1)
    answer(desk, "Learner")
    answer(desk, "Idris Kalnin")
    page = desk.frame.page
    assert isinstance(page, LearnerScreen)
    assert "Idris Kalnin" in desk.frame.windowTitle()
    page.returned.emit()
    assert desk.frame.page is desk.live


def test_paper_is_typed_in_for_who_watched(desk: Desk) -> None:
    """Rule D2: who watched, who typed, when each."""
    choose(desk, PAPER)
    answer(desk, "Dr Quill")
    assert desk.live is not None
    texts = desk.live.questions.texts
    QTest.keyClicks(texts.field, "2026-03-02 09:40")
    texts.keep_key.click()
    assert desk.model is not None
    assert observer(desk) == "o-2"
    desk.model.mark(0, DONE)
    state = desk.model.state(0)
    assert state.typists == ("o-1",)
    assert not state.clock.is_running


def test_who_leaves_early_hands_over_and_is_told_what_became_of_each(desk: Desk) -> None:
    """Rule T5."""
    assert desk.model is not None
    model = desk.model
    alone = [seat for seat in range(4) if not model.is_shared(seat)]
    model.mark(alone[0], DONE)
    choose(desk, HAND_OVER)
    answer(desk, "Dr Quill")
    assert desk.live is not None
    said = desk.live.questions.choices.question
    assert "Dr Quill goes on; seal your part" in said
    assert "choose somebody else" in said
    desk.live.questions.close_it()
    state = model.state(alone[0])
    assert state.handed is not None
    assert not model.can_mark(alone[0])
    desk.show_rating(alone[0])
    page = desk.frame.page
    assert isinstance(page, RatingPage)
    assert len(page.sections) == 1
    model.do(alone[0], gestures.seal)
    assert model.state(alone[0]).sealed is not None


def test_what_will_stand_in_the_way_is_said_in_the_bar(desk: Desk) -> None:
    assert desk.live is not None
    desk.tablet.warned.emit("Battery 9 %. Plug in.")
    assert desk.live.bar.warning == "Battery 9 %. Plug in."


def test_closed_nothing_is_watched_any_more(desk: Desk) -> None:
    assert desk.logbook is not None
    desk.tablet.look_after()
    path = desk.logbook.path
    desk.close_logbook()
    assert desk.tablet.warning == ""
    with open_logbook(path) as again:
        assert again.workshops()
