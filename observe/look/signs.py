"""The signs: critical items, order, stops, observers, seals, amendments, troubles.

Straight lines and right angles. A pole with a pennant is a critical item and
nothing else is. Solid is a state, a stroke is a deed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import StrEnum
from types import MappingProxyType

from observe.look.shapes import (
    Disc,
    Point,
    Polygon,
    Rect,
    Shape,
    Shapes,
    band,
    clipped,
    frame,
    half_disc,
    moved,
)
from observe.look.tokens import Token

_MOST_BARS = 6


class SignLook(StrEnum):
    """Every sign that fills a square. A barrier and a tally have functions of their own."""

    ABSOLUTE = "absolute"
    RECOVERED = "recovered"
    AVERTED = "averted"
    UNNAMED = "unnamed"
    NEEDS_EARLIER = "needs-earlier"
    PAUSED = "paused"
    BLIND = "blind"
    BOTH_SEALED = "both-sealed"
    SEALED = "sealed"
    AMENDED = "amended"
    TROUBLE = "trouble"
    VOICED = "voiced"


def sign_shapes(look: SignLook, side: float) -> Shapes:
    """The sign in a square (0, 0, side, side)."""
    return _SIGNS[look](side)


def tally_shapes(count: int, fatal_at: int, side: float) -> Shapes:
    """A pole with one bar for each time; places still free before it is fatal are thin.

    At most six bars are drawn: the words beside it say "2 of 3".
    """
    places = max(1, min(max(count, fatal_at), _MOST_BARS))
    pitch = side / max(places, 3.5)
    left = _pole(side).right + side * 0.08
    bars: list[Shape] = [_pole(side)]
    for place in range(places):
        thick = pitch * (0.55 if place < count else 0.2)
        bars.append(Rect(left, place * pitch, side * 0.92 - left, thick, Token.CRIT))
    return tuple(bars)


def barrier_shapes(width: float, height: float) -> Shapes:
    """Slanted ink stripes over the whole box: stopped for safety."""
    stripe = max(4.0, height * 0.55)
    stripes: list[Shape] = []
    x = -height
    while x < width:
        slanted = ((x, height), (x + height, 0), (x + height + stripe, 0), (x + stripe, height))
        points = clipped(slanted, 0, width)
        if len(points) >= 3:
            stripes.append(Polygon(points, Token.INK))
        x += 2 * stripe
    return tuple(stripes)


def _pole(side: float) -> Rect:
    return Rect(0, 0, max(1.4, side * 0.1), side, Token.CRIT)


def _pennant(side: float) -> tuple[Point, Point, Point]:
    left = _pole(side).right
    return ((left, side * 0.03), (side * 0.94, side * 0.27), (left, side * 0.55))


def _open_pennant(side: float, reach: float) -> Polygon:
    left = _pole(side).right
    points = ((left, side * 0.03), (reach, side * 0.27), (left, side * 0.55))
    return Polygon(points, Token.CRIT, hole=_inset(points, max(1.2, side * 0.08)))


def _inset(points: tuple[Point, Point, Point], stroke: float) -> tuple[Point, ...]:
    """The triangle that leaves a rim of `stroke` inside another; none if there is no room."""
    (x1, y1), (x2, y2), (x3, y3) = points
    a = ((x2 - x3) ** 2 + (y2 - y3) ** 2) ** 0.5
    b = ((x1 - x3) ** 2 + (y1 - y3) ** 2) ** 0.5
    c = ((x1 - x2) ** 2 + (y1 - y2) ** 2) ** 0.5
    area = abs((x2 - x1) * (y3 - y1) - (x3 - x1) * (y2 - y1)) / 2
    inradius = 2 * area / (a + b + c)
    share = 1 - stroke / inradius
    if share <= 0:
        return ()
    cx, cy = (
        (a * x1 + b * x2 + c * x3) / (a + b + c),
        (a * y1 + b * y2 + c * y3) / (a + b + c),
    )
    return tuple((cx + (x - cx) * share, cy + (y - cy) * share) for x, y in points)


def _absolute(side: float) -> Shapes:
    return (_pole(side), Polygon(_pennant(side), Token.CRIT))


def _recovered(side: float) -> Shapes:
    """An open pennant, and a foot that steps up: the learner came back by themselves."""
    foot = max(1.4, side * 0.1)
    step_up = side * 0.94
    return (
        _pole(side),
        _open_pennant(side, side * 0.94),
        Rect(side * 0.28, side - foot, step_up - side * 0.28, foot, Token.CRIT),
        Rect(step_up - foot, side * 0.7, foot, side * 0.3, Token.CRIT),
    )


def _averted(side: float) -> Shapes:
    """An open pennant that ends at an upright wall: a hand was in the way."""
    wall = max(1.4, side * 0.12)
    return (
        _pole(side),
        _open_pennant(side, side - wall - side * 0.06),
        Rect(side - wall, 0, wall, side, Token.CRIT),
    )


def _unnamed(side: float) -> Shapes:
    """A pennant in a frame: the time is kept, the item has no name yet."""
    rim = min(3.0, side * 0.1)
    inner = side - 4 * rim
    return (
        frame(side, side, rim, Token.CRIT),
        *moved(_absolute(inner), 2 * rim, 2 * rim),
    )


def _needs_earlier(side: float) -> Shapes:
    stroke = side * 0.12
    return (
        Rect(side * 0.08, side * 0.06, stroke, side * 0.88, Token.WRONG),
        band(
            (
                (side * 0.84, side * 0.13),
                (side * 0.4, side * 0.5),
                (side * 0.84, side * 0.87),
            ),
            stroke,
            Token.WRONG,
        ),
    )


def _paused(side: float) -> Shapes:
    wide = side * 0.24
    return (
        Rect(side * 0.16, side * 0.08, wide, side * 0.84, Token.INK),
        Rect(side * 0.6, side * 0.08, wide, side * 0.84, Token.INK),
    )


def _blind(side: float) -> Shapes:
    wall = max(1.2, side * 0.08)
    gap = max(1.2, side * 0.08)
    middle = side / 2
    reach = min(side * 0.36, middle - wall / 2 - gap)
    return (
        half_disc(middle - wall / 2 - gap, middle, reach, Token.INK, leftward=True),
        Rect(middle - wall / 2, 0, wall, side, Token.INK),
        half_disc(middle + wall / 2 + gap, middle, reach, Token.INK, leftward=False),
    )


def _both_sealed(side: float) -> Shapes:
    return (Disc(side / 2, side / 2, side * 0.36, Token.INK),)


def _sealed(side: float) -> Shapes:
    bar = max(1.4, side * 0.13)
    return (
        Rect(0, 0, side, bar, Token.INK),
        Rect(side * 0.25, side * 0.25, side * 0.5, side * 0.5, Token.INK),
        Rect(0, side - bar, side, bar, Token.INK),
    )


def _amended(side: float) -> Shapes:
    points = ((side * 0.09, side * 0.88), (side * 0.5, side * 0.2), (side * 0.91, side * 0.88))
    return (band(points, side * 0.12, Token.INK),)


def _trouble(side: float) -> Shapes:
    """A rod broken in two, its right half lower."""
    high = side * 0.26
    left = ((0, 0), (side * 0.56, 0), (side * 0.42, high), (0, high))
    right = ((side * 0.58, 0), (side, 0), (side, high), (side * 0.44, high))
    return (
        *moved((Polygon(left, Token.WRONG),), 0, side * 0.2),
        *moved((Polygon(right, Token.WRONG),), 0, side * 0.54),
    )


def _voiced(side: float) -> Shapes:
    """A square-cornered speech mark, hollow: it was said, the hand was not seen to do it."""
    stroke = max(1.2, side * 0.1)
    return (
        frame(side, side * 0.72, stroke, Token.INK),
        Polygon(
            ((side * 0.16, side * 0.7), (side * 0.46, side * 0.7), (side * 0.16, side)),
            Token.INK,
        ),
    )


_SIGNS: Mapping[SignLook, Callable[[float], Shapes]] = MappingProxyType(
    {
        SignLook.ABSOLUTE: _absolute,
        SignLook.RECOVERED: _recovered,
        SignLook.AVERTED: _averted,
        SignLook.UNNAMED: _unnamed,
        SignLook.NEEDS_EARLIER: _needs_earlier,
        SignLook.PAUSED: _paused,
        SignLook.BLIND: _blind,
        SignLook.BOTH_SEALED: _both_sealed,
        SignLook.SEALED: _sealed,
        SignLook.AMENDED: _amended,
        SignLook.TROUBLE: _trouble,
        SignLook.VOICED: _voiced,
    }
)
