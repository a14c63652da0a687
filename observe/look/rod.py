"""The rod: one bar for each attempt, one block for each step, width by weight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from observe.look.marks import MarkLook, rod_mark_shapes
from observe.look.shapes import Polygon, Rect, Shape, Shapes, moved
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Token

_UNWEIGHTED = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class RodStep:
    """One step of a rod. weight: 0 for a step that is not scored, drawn narrow."""

    look: MarkLook
    weight: Fraction | int = 1
    new_phase: bool = False


@dataclass(frozen=True, slots=True)
class Rod:
    """A rod laid out in (0, 0, width, height).

    places: the box of each step, in order, over the full height.
    """

    width: float
    height: float
    shapes: Shapes
    places: tuple[Rect, ...]

    def at(self, x: float) -> int | None:
        """The number (from 0) of the step nearest to `x`; None for a rod without steps."""
        if not self.places:
            return None
        return min(
            range(len(self.places)),
            key=lambda place: abs(self.places[place].x + self.places[place].width / 2 - x),
        )


def rod(
    steps: Sequence[RodStep],
    width: float,
    height: float,
    *,
    gap: float = 1,
    phase_gap: float = 3,
    whole: bool = False,
) -> Rod:
    """Lay out a rod. whole: put edges on whole px, for a screen."""
    places = _places(steps, width, height, gap, phase_gap)
    if whole:
        places = [_whole(place) for place in places]
    shapes: list[Shape] = []
    for step, place in zip(steps, places, strict=True):
        drawn = rod_mark_shapes(step.look, place.width, height)
        shapes.extend(moved(drawn, place.x, 0))
    return Rod(width, height, tuple(shapes), tuple(places))


def pennants(rod: Rod, flags: Sequence[tuple[int, SignLook]], side: float) -> Shapes:
    """Pennants that stand on the rod: their foot at y = 0, growing upward to -side.

    flags: step number from 0 and its sign. Neighbours are pushed to the right so
    that none covers another, then back to the left from the end of the rod.
    """
    ordered = sorted(flags, key=lambda flag: flag[0])
    lefts: list[float] = []
    free = 0.0
    for step, _ in ordered:
        lefts.append(max(rod.places[step].x, free))
        free = lefts[-1] + side * 1.15
    limit = rod.width - side
    for place in range(len(lefts) - 1, -1, -1):
        lefts[place] = max(0.0, min(lefts[place], limit))
        limit = lefts[place] - side * 1.15
    shapes: list[Shape] = []
    for left, (_, look) in zip(lefts, ordered, strict=True):
        shapes.extend(moved(sign_shapes(look, side), left, -side))
    return tuple(shapes)


def now_shapes(rod: Rod, step: int, side: float) -> Shapes:
    """A small triangle under the sill that points up at the step in hand."""
    place = rod.places[step]
    middle = min(max(place.x + place.width / 2, side / 2), rod.width - side / 2)
    top = rod.height + 1
    points = ((middle, top), (middle + side / 2, top + side), (middle - side / 2, top + side))
    return (Polygon(points, Token.ACT),)


def _places(
    steps: Sequence[RodStep], width: float, height: float, gap: float, phase_gap: float
) -> list[Rect]:
    gaps = [
        0.0 if number == 0 else phase_gap if step.new_phase else gap
        for number, step in enumerate(steps)
    ]
    spare = width - sum(gaps)
    if spare < 2 * len(steps):
        gaps = [0.0] * len(steps)
        spare = width
    weights = [_UNWEIGHTED if step.weight <= 0 else Fraction(step.weight) for step in steps]
    total = sum(weights)
    places: list[Rect] = []
    x = 0.0
    for before, weight in zip(gaps, weights, strict=True):
        x += before
        wide = float(spare * float(weight / total))
        places.append(Rect(x, 0, wide, height, Token.RULE))
        x += wide
    return places


def _whole(place: Rect) -> Rect:
    left = round(place.x)
    return Rect(left, place.y, max(1, round(place.right) - left), place.height, place.ink)
