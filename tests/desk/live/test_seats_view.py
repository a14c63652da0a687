"""The Seats view in a window: real clicks, keys and fingers through an attempt, at every size."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QPointingDevice
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.keys import Key, Row
from observe.desk.live import reading
from observe.desk.live.model import LiveModel
from observe.desk.live.page import LivePage
from observe.desk.live.rod_strip import RodKey
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.marks import (
    DID_NOT_ARISE,
    DONE,
    INCORRECT,
    NOT_APPLICABLE,
    NOT_DONE,
    NOT_SEEN,
    Mark,
    PromptSource,
    State,
)
from observe.look.tokens import DARK, LIGHT
from tests.desk.live.hands import LEFT, Hands, OpenRoom
from tests.desk.people import LONG_NAMES, SCREENS, HandClock, keys_of, painted, work_through

# one attempt, by mouse


def test_pressing_the_sentence_is_done_in_one_tap(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.click(hands.view.seats.cards[5].sentence)
    assert hands.state(5).mark("LPX-01") == DONE
    assert hands.view.model.front == 5
    assert "Obtains consent" in hands.view.seats.cards[5].sentence.accessibleName()


def test_critical_is_one_tap_from_any_seat_and_names_itself_in_the_well(
    open_room: OpenRoom,
) -> None:
    hands = open_room()
    hands.click(hands.view.seats.cards[7].critical)
    assert len(reading.unnamed(hands.state(7))) == 1
    assert hands.view.well.panel.isVisible()
    hands.click(hands.view.well.panel.answers[1])
    hands.click(hands.view.well.panel.answers[1])
    assert hands.state(7).occurrences[0].verdict is Verdict.RECOVERED
    assert not hands.view.well.panel.isVisible()


def test_every_mark_of_the_well_is_one_tap(open_room: OpenRoom) -> None:
    """Rule M1."""
    hands = open_room()
    well = hands.view.well
    keys = [*well.marks[:3], *well.prompts]
    for key in keys:
        hands.click(key)
    ids = [step.id for step in hands.state(0).steps]
    assert [hands.state(0).mark(step) for step in ids[: len(keys)]] == [
        DONE,
        INCORRECT,
        NOT_DONE,
        *(Mark(State.DONE, level, PromptSource.OBSERVER) for level in (1, 2, 3, 4)),
        NOT_SEEN,
    ]
    assert not well.prompts[4].isEnabled(), "step 8 is no step to talk through (rule M2)"


def test_voiced_is_offered_where_the_form_lets(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.click(hands.view.well.prompts[4])
    assert hands.state(0).mark("LPX-01") == Mark(State.DONE, voiced=True)


def go_to(hands: Hands, step: str) -> None:
    ids = [one.id for one in hands.state(0).steps]
    rod = hands.view.well.rod
    place = rod.width() * 0
    for x in range(0, rod.width(), 2):
        rod.at = QPoint(x, 5).toPointF()
        if rod.pressed_place() == ids.index(step):
            place = x + 4
            break
    hands.clock.go(1)
    QTest.mouseClick(rod, LEFT, pos=QPoint(place, rod.height() // 2))


def test_is_now_here_by_pressing_the_rod_leaves_what_was_jumped_unseen(
    open_room: OpenRoom,
) -> None:
    hands = open_room()
    go_to(hands, "LPX-15")
    assert hands.state(0).board.at == "LPX-15"
    assert hands.state(0).mark("LPX-05") == NOT_SEEN
    assert reading.seen_words(hands.state(0)) == "0 % seen"


def test_is_now_here_by_pressing_the_next_step(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.click(hands.view.well.next_row)
    assert hands.state(0).board.at == "LPX-02"


def test_not_applicable_asks_its_reason_in_the_last_row(open_room: OpenRoom) -> None:
    hands = open_room()
    go_to(hands, "LPX-17")
    hands.click(hands.view.well.marks[3])
    assert hands.state(0).mark("LPX-17") == NOT_APPLICABLE
    hands.click(hands.view.well.offers.keys[0])
    assert "LPX-17" in hands.state(0).reasons


def test_a_step_with_a_circumstance_did_not_arise(open_room: OpenRoom) -> None:
    hands = open_room()
    go_to(hands, "LPX-19")
    hands.click(hands.view.well.marks[3])
    assert hands.state(0).mark("LPX-19") == DID_NOT_ARISE


def test_take_back_and_put_back(open_room: OpenRoom) -> None:
    hands = open_room()
    well = hands.view.well
    hands.click(well.marks[1])
    hands.click(well.take_back)
    assert hands.state(0).mark("LPX-01") == NOT_SEEN
    hands.click(well.extra)
    assert hands.state(0).mark("LPX-01") == INCORRECT
    assert not well.extra.isVisible()


def test_a_second_tap_claims_the_order(open_room: OpenRoom) -> None:
    """Rule M5: the first tap shows "order?", the second records it."""
    hands = open_room()
    hands.click(hands.view.well.not_seen)
    hands.click(hands.view.well.marks[0])
    assert hands.view.well.extra.isVisible()
    assert not hands.state(0).board.claims
    hands.click(hands.view.well.extra)
    assert hands.state(0).board.claims == {"LPX-02"}


def test_stop_for_safety_goes_on_or_ends_void(open_room: OpenRoom) -> None:
    """Rule M6."""
    hands = open_room()
    well = hands.view.well
    hands.click(well.marks[0])
    hands.click(well.stop)
    assert hands.state(0).stopped
    assert not well.marks[0].isVisible()
    hands.click(well.go_on)
    assert not hands.state(0).stopped
    hands.click(well.stop)
    hands.click(well.end)
    hands.click(well.panel.answers[1])
    assert hands.state(0).void
    assert not well.critical.isVisible()


@pytest.mark.parametrize("way", ["key", "keyboard"])
def test_stop_for_safety_is_at_hand_while_the_well_asks(open_room: OpenRoom, way: str) -> None:
    """Look, "A stop": one tap, no question; what was asked waits until later."""
    hands = open_room()
    hands.click(hands.view.seats.cards[7].critical)
    panel = hands.view.well.panel
    assert panel.isVisible()
    if way == "key":
        hands.click(next(key for key in panel.ways if key.accessibleName() == "Stop for safety"))
    else:
        hands.press(Qt.Key.Key_F12)
    assert hands.state(7).stopped
    assert not panel.isVisible()
    assert hands.view.well.go_on.isVisible()
    assert len(reading.unnamed(hands.state(7))) == 1


def test_an_attempt_ended_by_the_learner_asks_for_the_critical_event(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.click(hands.view.well.stop)
    hands.click(hands.view.well.end)
    hands.click(hands.view.well.panel.answers[0])
    assert len(reading.unnamed(hands.state(0))) == 1
    assert not hands.state(0).void


def test_the_clock_is_the_pause_key(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.click(hands.view.well.clock)
    assert hands.state(0).clock.is_running
    hands.click(hands.view.well.clock)
    assert not hands.state(0).clock.is_running


def test_past_the_last_step_the_sentence_leads_to_the_rating(open_room: OpenRoom) -> None:
    hands = open_room()
    for _ in hands.state(3).steps:
        hands.click(hands.view.seats.cards[3].sentence)
    with hands.qtbot.waitSignal(hands.view.rate) as asked:
        hands.click(hands.view.seats.cards[3].sentence)
    assert asked.args == [3]


def test_two_taps_at_once_on_one_sentence_are_one_mark(open_room: OpenRoom) -> None:
    hands = open_room()
    QTest.mouseDClick(hands.view.seats.cards[2].sentence, LEFT)
    QTest.mouseClick(hands.view.seats.cards[2].sentence, LEFT)
    QTest.mouseClick(hands.view.seats.cards[2].sentence, LEFT)
    assert len(hands.state(2).entries) == 1


# by touch


@pytest.fixture(scope="session")
def screen(faces: QApplication) -> QPointingDevice:
    assert faces is not None
    return QTest.createTouchDevice()


def test_two_fingers_at_once_mark_two_learners(
    open_room: OpenRoom, screen: QPointingDevice
) -> None:
    hands = open_room()
    window = hands.view.window().windowHandle()
    places = [
        card.sentence.mapTo(hands.view, card.sentence.rect().center())
        for card in (hands.view.seats.cards[1], hands.view.seats.cards[6])
    ]
    first = QTest.touchEvent(window, screen)
    first.press(0, places[0], window).press(1, places[1], window)
    first.commit()
    assert hands.view.seats.cards[1].sentence.isDown()
    assert hands.view.seats.cards[6].sentence.isDown()
    second = QTest.touchEvent(window, screen)
    second.release(0, places[0], window).release(1, places[1], window)
    second.commit()
    assert hands.state(1).mark("LPX-01") == DONE
    assert hands.state(6).mark("LPX-01") == DONE


def test_a_finger_that_slides_off_a_key_presses_nothing(
    open_room: OpenRoom, screen: QPointingDevice
) -> None:
    hands = open_room()
    window = hands.view.window().windowHandle()
    key = hands.view.seats.cards[1].critical
    place = key.mapTo(hands.view, key.rect().center())
    away = place + QPoint(0, 600)
    press = QTest.touchEvent(window, screen)
    press.press(0, place, window)
    press.commit()
    move = QTest.touchEvent(window, screen)
    move.move(0, away, window)
    move.commit()
    lift = QTest.touchEvent(window, screen)
    lift.release(0, away, window)
    lift.commit()
    assert hands.state(1).occurrences == ()
    assert not key.isDown()


# trouble and interruption


# for those who do not see the screen


def test_a_seat_says_all_that_it_shows(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.view.lamp.turn(on=False)
    hands.click(hands.view.seats.cards[4].sentence)
    hands.clock.go(41)
    hands.view.tick()
    assert hands.view.seats.cards[4].head.accessibleName() == (
        "Seat 5, Ravi Senapathi, 41 seconds, 100 % seen, 0:41 ago."
    )


# sizes


@pytest.mark.parametrize(
    ("size", "seats"),
    [
        *((size, seats) for size in ("tablet", "desktop") for seats in (1, 4, 6, 8, 10, 12)),
        *(("laptop", seats) for seats in (2, 5, 8, 12)),
        *(("small laptop", seats) for seats in (6, 10)),
        *(("big", seats) for seats in (8, 9)),
        *(("least on a tablet", seats) for seats in (1, 4, 8, 12)),
        *(("least on a desktop", seats) for seats in (1, 2, 4, 6, 12)),
        *(("least on a laptop", seats) for seats in (2, 8, 12)),
    ],
)
def test_every_text_has_room_and_every_key_its_millimetres(
    make_model: Callable[..., LiveModel],
    clock: HandClock,
    skin: Skin,
    misfits: list[paint.Misfit],
    qtbot: QtBot,
    size: str,
    seats: int,
) -> None:
    """Look §14: fails if any text is wider than its place or any target is under its mm.

    Every name and every kind of state is in front once; the colours change no width.
    """
    width, height, dpi = SCREENS[size]
    model = make_model(seats, names=LONG_NAMES, looks=min(2, seats))
    work_through(model, clock)
    skin.set_screen(dpi)
    skin.set_theme(DARK if seats % 4 == 0 else LIGHT)
    view = LivePage(skin, model)
    qtbot.addWidget(view)
    for seat in sorted({*range(min(seats, 4)), seats - 1}):
        model.look(seat)
        painted(view, width, height)
        require_millimetres(view, skin)
    assert {(one.text, one.width, one.height) for one in misfits} == set()


def require_millimetres(view: LivePage, skin: Skin) -> None:
    """Routine keys 12 mm; critical, stop and the sentence 20 mm; half a px of rounding.

    None is cut by the edge of its seat or well.
    """
    for key in keys_of(view):
        if not isinstance(key, Row | RodKey):
            around = key.parentWidget()
            assert around is not None
            assert around.rect().contains(key.geometry()), key.accessibleName()
            assert min(key.width(), key.height()) >= skin.mm(11.8), key.accessibleName()
    large: list[Key] = [key for card in view.seats.cards for key in (card.sentence, card.critical)]
    large += [key for well in view.seats.wells for key in (well.critical, well.stop)]
    for key in large:
        if key.isVisible():
            assert min(key.width(), key.height()) >= skin.mm(19.8), key.accessibleName()


@pytest.mark.parametrize("seats", [4, 8])
def test_a_window_under_1100_px_becomes_a_rail_and_back(open_room: OpenRoom, seats: int) -> None:
    hands = open_room(seats)
    hands.view.resize(1000, 700)
    assert not hands.view.seats.cards[0].sentence.isVisible()
    hands.click(hands.view.seats.cards[2].head)
    assert hands.view.well.seat == 2
    hands.view.resize(1280, 800)
    assert hands.view.well.seat == 2


def test_m6_a_void_is_taken_back_with_the_same_key_as_a_mark(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.view.model.do(0, gestures.void, "The trainer broke.")
    well = hands.view.well
    assert not any(key.isVisible() for key in (*well.marks, well.not_seen))
    hands.click(well.take_back)
    assert not hands.state(0).void
    assert all(key.isVisible() for key in well.marks)
