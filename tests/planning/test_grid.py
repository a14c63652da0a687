"""The grid is what it was fixed to be before it was run."""

from __future__ import annotations

from observe.planning import grid
from observe.planning.walks import PaceModel


def test_it_has_6_8_and_10_learners_right_and_wrong_paces_and_both_forms() -> None:
    cells = grid.cells()
    assert {one.learners for one in cells} == {6, 8, 10}
    assert {one.pace for one in cells} == set(PaceModel)
    assert len({one.form for one in cells}) == 2
    assert len(cells) == len(set(cells)) == 84


def test_the_rule_for_the_default_is_one_point() -> None:
    assert grid.WORST_POINTS == -1.0
    assert grid.ERROR_POINTS == 0.3
