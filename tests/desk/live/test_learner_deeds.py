"""What else can be done for a learner: words, repair, variant, the end of the time."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from observe.desk.live.learner_deeds import spent_ns
from observe.desk.live.questions import Questions
from observe.desk.paint import Misfit
from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, NOT_SEEN
from tests.desk.live.hands import Hands, OpenRoom
from tests.desk.people import LONG_NAMES, painted


@pytest.fixture
def hands(open_room: OpenRoom) -> Hands:
    return open_room()


def answer(hands: Hands, words: str) -> None:
    """Press the answer that begins with some words."""
    questions: Questions = hands.view.questions
    keys = [key for key in questions.choices.answers if key.isVisible()]
    hands.click(next(key for key in keys if key.accessibleName().startswith(words)))


def more(hands: Hands, words: str) -> None:
    hands.click(hands.view.well.more_key)
    answer(hands, words)


# words


def test_a_phrase_of_the_forms_own_errors_is_kept_with_its_step(hands: Hands) -> None:
    hands.click(hands.view.well.not_seen)
    hands.click(hands.view.well.marks[1])
    more(hands, "Words to the learner")
    texts = hands.view.questions.texts
    hands.click(texts.pick_keys[1])
    session = hands.view.model.sessions[0]
    assert session.slot_text("step:LPX-02") == "No stop phrase agreed"
    QTest.keyClicks(texts.field, "Now agreed. ")
    hands.click(texts.keep_key)
    assert session.slot_text("step:LPX-02").startswith("Now agreed. ")
    assert not hands.view.questions.is_open


def test_a_phrase_pressed_again_is_taken_out(hands: Hands) -> None:
    hands.click(hands.view.well.marks[1])
    more(hands, "Words to the learner")
    key = hands.view.questions.texts.pick_keys[0]
    hands.click(key)
    hands.click(key)
    assert hands.view.model.sessions[0].slot_text("step:LPX-01") == ""


def test_what_was_typed_stays_when_another_learner_is_marked(hands: Hands) -> None:
    more(hands, "Note on the attempt")
    QTest.keyClicks(hands.view.questions.texts.field, "Trainer leaks")
    hands.click(hands.view.seats.cards[5].sentence)
    assert hands.state(5).mark("LPX-01") == DONE
    assert hands.view.model.sessions[0].slot_text("note") == "Trainer leaks"
    assert not hands.view.questions.is_open


# wrong learner


def test_the_last_marks_go_to_the_learner_they_belong_to(hands: Hands) -> None:
    """Rule E3."""
    for key in hands.view.well.marks[:3]:
        hands.click(key)
    more(hands, "Wrong learner")
    answer(hands, "The last 2")
    answer(hands, "Mina Oduya")
    assert hands.state(0).mark("LPX-01") == DONE
    assert hands.state(0).mark("LPX-02") == NOT_SEEN
    assert hands.state(5).mark("LPX-02") == INCORRECT
    assert hands.state(5).mark("LPX-03") == NOT_DONE
    hands.view.model.do(5, gestures.take_back)
    assert hands.state(0).mark("LPX-03") == NOT_DONE
    assert hands.state(5).mark("LPX-03") == NOT_SEEN


def test_m_and_a_seats_number_move_the_last_mark(hands: Hands) -> None:
    hands.press(Qt.Key.Key_Space)
    hands.press(Qt.Key.Key_M)
    hands.press(Qt.Key.Key_4)
    assert hands.state(0).mark("LPX-01") == NOT_SEEN
    assert hands.state(3).mark("LPX-01") == DONE
    assert hands.view.model.front == 3


# one learner alone


def test_one_of_many_can_be_shown_alone_and_the_seats_come_back(hands: Hands) -> None:
    hands.view.model.look(5)
    more(hands, "Alone")
    seats = hands.view.seats
    assert seats.beside
    assert [well.seat for well in seats.wells] == [5]
    hands.click(seats.beside[1].keys[0])
    assert hands.state(5).occurrences[0].item == "LPX-C1"
    hands.press(Qt.Key.Key_3)
    assert [well.seat for well in seats.wells] == [2]
    hands.press(Qt.Key.Key_S)
    assert len(seats.cards) == 8


def test_the_rating_is_one_of_the_deeds(hands: Hands, qtbot: QtBot) -> None:
    """In narrow wells the header has no key of its own for it."""
    with qtbot.waitSignal(hands.view.rate) as caught:
        more(hands, "Rate and seal")
    assert caught.args == [0]


# variant and time


def test_another_variant_says_what_it_takes_back(hands: Hands) -> None:
    """Rule F5."""
    more(hands, "Variant")
    answer(hands, "Sitting")
    assert hands.state(0).board.variant == "sitting"


def test_time_out_is_one_explicit_act_and_can_be_taken_back(hands: Hands) -> None:
    """Rule M4."""
    hands.click(hands.view.well.marks[0])
    more(hands, "Time is up")
    answer(hands, "Time is up")
    steps = hands.state(0).steps
    assert {hands.state(0).mark(step.id) for step in steps[1:]} == {NOT_DONE}
    hands.click(hands.view.well.take_back)
    assert hands.state(0).mark(steps[-1].id) == NOT_SEEN


def test_every_text_has_room(open_room: OpenRoom, misfits: list[Misfit]) -> None:
    hands = open_room(8, names=LONG_NAMES)
    for key in hands.view.well.marks[:3]:
        hands.click(key)
    deeds = hands.view.learner_deeds
    asked: tuple[Callable[[], None], ...] = (
        partial(deeds.offer, 0),
        partial(deeds.words, 0, "LPX-03"),
        partial(deeds.wrong, 0),
        partial(deeds.to_whom, 0, 2),
        partial(deeds.variant, 0),
        partial(deeds.time_up, 0),
    )
    for open_it in asked:
        open_it()
        painted(hands.view, 1280, 800)
    assert {(one.text, one.width, one.height) for one in misfits} == set()


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("12:30", 750),
        ("7", 420),
        ("0:05", 5),
        ("12:61", None),
        ("a", None),
        ("", None),
        ("1:5", None),
    ],
)
def test_a_time_is_read_as_people_write_it(text: str, seconds: int | None) -> None:
    assert spent_ns(text) == (None if seconds is None else seconds * 10**9)
