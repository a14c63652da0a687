"""An uncertain number: an open box from bound to bound, a solid stroke at the value.

Score bounds, domain scores and intervals are all drawn so, to scale, with the
cut as a full line.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from observe.look.shapes import Polygon, Rect, Shape, Shapes, frame, moved
from observe.look.tokens import Token

Number = Fraction | float | int


@dataclass(frozen=True, slots=True)
class Axis:
    """A stretch of a scale and the numbers printed under it, in the unit of the values."""

    start: float
    end: float
    ticks: tuple[float, ...]

    def place(self, value: Number, width: float) -> float:
        """Where a value lies on `width`, kept within it."""
        share = (float(value) - self.start) / (self.end - self.start)
        return min(max(share, 0.0), 1.0) * width


WHOLE_AXIS = Axis(0.0, 1.0, (0.0, 0.2, 0.4, 0.6, 0.8, 1.0))


def axis_for(low: Number, high: Number, cut: Number | None) -> Axis:
    """An axis within 0 to 1 on which box and cut are wide enough to compare.

    Ends and ticks are whole tenths; if all lies in the upper half the axis starts
    at .5, so that most sheets have the same scale.
    """
    values = [float(low), float(high)] + ([] if cut is None else [float(cut)])
    if min(values) >= 0.55:
        return _axis(5, 10)
    start = max(0, floor(10 * min(values) - 1))
    end = min(10, ceil(10 * max(values) + 1))
    return WHOLE_AXIS if end - start > 6 else _axis(start, end)


def _axis(start: int, end: int) -> Axis:
    return Axis(start / 10, end / 10, tuple(tick / 10 for tick in range(start, end + 1)))


@dataclass(frozen=True, slots=True)
class Bounds:
    """A value between its bounds. value: None when there is no evidence at all."""

    low: Number
    high: Number
    value: Number | None
    cut: Number | None = None


def bounds_shapes(
    bounds: Bounds,
    axis: Axis,
    width: float,
    height: float,
    *,
    ink: Token = Token.DONE,
    head: bool = True,
) -> Shapes:
    """Axis line, box, stroke and cut line in (0, 0, width, height).

    head: put a small triangle on top of the cut line. Strokes at the ends of the
    axis stay inside the box.
    """
    middle = height / 2
    line = Rect(0, middle - 0.5, width, 1, Token.LINE)
    shapes: list[Shape] = [line]
    shapes.extend(_box(bounds, axis, width, height, ink))
    if bounds.value is not None:
        stroke = max(2.0, height * 0.12)
        x = _kept(axis.place(bounds.value, width), stroke, width)
        shapes.append(Rect(x, height * 0.08, stroke, height * 0.84, ink))
    if bounds.cut is not None:
        shapes.extend(_cut(axis.place(bounds.cut, width), width, height, head=head))
    return tuple(shapes)


def _kept(centre: float, wide: float, width: float) -> float:
    """Left edge of something `wide` round `centre`, inside 0 to width."""
    return min(max(centre - wide / 2, 0.0), max(width - wide, 0.0))


def _box(bounds: Bounds, axis: Axis, width: float, height: float, ink: Token) -> Shapes:
    left = axis.place(bounds.low, width)
    right = axis.place(bounds.high, width)
    high = height * 0.64
    top = (height - high) / 2
    if right - left < 1:
        return ()
    rim = frame(right - left, high, min(1.4, (right - left) / 2), ink)
    return (
        Rect(left, top, right - left, high, Token.WELL),
        *moved((rim,), left, top),
    )


def _cut(centre: float, width: float, height: float, *, head: bool) -> Shapes:
    stroke = 1.5
    line = Rect(_kept(centre, stroke, width), 0, stroke, height, Token.INK)
    if not head:
        return (line,)
    side = height * 0.26
    tip = min(max(centre, side / 2), width - side / 2)
    return (
        line,
        Polygon(((tip - side / 2, 0), (tip + side / 2, 0), (tip, side * 0.9)), Token.INK),
    )
