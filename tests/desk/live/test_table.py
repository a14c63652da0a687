"""The table: everybody in one look, where every seat has its own keys."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from observe.desk.live.model import LiveModel
from observe.desk.live.table import TablePanel
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.domain.marks import DONE
from tests.desk.people import DESK, LONG_NAMES, HandClock, painted


def test_every_learner_has_a_row_that_brings_them_to_the_front(
    make_model: Callable[..., LiveModel],
    skin: Skin,
    parent: QWidget,
    clock: HandClock,
    misfits: list[Misfit],
) -> None:
    skin.set_screen(DESK)
    model = make_model(8, names=LONG_NAMES)
    model.mark(2, DONE)
    clock.go(34)
    table = TablePanel(skin, model, parent)
    table.resize(950, 660)
    painted(parent, 950, 660)
    assert len(table.rows) == 8
    assert table.rows[2].accessibleName().endswith("100 % seen, 0:34 ago")
    table.rows[5].click()
    assert model.front == 5
    assert misfits == []


def test_one_row_has_the_lamp_above_its_time_or_alone_where_it_is_low(
    make_model: Callable[..., LiveModel],
    skin: Skin,
    parent: QWidget,
    clock: HandClock,
    misfits: list[Misfit],
) -> None:
    skin.set_screen(DESK)
    model = make_model(8)
    model.mark(2, DONE)
    clock.go(34)
    table = TablePanel(skin, model, parent)
    for high in (660, 380):
        table.resize(950, high)
        table.light(2)
        painted(parent, 950, high)
        lit = [row for row in table.rows if "look here" in row.accessibleName()]
        assert lit == [table.rows[2]]
    table.light(None)
    assert not any("look here" in row.accessibleName() for row in table.rows)
    assert misfits == []
