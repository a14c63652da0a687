"""An uncertain number is an open box with a solid stroke inside, to scale."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.look.boxes import WHOLE_AXIS, Axis, Bounds, axis_for, bounds_shapes
from observe.look.shapes import Polygon, Rect, extent
from observe.look.tokens import Token

shares = st.fractions(0, 1)


@given(shares, shares, shares, st.none() | shares, st.floats(20, 600), st.floats(8, 60))
def test_everything_stays_in_its_box(
    one: Fraction,
    two: Fraction,
    three: Fraction,
    cut: Fraction | None,
    width: float,
    height: float,
) -> None:
    low, value, high = sorted((one, two, three))
    shapes = bounds_shapes(Bounds(low, high, value, cut), axis_for(low, high, cut), width, height)
    left, top, right, bottom = extent(shapes)
    assert left >= -1e-9
    assert top >= -1e-9
    assert right <= width + 1e-9
    assert bottom <= height + 1e-9


@given(shares, shares, st.none() | shares)
def test_an_axis_holds_box_and_cut(one: Fraction, two: Fraction, cut: Fraction | None) -> None:
    low, high = sorted((one, two))
    axis = axis_for(low, high, cut)
    for value in (low, high, *(() if cut is None else (cut,))):
        assert axis.start <= float(value) <= axis.end
    assert axis.ticks[0] == axis.start
    assert axis.ticks[-1] == axis.end
    assert axis.end - axis.start >= 0.1


def test_a_score_in_the_upper_half_has_the_upper_half_as_its_scale() -> None:
    axis = axis_for(Fraction(823, 1000), Fraction(854, 1000), Fraction(78, 100))
    assert axis == Axis(0.5, 1.0, (0.5, 0.6, 0.7, 0.8, 0.9, 1.0))
    assert axis.place(Fraction(3, 4), 200) == 100


def test_a_wide_box_has_the_whole_scale() -> None:
    assert axis_for(0, 1, Fraction(7, 10)) == WHOLE_AXIS


def test_the_box_is_to_scale() -> None:
    shapes = bounds_shapes(Bounds(0.4, 0.8, 0.5), Axis(0, 1, ()), 100, 20)
    box = shapes[1]
    assert isinstance(box, Rect)
    assert (box.x, box.right) == pytest.approx((40, 80))
    assert box.ink is Token.WELL
    stroke = shapes[3]
    assert isinstance(stroke, Rect)
    assert stroke.x + stroke.width / 2 == pytest.approx(50)


def test_no_evidence_is_an_open_box_without_a_stroke() -> None:
    shapes = bounds_shapes(Bounds(0, 1, None), WHOLE_AXIS, 100, 20)
    assert [type(shape) for shape in shapes] == [Rect, Rect, Polygon]


def test_nothing_unseen_is_a_stroke_without_a_box() -> None:
    shapes = bounds_shapes(Bounds(1, 1, 1), WHOLE_AXIS, 100, 20)
    assert len(shapes) == 2
    assert extent(shapes[1:])[2] == 100


def test_the_cut_is_a_full_line_with_or_without_a_head() -> None:
    bounds = Bounds(0.4, 0.8, 0.5, 0.7)
    axis = Axis(0, 1, ())
    plain = bounds_shapes(bounds, axis, 100, 20, head=False)
    assert isinstance(plain[-1], Rect)
    assert (plain[-1].y, plain[-1].height, plain[-1].ink) == (0, 20, Token.INK)
    assert isinstance(bounds_shapes(bounds, axis, 100, 20)[-1], Polygon)
