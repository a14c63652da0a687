"""One block for each step, width by weight; pennants stand on it."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.look.marks import MarkLook
from observe.look.rod import RodStep, now_shapes, pennants, rod
from observe.look.shapes import extent
from observe.look.signs import SignLook

steps = st.lists(
    st.builds(
        RodStep,
        look=st.sampled_from(MarkLook),
        weight=st.one_of(st.integers(0, 5), st.fractions(0, 5, max_denominator=4)),
        new_phase=st.booleans(),
    ),
    min_size=1,
    max_size=60,
)


@given(steps, st.floats(40, 1200), st.floats(9, 40))
def test_steps_follow_each_other_and_fill_the_rod(
    given_steps: list[RodStep], width: float, height: float
) -> None:
    made = rod(given_steps, width, height)
    assert len(made.places) == len(given_steps)
    assert made.places[-1].right == pytest.approx(width)
    for before, after in pairwise(made.places):
        assert after.x >= before.right - 1e-9
    left, top, right, bottom = extent(made.shapes)
    assert left >= -1e-9
    assert top >= -1e-9
    assert right <= width + 1e-6
    assert bottom <= height + 1e-9


@given(st.lists(st.integers(1, 5), min_size=2, max_size=40))
def test_width_is_proportional_to_weight(weights: list[int]) -> None:
    made = rod([RodStep(MarkLook.DONE, weight) for weight in weights], 1000, 20)
    unit = made.places[0].width / weights[0]
    assert [place.width for place in made.places] == pytest.approx([unit * w for w in weights])


def test_a_step_that_is_not_scored_is_narrow_but_there() -> None:
    made = rod([RodStep(MarkLook.DONE, 0), RodStep(MarkLook.DONE, 1)], 301, 20)
    assert made.places[0].width == pytest.approx(100)
    assert made.places[1].width == pytest.approx(200)


def test_phases_stand_further_apart_than_steps() -> None:
    made = rod(
        [RodStep(MarkLook.DONE), RodStep(MarkLook.DONE), RodStep(MarkLook.DONE, new_phase=True)],
        304,
        20,
        gap=1,
        phase_gap=3,
    )
    first, second, third = made.places
    assert second.x - first.right == pytest.approx(1)
    assert third.x - second.right == pytest.approx(3)


@given(steps, st.integers(80, 1200))
def test_on_a_screen_edges_are_whole(given_steps: list[RodStep], width: int) -> None:
    made = rod(given_steps, width, 13, whole=True)
    assert all(place.x == int(place.x) and place.width >= 1 for place in made.places)


def test_a_press_finds_its_step() -> None:
    made = rod([RodStep(MarkLook.DONE, Fraction(w)) for w in (1, 1, 2)], 402, 20)
    assert [made.at(x) for x in (-5, 50, 150, 300, 999)] == [0, 0, 1, 2, 2]
    assert rod([], 100, 20).at(3) is None


@given(st.lists(st.integers(0, 30), min_size=1, max_size=8))
def test_pennants_stand_on_the_rod_and_none_covers_another(numbers: list[int]) -> None:
    made = rod([RodStep(MarkLook.DONE)] * 31, 500, 20)
    flags = [(number, SignLook.ABSOLUTE) for number in numbers]
    shapes = pennants(made, flags, 14)
    left, top, right, bottom = extent(shapes)
    assert left >= 0
    assert right <= 500
    assert (top, bottom) == (-14, 0)
    each = len(shapes) // len(flags)
    boxes = [extent(shapes[n * each : (n + 1) * each]) for n in range(len(flags))]
    assert all(before[2] <= after[0] for before, after in pairwise(boxes))


@pytest.mark.parametrize("step", [0, 15, 30])
def test_where_you_are_is_a_triangle_under_the_sill(step: int) -> None:
    made = rod([RodStep(MarkLook.AHEAD)] * 31, 300, 13)
    left, top, right, bottom = extent(now_shapes(made, step, 8))
    assert left >= 0
    assert right <= 300
    assert (top, bottom) == (14, 22)
