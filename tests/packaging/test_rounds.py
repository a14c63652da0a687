"""The table of where to look next in DEVELOPERS.md is what the rounds give."""

from pathlib import Path

import pytest

from observe.planning import grid
from observe.planning.looking import ON_BY_DEFAULT
from observe.planning.rounds import Difference, Result, Shares

rounds = pytest.importorskip("rounds")


@pytest.fixture(scope="module")
def page() -> str:
    text: str = rounds.PAGE.read_text(encoding="utf-8")
    return text.partition(rounds.BEGINS)[2].partition(rounds.ENDS)[0]


def result(cell: grid.Cell, gain: float) -> Result:
    """A made-up result."""
    twice = (Difference(gain, 0.2), Difference(gain / 2, 0.2))
    return Result(cell, 40, Shares(20, 30, 25, 90), twice, twice, twice, (120.0, 110.0))


def test_the_table_shows_every_cell_of_the_grid(page: str) -> None:
    assert set(rounds.shown(page)) == set(grid.cells())


def test_the_default_follows_the_rule(page: str) -> None:
    """Never more than one point worse anywhere on the grid, else it is off by default."""
    shown = rounds.shown(page)
    is_whole = rounds.NOT_RUN not in shown.values()
    worst = min(min(rounds.points(one)) for one in shown.values() if one != rounds.NOT_RUN)
    assert (is_whole and worst >= grid.WORST_POINTS) is ON_BY_DEFAULT
    assert f"so the cue is {'on' if ON_BY_DEFAULT else 'off'} by default" in page


def test_the_first_runs_of_two_cells_give_what_the_page_says(page: str) -> None:
    """A change of the cue, of the walks or of a form's steps asks for the table anew."""
    assert rounds.spots() in page.splitlines()


@pytest.mark.deep
@pytest.mark.parametrize("number", rounds.SPOTS)
def test_a_cell_that_is_run_again_gives_what_the_table_shows(page: str, number: int) -> None:
    cell = grid.cells()[number]
    assert rounds.entry(rounds.judged_cell(cell)) == rounds.shown(page)[cell]


def test_what_is_printed_is_read_again() -> None:
    made = [result(cell, place / 10 - 3) for place, cell in enumerate(grid.cells())]
    printed = rounds.page(made)
    shown = rounds.shown(printed)
    assert [rounds.points(shown[one.cell])[0] for one in made] == pytest.approx(
        [place / 10 - 3 for place in range(len(made))]
    )
    assert "off by default" in printed
    assert "−3.0" in printed


def test_on_needs_the_whole_grid_and_no_cell_worse_than_a_point() -> None:
    good = [result(cell, 2.0) for cell in grid.cells()]
    assert "on by default" in rounds.page(good)
    assert "off by default" in rounds.page(good[:-1])
    assert "off by default" in rounds.page([*good[:-1], result(good[-1].cell, -1.05)])
    assert "on by default" in rounds.page([*good[:-1], result(good[-1].cell, -1.0)])


def test_where_it_does_not_help_is_said() -> None:
    made = [result(cell, 2.0) for cell in grid.cells()]
    made[5] = result(made[5].cell, 0.1)
    told = rounds.page(made)
    where = rounds.where(made[5].cell)
    assert f"In 1 of 84 cells the gain is under two standard errors: {where}." in told


def test_writing_leaves_the_rest_of_the_page_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "page.md"
    path.write_text(f"before\n{rounds.BEGINS}\nold\n{rounds.ENDS}\nafter\n", encoding="utf-8")
    monkeypatch.setattr(rounds, "PAGE", path)
    rounds.write("new")
    assert path.read_text("utf-8").split() == [
        "before", *rounds.BEGINS.split(), "new", *rounds.ENDS.split(), "after",
    ]  # fmt: skip
