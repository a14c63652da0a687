"""The Live page: what holds whatever view is open."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from functools import partial

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from observe.desk.live.bar import ROOM, SHIELD
from observe.desk.live.model import LiveModel
from observe.desk.live.page import LivePage
from observe.desk.live.room_deeds import WIPE
from observe.desk.theme import Skin
from observe.domain.marks import (
    DONE,
    NOT_SEEN,
)
from observe.domain.troubles import Surroundings
from observe.work import seating
from observe.work.logbooks import Logbook, open_logbook
from observe.work.session import Room
from tests.desk.live.hands import LEFT, Hands, OpenRoom
from tests.desk.people import HandClock, keys_of, work_through


def test_a_full_disk_takes_the_heel_from_every_mark_key(
    open_room: OpenRoom, monkeypatch: pytest.MonkeyPatch
) -> None:
    hands = open_room()
    hands.click(hands.view.seats.cards[0].sentence)
    append = Logbook.append

    def refuse(*_: object, **__: object) -> None:
        raise Surroundings("This disk is full.", remedy="Free some space.")

    monkeypatch.setattr(Logbook, "append", refuse)
    hands.click(hands.view.seats.cards[4].sentence)
    assert hands.state(4).mark("LPX-01") == NOT_SEEN
    assert hands.view.bar.again_key.isVisible()
    marks = [key for card in hands.view.seats.cards for key in (card.sentence, card.critical)]
    assert not any(key.isEnabled() for key in (*marks, *hands.view.well.marks))
    monkeypatch.setattr(Logbook, "append", append)
    hands.click(hands.view.bar.again_key)
    assert hands.state(4).mark("LPX-01") == DONE
    assert all(key.isEnabled() for key in marks)


def test_reopened_after_a_break_it_says_what_was_last(
    open_room: OpenRoom, skin: Skin, clock: HandClock, qtbot: QtBot
) -> None:
    hands = open_room()
    hands.click(hands.view.seats.cards[6].sentence)
    clock.go(102)
    old = hands.view.model.room
    model = LiveModel(Room(old.logbook, old.workshop, old.observer), clock=clock.now)
    again = LivePage(skin, model)
    qtbot.addWidget(again)
    again.resize(1280, 800)
    again.show()
    assert again.note.isVisible()
    assert "away 1:42" in again.note.accessibleName()
    assert again.well.seat == 6
    QTest.mouseClick(again.note.nothing_key, LEFT)
    assert not again.note.isVisible()


def test_a_second_goes_by_and_the_clocks_show_it(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.click(hands.view.seats.cards[0].sentence)
    hands.clock.go(10)
    hands.view.tick()
    assert "clock at 00:10" in hands.view.well.clock.accessibleName()
    assert "10 seconds" in hands.view.seats.cards[0].head.accessibleName()


def test_every_key_has_a_name_in_the_accessibility_tree(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.click(hands.view.seats.cards[4].critical)
    for key in keys_of(hands.view):
        interface = QAccessible.queryAccessibleInterface(key)
        assert interface.text(QAccessible.Text.Name), key.face
        assert interface.role() is QAccessible.Role.PushButton


@pytest.mark.skipif(sys.version_info >= (3, 12), reason="None is immortal there")
def test_painting_drops_no_reference_to_none(open_room: OpenRoom) -> None:
    """PySide6 6.12.0 on Python 3.11 lost one at almost every call, and the process died."""
    hands = open_room()
    before = sys.getrefcount(None)
    for _ in range(1000):
        hands.view.seats.cards[0].head.repaint()
    assert sys.getrefcount(None) > before - 200


def test_no_score_is_shown_before_the_seal(open_room: OpenRoom, clock: HandClock) -> None:
    """Rule D3: coverage is shown, score and decision are not."""
    hands = open_room()
    work_through(hands.view.model, clock)
    said = " ".join(key.accessibleName() for key in keys_of(hands.view)).lower()
    assert "% seen" in said
    for word in ("score", "pass ", "remediate", "cut"):
        assert word not in said


# two views over one model


def test_the_grid_opens_where_the_seats_were_and_back(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.view.model.look(3)
    hands.press(Qt.Key.Key_Space)
    hands.press(Qt.Key.Key_G)
    page = hands.view
    assert page.grid is not None
    assert page.grid.isVisible()
    assert page.seats.isHidden()
    assert page.model.front == 3
    hands.press(Qt.Key.Key_Space)
    assert hands.state(3).mark("LPX-02") == DONE
    hands.press(Qt.Key.Key_S)
    assert page.seats.isVisible()
    assert page.model.front == 3
    assert page.well.state.board.at == "LPX-03"


def test_the_room_panel_opens_over_the_well_and_the_seats_go_on(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.click(hands.view.bar.keys[ROOM])
    assert hands.view.questions.is_open
    hands.click(hands.view.seats.cards[6].sentence)
    assert hands.state(6).mark("LPX-01") == DONE
    hands.click(hands.view.seats.cards[2].critical)
    assert len(hands.state(2).occurrences) == 1
    hands.press(Qt.Key.Key_Escape)
    assert not hands.view.questions.is_open


def test_the_screen_can_be_wiped_and_nothing_is_marked(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.view.strike(WIPE)
    assert hands.view.wiping is not None
    for place in (QPoint(640, 400), QPoint(200, 220), QPoint(900, 700)):
        QTest.mouseClick(hands.view.wiping, Qt.MouseButton.LeftButton, pos=place)
    assert hands.view.model.kept == 0
    for key in (Qt.Key.Key_1, Qt.Key.Key_2, Qt.Key.Key_3):
        QTest.keyClick(hands.view.wiping, key)
    assert hands.view.wiping.isHidden()


def test_the_shield_is_up_and_down_by_one_key(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.press(Qt.Key.Key_H)
    assert hands.view.bar.keys[SHIELD].face.chosen
    hands.press(Qt.Key.Key_H)
    assert not hands.view.bar.keys[SHIELD].face.chosen


# where to look next


def lit_room(open_room: OpenRoom) -> Hands:
    """Eight learners under way, the lamp on, and half a minute without a touch."""
    hands = open_room()
    hands.view.lamp.turn(on=False)
    hands.view.turn_cue()
    for step in range(6):
        for seat in range(8):
            hands.clock.go(3)
            hands.view.model.mark(seat, DONE)
            assert hands.state(seat).board.front != "LPX-01", step
    for _ in range(40):
        hands.clock.go(1)
        hands.view.tick()
    return hands


def test_the_lamp_lights_one_seat_and_the_suggestion_is_in_the_record(open_room: OpenRoom) -> None:
    """Rule A5."""
    hands = lit_room(open_room)
    lit = [card.seat for card in hands.view.seats.cards if card.lit]
    assert lit == [hands.view.lamp.lit]
    logbook = hands.view.model.room.logbook
    kinds = [event.kind for event in logbook.observation(hands.state(lit[0]).id)]
    assert "look-suggested" in kinds
    assert "cue-turned" in [event.kind for event in logbook.log.read(kinds=("cue-turned",))]


def test_l_goes_to_the_lit_seat_and_the_lamp_goes_out(open_room: OpenRoom) -> None:
    hands = lit_room(open_room)
    lit = hands.view.lamp.lit
    hands.press(Qt.Key.Key_L)
    assert hands.view.model.front == lit
    assert not any(card.lit for card in hands.view.seats.cards)


def test_turned_off_nothing_is_lit_any_more(open_room: OpenRoom) -> None:
    hands = lit_room(open_room)
    hands.view.turn_cue()
    assert not any(card.lit for card in hands.view.seats.cards)
    for _ in range(60):
        hands.clock.go(1)
        hands.view.tick()
    assert hands.view.lamp.lit is None


# two windows on one logbook


@pytest.fixture
def windows(open_room: OpenRoom, clock: HandClock) -> Iterator[tuple[Hands, LiveModel]]:
    """A window, and what the same observer has in another one on the same file."""
    hands = open_room()
    room = hands.view.model.room
    with open_logbook(room.logbook.path, machine=clock) as other:
        yield (
            hands,
            LiveModel(Room(other, other.workshops()[room.workshop.id], "o-1"), clock=clock.now),
        )


def swap(model: LiveModel, one: int, other: int) -> None:
    attempts = [model.sessions[seat].seat.attempt for seat in (one, other)]
    model.rearrange(partial(seating.swap, one=attempts[0], other=attempts[1]))


def test_marks_of_another_window_are_shown_within_a_second(
    windows: tuple[Hands, LiveModel],
) -> None:
    hands, other = windows
    other.mark(4, DONE)
    hands.view.tick()
    assert hands.state(4).mark("LPX-01") == DONE
    card = next(one for one in hands.view.seats.cards if one.seat == 4)
    assert "step 2" in card.sentence.accessibleName().lower()
    hands.click(card.sentence)
    assert hands.state(4).mark("LPX-02") == DONE


def test_seats_changed_in_another_window_are_changed_here_and_marks_stay_with_learners(
    windows: tuple[Hands, LiveModel],
) -> None:
    hands, other = windows
    hands.view.model.look(1)
    swap(other, 1, 5)
    absent = other.sessions[7].seat.attempt
    other.rearrange(partial(seating.note_absent, attempt=absent))
    hands.view.tick()
    model = hands.view.model
    assert [model.name(seat) for seat in (1, 5)] == ["Mina Oduya", "Idris Kalnin"]
    assert model.name(model.front) == "Idris Kalnin"
    QTest.mouseClick(hands.view.seats.cards[1].sentence, LEFT)
    assert not model.kept, "the seat has only just come under the finger"
    hands.view.toggle_together()
    hands.press(Qt.Key.Key_Space)
    marked = {model.name(seat) for seat in range(8) if hands.state(seat).entries}
    assert len(marked) == 7
    assert "Hanae Toma" not in marked


def test_a_note_that_is_being_typed_stays_with_its_learner_when_seats_change_elsewhere(
    windows: tuple[Hands, LiveModel],
) -> None:
    hands, other = windows
    hands.view.model.look(1)
    hands.view.ask_for_more(1)
    hands.view.learner_deeds.note(1)
    QTest.keyClicks(hands.view.questions.texts.field, "Slow and careful")
    swap(other, 1, 5)
    hands.view.tick()
    model = hands.view.model
    assert model.name(1) == "Idris Kalnin", "seats wait for what is asked"
    hands.click(hands.view.questions.texts.keep_key)
    hands.view.tick()
    assert model.name(5) == "Idris Kalnin"
    assert model.text(5, "note") == "Slow and careful"
    assert model.text(1, "note") == ""


# the keyboard while something is asked


def test_tab_goes_into_what_is_asked_and_never_to_a_key_under_it(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.press(Qt.Key.Key_Q)
    hands.press(Qt.Key.Key_Tab)
    answers = [key for key in hands.view.questions.choices.answers if key.isVisible()]
    assert QApplication.focusWidget() is answers[0]
    seen: set[QWidget | None] = set()
    for _ in range(100):
        now = QApplication.focusWidget()
        seen.add(now)
        QTest.keyClick(now or hands.view, Qt.Key.Key_Tab)
    assert {*answers} <= seen
    assert hands.view.seats.cards[5].critical in seen
    assert not seen & {*hands.view.well.marks, *hands.view.well.prompts, hands.view.well.stop}


def test_a_press_beside_a_note_leaves_the_keyboard_with_it(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.view.ask_for_more(0)
    hands.view.learner_deeds.note(0)
    field = hands.view.questions.texts.field
    QTest.keyClicks(field, "Calm ")
    hands.click(hands.view.seats.cards[0].sentence)
    QTest.keyClicks(QApplication.focusWidget() or hands.view, "in pain")
    assert field.toPlainText() == "Calm in pain"
    assert hands.view.model.kept == 1


def test_a_critical_pressed_beside_a_note_keeps_the_note_and_asks_which_one(
    open_room: OpenRoom,
) -> None:
    hands = open_room()
    hands.view.ask_for_more(0)
    hands.view.learner_deeds.note(0)
    QTest.keyClicks(hands.view.questions.texts.field, "Calm")
    hands.click(hands.view.seats.cards[0].critical)
    assert not hands.view.questions.is_open
    assert hands.view.model.text(0, "note") == "Calm"
    hands.press(Qt.Key.Key_2)
    assert [one.item for one in hands.state(0).occurrences] == ["LPX-C2"]
