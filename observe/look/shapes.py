"""The three shapes that every mark, sign, rod and box is made of.

Origin top left, x to the right, y down, in the unit of the caller (px on the
screen, points on paper). A later shape covers an earlier one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import cos, hypot, radians, sin

from observe.look.tokens import Token

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Rect:
    """A filled rectangle with upright sides."""

    x: float
    y: float
    width: float
    height: float
    ink: Token

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def bottom(self) -> float:
        return self.y + self.height


@dataclass(frozen=True, slots=True)
class Disc:
    """A filled circle."""

    x: float
    y: float
    radius: float
    ink: Token


@dataclass(frozen=True, slots=True)
class Polygon:
    """A filled polygon, optionally with one polygonal hole inside it (even-odd filling)."""

    points: tuple[Point, ...]
    ink: Token
    hole: tuple[Point, ...] = ()


Shape = Rect | Disc | Polygon
Shapes = tuple[Shape, ...]


def moved(shapes: Iterable[Shape], dx: float, dy: float) -> Shapes:
    """The same shapes elsewhere."""
    return tuple(_moved(shape, dx, dy) for shape in shapes)


def _moved(shape: Shape, dx: float, dy: float) -> Shape:
    if isinstance(shape, Polygon):
        return replace(
            shape,
            points=tuple((x + dx, y + dy) for x, y in shape.points),
            hole=tuple((x + dx, y + dy) for x, y in shape.hole),
        )
    return replace(shape, x=shape.x + dx, y=shape.y + dy)


def in_ink(shapes: Iterable[Shape], ink: Token) -> Shapes:
    """The same shapes in one colour: on a band, or for a taken-back mark."""
    return tuple(replace(shape, ink=ink) for shape in shapes)


def extent(shapes: Iterable[Shape]) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of everything; zeros for no shapes."""
    boxes = [_extent(shape) for shape in shapes]
    if not boxes:
        return (0.0, 0.0, 0.0, 0.0)
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return (min(lefts), min(tops), max(rights), max(bottoms))


def _extent(shape: Shape) -> tuple[float, float, float, float]:
    if isinstance(shape, Rect):
        return (shape.x, shape.y, shape.right, shape.bottom)
    if isinstance(shape, Disc):
        r = shape.radius
        return (shape.x - r, shape.y - r, shape.x + r, shape.y + r)
    xs = [x for x, _ in shape.points]
    ys = [y for _, y in shape.points]
    return (min(xs), min(ys), max(xs), max(ys))


def frame(width: float, height: float, stroke: float, ink: Token) -> Polygon:
    """A hollow rectangle whose stroke lies inside the box (0, 0, width, height)."""
    s = min(stroke, width / 2, height / 2)
    return Polygon(
        points=((0, 0), (width, 0), (width, height), (0, height)),
        hole=((s, s), (width - s, s), (width - s, height - s), (s, height - s)),
        ink=ink,
    )


def band(points: Sequence[Point], stroke: float, ink: Token) -> Polygon:
    """A line of constant width along `points`: flat ends, sharp corners.

    Neighbouring points must differ; a line may not double straight back.
    """
    left = _side(points, stroke / 2)
    right = _side(points, -stroke / 2)
    return Polygon(points=(*left, *reversed(right)), ink=ink)


def _side(points: Sequence[Point], offset: float) -> list[Point]:
    normals = [_normal(a, b) for a, b in pairwise(points)]
    side = [_shifted(points[0], normals[0], offset)]
    for point, (before, after) in zip(points[1:-1], pairwise(normals), strict=True):
        mean = (before[0] + after[0], before[1] + after[1])
        size = (mean[0] ** 2 + mean[1] ** 2) / 2
        side.append(_shifted(point, mean, offset / size))
    side.append(_shifted(points[-1], normals[-1], offset))
    return side


def _normal(a: Point, b: Point) -> Point:
    length = hypot(b[0] - a[0], b[1] - a[1])
    return ((b[1] - a[1]) / length, (a[0] - b[0]) / length)


def _shifted(point: Point, direction: Point, distance: float) -> Point:
    return (point[0] + direction[0] * distance, point[1] + direction[1] * distance)


def half_disc(x: float, y: float, radius: float, ink: Token, *, leftward: bool) -> Polygon:
    """Half of a circle with an upright flat side at `x`."""
    away = -1 if leftward else 1
    arc = (radians(angle) for angle in range(-90, 91, 6))
    return Polygon(tuple((x + away * radius * cos(a), y + radius * sin(a)) for a in arc), ink)


def clipped(points: Sequence[Point], left: float, right: float) -> tuple[Point, ...]:
    """The part of a convex polygon between two upright lines; empty if there is none."""
    inside = _cut(list(points), left, keep_right=True)
    return tuple(_cut(inside, right, keep_right=False))


def _cut(points: list[Point], at: float, *, keep_right: bool) -> list[Point]:
    kept: list[Point] = []
    for (x1, y1), (x2, y2) in zip(points, points[1:] + points[:1], strict=True):
        first_in = x1 >= at if keep_right else x1 <= at
        second_in = x2 >= at if keep_right else x2 <= at
        if first_in:
            kept.append((x1, y1))
        if first_in != second_in:
            kept.append((at, y1 + (y2 - y1) * (at - x1) / (x2 - x1)))
    return kept
