"""The three shapes and what can be done with them."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.look.shapes import (
    Disc,
    Polygon,
    Rect,
    band,
    clipped,
    extent,
    frame,
    half_disc,
    in_ink,
    moved,
)
from observe.look.tokens import Token

lengths = st.floats(1, 500)


def area(points: tuple[tuple[float, float], ...]) -> float:
    return abs(
        sum(
            x1 * y2 - x2 * y1
            for (x1, y1), (x2, y2) in zip(points, points[1:] + points[:1], strict=True)
        )
        / 2
    )


def test_moving_keeps_size_and_colour() -> None:
    shapes = (
        Rect(0, 0, 2, 3, Token.INK),
        Disc(5, 5, 1, Token.CRIT),
        frame(4, 4, 1, Token.ACT),
    )
    away = moved(shapes, 10, 20)
    assert extent(away) == (10, 20, 16, 26)
    assert [shape.ink for shape in away] == [Token.INK, Token.CRIT, Token.ACT]
    assert moved(away, -10, -20) == shapes


def test_nothing_has_no_extent() -> None:
    assert extent(()) == (0, 0, 0, 0)


def test_one_ink_changes_only_the_colour() -> None:
    assert in_ink((Disc(1, 1, 1, Token.CRIT),), Token.ONBAND) == (Disc(1, 1, 1, Token.ONBAND),)


@given(lengths, lengths, st.floats(0.1, 600))
def test_a_frame_lies_inside_its_box_however_thick(
    width: float, height: float, stroke: float
) -> None:
    shape = frame(width, height, stroke, Token.ACT)
    assert extent((shape,)) == (0, 0, width, height)
    assert all(-1e-9 <= x <= width and -1e-9 <= y <= height for x, y in shape.hole)


def test_a_straight_band_is_a_rectangle() -> None:
    shape = band(((0, 5), (10, 5)), 2, Token.INK)
    assert extent((shape,)) == (0, 4, 10, 6)
    assert area(shape.points) == 20


def test_a_right_angle_has_a_sharp_corner() -> None:
    shape = band(((0, 1), (9, 1), (9, 10)), 2, Token.INK)
    assert extent((shape,)) == (0, 0, 10, 10)
    assert area(shape.points) == pytest.approx(20 + 20 - 4)


def test_two_halves_make_a_disc() -> None:
    left = half_disc(10, 10, 4, Token.INK, leftward=True)
    right = half_disc(10, 10, 4, Token.INK, leftward=False)
    assert extent((left, right)) == pytest.approx((6, 6, 14, 14))
    assert area(left.points) == pytest.approx(pi * 16 / 2, rel=0.01)


@given(st.floats(-20, 20), st.floats(0, 20))
def test_clipping_keeps_what_lies_between_two_lines(left: float, wide: float) -> None:
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    kept = clipped(square, left, left + wide)
    overlap = max(0.0, min(10.0, left + wide) - max(0.0, left))
    assert (area(kept) if kept else 0) == pytest.approx(overlap * 10, abs=1e-6)


def test_a_polygon_has_no_hole_unless_asked() -> None:
    assert Polygon(((0, 0), (1, 0), (0, 1)), Token.INK).hole == ()
