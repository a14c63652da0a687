"""The steps of a phase for a peer: done, not yet, or left alone."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from observe.desk.sharing.peer_steps import StepsPage
from observe.desk.theme import Skin
from observe.domain.form import Step
from observe.domain.marks import DONE, NOT_DONE, Mark
from observe.work.session import Room
from tests.desk.people import painted

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def steps(make_room: Callable[..., Room]) -> list[tuple[int, Step]]:
    room = make_room(1)
    form = room.logbook.form(room.workshop.form_of(room.workshop.seats[0]))
    return list(enumerate(form.steps[:5], start=1))


def test_a_press_gives_the_mark_of_its_own_step(
    skin: Skin, parent: QWidget, steps: list[tuple[int, Step]]
) -> None:
    given: list[tuple[str, Mark]] = []
    page = StepsPage(skin, "Needle", steps, lambda *one: given.append(one), parent)
    painted(parent, 1100, 700)
    page.setGeometry(0, 0, 1100, 600)
    page.show_marks({})
    page.show()
    QTest.mouseClick(page.keys[steps[0][1].id][0], LEFT)
    QTest.mouseClick(page.keys[steps[4][1].id][1], LEFT)
    assert given == [(steps[0][1].id, DONE), (steps[4][1].id, NOT_DONE)]


def test_nothing_is_chosen_before_it_was_pressed(
    skin: Skin, parent: QWidget, steps: list[tuple[int, Step]]
) -> None:
    page = StepsPage(skin, "Needle", steps, lambda *_: None, parent)
    page.show_marks({steps[1][1].id: NOT_DONE})
    chosen = [
        (number, word)
        for number, step in steps
        for word, key in zip(("Done", "Not yet"), page.keys[step.id], strict=True)
        if key.face.chosen
    ]
    assert chosen == [(2, "Not yet")]
