"""Every step that somebody does is a row; thin rows share labels that can be read."""

from __future__ import annotations

from collections.abc import Callable

from hypothesis import given
from hypothesis import strategies as st

from observe.desk.live.grid.rows import GridRow, grid_rows, runs
from observe.desk.live.model import LiveModel
from observe.domain import gestures


def row(number: int, phase: str, form: str = "f") -> GridRow:
    return GridRow(form, f"{form}-{number}", str(number), "Does it", phase, "weight 1")


def test_rows_stand_in_the_order_of_the_form(make_model: Callable[..., LiveModel]) -> None:
    model = make_model(3)
    rows = grid_rows([session.state for session in model.sessions])
    assert [one.step for one in rows] == [step.id for step in model.state(0).steps]
    assert rows[7].note == "Position and landmarks · weight 3"
    assert [one.number for one in rows[:3]] == ["1", "2", "3"]


def test_learners_of_two_variants_share_the_common_steps(
    make_model: Callable[..., LiveModel],
) -> None:
    """Rule F5. A number that differs between them says both."""
    model = make_model(2)
    model.do(1, gestures.choose_variant, "sitting")
    rows = grid_rows([session.state for session in model.sessions])
    steps = {step.id for seat in (0, 1) for step in model.state(seat).steps}
    assert {one.step for one in rows} == steps
    assert len(rows) == len(steps) == len(model.state(0).steps) + 1
    assert rows[-1].number == "30/31"


def test_a_phase_too_low_for_its_name_shares_its_neighbours_label() -> None:
    rows = [row(1, "A"), row(2, "A"), row(3, "B"), row(4, "C"), row(5, "C")]
    said = runs(rows, [12] * 5, 0, 5, least=17)
    assert [(one.numbers, one.words) for one in said] == [("1–2", "A"), ("3–5", "B, C")]


def test_labels_never_reach_over_the_border_of_a_form() -> None:
    rows = [row(1, "A"), row(1, "A", "g"), row(2, "B", "g")]
    said = runs(rows, [12] * 3, 0, 3, least=17)
    assert [(one.first, one.last) for one in said] == [(0, 0), (1, 2)]


@given(st.lists(st.sampled_from("ABC"), max_size=40), st.integers(4, 20))
def test_every_thin_row_has_one_label(phases: list[str], height: int) -> None:
    rows = [row(place, phase) for place, phase in enumerate(phases, start=1)]
    said = runs(rows, [height] * len(rows), 0, len(rows), least=17)
    covered = [place for one in said for place in range(one.first, one.last + 1)]
    assert covered == list(range(len(rows)))
