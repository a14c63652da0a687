"""A panel that asks: answers by press or number, ways to leave it, never a dialog."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from observe.desk.live.panels import AskPanel, Choice
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from tests.desk.people import painted


@pytest.fixture
def panel(skin: Skin, parent: QWidget) -> AskPanel:
    made = AskPanel(skin, parent)
    made.resize(600, 300)
    return made


def choices(count: int, given: list[int]) -> list[Choice]:
    return [
        Choice(f"Answer {number}", "with a note", lambda number=number: given.append(number))  # type: ignore[misc]  # bound early on purpose
        for number in range(count)
    ]


def test_an_answer_is_given_by_press_or_by_number(panel: AskPanel) -> None:
    given: list[int] = []
    panel.ask("Which one?", choices(3, given), [])
    panel.answers[2].click()
    panel.answer(0)
    panel.answer(9)
    assert given == [2, 0]
    assert panel.accessibleName() == "Which one?"


def test_a_new_question_takes_the_place_of_the_old(panel: AskPanel) -> None:
    first: list[int] = []
    second: list[int] = []
    panel.ask("Which one?", choices(4, first), [])
    panel.ask("And then?", choices(2, second), [])
    panel.answers[1].click()
    assert (first, second) == ([], [1])
    assert [key.isHidden() for key in panel.answers] == [False, False, True, True]


def test_a_press_that_was_begun_answers_no_later_question(panel: AskPanel) -> None:
    """Two fingers: the first answers, and the second one's key means something else by then."""
    given: list[int] = []
    panel.show()
    panel.ask("Which one?", choices(3, given), [])
    QTest.mousePress(panel.answers[2], Qt.MouseButton.LeftButton)
    panel.ask("And then?", choices(3, given), [])
    QTest.mouseRelease(panel.answers[2], Qt.MouseButton.LeftButton)
    assert given == []
    QTest.mouseClick(panel.answers[2], Qt.MouseButton.LeftButton)
    assert given == [2]


def test_the_first_way_out_is_taken_by_leaving(panel: AskPanel) -> None:
    left: list[str] = []
    panel.leave()
    panel.ask("Which?", [], [Choice("Later", "", lambda: left.append("later"))])
    panel.leave()
    assert left == ["later"]


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 8, 10])
def test_any_number_of_answers_has_room(
    panel: AskPanel, parent: QWidget, misfits: list[Misfit], count: int
) -> None:
    panel.ask("Which one?", choices(count, []), choices(2, []))
    painted(parent, 600, 300)
    boxes = [key.geometry() for key in panel.answers[:count]]
    for place, one in enumerate(boxes):
        assert not any(one.intersects(other) for other in boxes[place + 1 :])
    assert misfits == []
