"""Signs differ from each other and from marks in one ink, and stay in their square."""

from itertools import combinations, pairwise

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from observe.look.marks import MarkLook, mark_shapes
from observe.look.shapes import extent
from observe.look.signs import SignLook, barrier_shapes, sign_shapes, tally_shapes
from observe.look.tokens import Token
from tests.look.raster import difference, picture

CRITICAL = {SignLook.ABSOLUTE, SignLook.RECOVERED, SignLook.AVERTED, SignLook.UNNAMED}


@pytest.mark.parametrize("side", [14, 22, 40])
def test_every_two_signs_and_marks_differ_in_one_ink(side: int) -> None:
    pictures = {f"sign {look}": picture(sign_shapes(look, side), side, side) for look in SignLook}
    pictures |= {f"mark {look}": picture(mark_shapes(look, side), side, side) for look in MarkLook}
    pictures["tally"] = picture(tally_shapes(2, 3, side), side, side)
    for one, other in combinations(pictures, 2):
        apart = difference(pictures[one], pictures[other])
        assert apart >= side * side * 0.02, f"{one} and {other} look alike at {side} px"


@example(SignLook.BLIND, 9.0)
@given(st.sampled_from(SignLook), st.floats(9, 200))
def test_a_sign_stays_in_its_square(look: SignLook, side: float) -> None:
    left, top, right, bottom = extent(sign_shapes(look, side))
    assert left >= -1e-9
    assert top >= -1e-9
    assert right <= side + 1e-9
    assert bottom <= side + 1e-9


def test_mulberry_is_for_critical_items_only() -> None:
    for look in SignLook:
        inks = {shape.ink for shape in sign_shapes(look, 22)}
        assert (Token.CRIT in inks) == (look in CRITICAL)


@given(st.integers(0, 20), st.integers(1, 20), st.floats(9, 200))
def test_a_tally_stays_in_its_square(count: int, fatal_at: int, side: float) -> None:
    left, top, right, bottom = extent(tally_shapes(count, fatal_at, side))
    assert (left, top) == (0, 0)
    assert right <= side + 1e-9
    assert bottom <= side + 1e-9


@pytest.mark.parametrize("side", [14, 22, 40])
def test_each_further_time_changes_a_tally(side: int) -> None:
    pictures = [picture(tally_shapes(count, 3, side), side, side) for count in range(4)]
    for before, after in pairwise(pictures):
        assert difference(before, after) >= 1


@given(st.floats(20, 700), st.floats(6, 60))
def test_a_barrier_covers_its_whole_width_and_no_more(width: float, height: float) -> None:
    left, top, right, bottom = extent(barrier_shapes(width, height))
    assert left == pytest.approx(0, abs=height)
    assert left >= 0
    assert right <= width
    assert right >= width - 2 * height
    assert (top, bottom) == pytest.approx((0, height), abs=height / 4)
