"""A step by its number: what was typed stands over the well until Enter, Esc or something else."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from tests.desk.live.hands import Hands, OpenRoom

K = Qt.Key


@pytest.fixture
def hands(open_room: OpenRoom) -> Hands:
    return open_room()


def asked(hands: Hands) -> str:
    questions = hands.view.questions
    return questions.choices.question if questions.is_open else ""


def offered(hands: Hands) -> list[str]:
    keys = hands.view.questions.choices.answers
    return [key.accessibleName() for key in keys if not key.isHidden()]


def test_what_was_typed_is_shown_with_the_steps_it_may_mean(hands: Hands) -> None:
    hands.press(K.Key_Slash)
    assert asked(hands) == "Go to which step? Type its number, then Enter."
    assert offered(hands) == []
    hands.press(K.Key_1)
    assert asked(hands) == "Go to step 1"
    assert len(offered(hands)) == 4
    hands.press(K.Key_5)
    assert asked(hands) == "Go to step 15"
    (only,) = offered(hands)
    assert "step 15, Enter" in only
    hands.press(K.Key_Return)
    assert asked(hands) == ""
    assert hands.state(0).board.at == "LPX-15"


def test_a_step_that_is_offered_can_be_pressed(hands: Hands) -> None:
    hands.press(K.Key_Slash)
    hands.press(K.Key_2)
    hands.click(hands.view.questions.choices.answers[1])
    assert hands.state(0).board.at == "LPX-20"
    assert asked(hands) == ""


def test_a_number_that_is_no_step_goes_nowhere(hands: Hands) -> None:
    before = hands.state(0).board.at
    for key in (K.Key_Slash, K.Key_9, K.Key_9):
        hands.press(key)
    assert asked(hands) == "There is no step 99."
    hands.press(K.Key_Return)
    assert hands.state(0).board.at == before
    assert asked(hands) == ""


def test_a_digit_can_be_taken_off(hands: Hands) -> None:
    for key in (K.Key_Slash, K.Key_1, K.Key_9, K.Key_Backspace, K.Key_5, K.Key_Return):
        hands.press(key)
    assert hands.state(0).board.at == "LPX-15"


@pytest.mark.parametrize("key", [K.Key_Escape, K.Key_C, K.Key_G])
def test_anything_else_forgets_it(hands: Hands, key: Qt.Key) -> None:
    hands.press(K.Key_Slash)
    hands.press(K.Key_1)
    hands.press(key)
    assert not asked(hands).startswith("Go to")
    hands.press(K.Key_Escape)
    hands.press(K.Key_2)
    assert hands.view.model.front == 1


def test_where_something_else_is_asked_digits_answer_that(hands: Hands) -> None:
    hands.press(K.Key_Slash)
    hands.view.ask_for_more(0)
    hands.press(K.Key_9)
    assert not asked(hands).startswith("Go to")
