"""How fast each learner goes, by when marks were seen; held by the group and a first guess.

Marks tell the pace only where they lie in order. A pause counts for no more than three
usual steps, so that one long silence does not make a slow learner.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

STEP_NS = 30_000_000_000.0
"""What a step takes before anything is known."""
GROUP_STEPS, OWN_STEPS = 8.0, 6.0
"""How many steps the first guess is worth to the group, and the group to a learner."""
SPREAD = 0.3
"""How much learners differ from their group before their own marks say more."""
LEAST_SPREAD = 0.1
FEWEST = 1 / 3
MOST = 3.0
"""One stretch between two marks counts for no less, and no more, than this many usual ones."""

Sighting = tuple[int, int]
"""A mark as it was seen: the step's place from 0, and the attempt's clock in ns."""


@dataclass(frozen=True, slots=True)
class Pace:
    """step_ns: time for one step. spread: relative uncertainty of that for this learner."""

    step_ns: float
    spread: float


def paces(learners: Iterable[Sequence[Sighting]]) -> list[Pace]:
    """The pace of each learner, from their sightings in the order of time."""
    stretches = [_stretches(one) for one in learners]
    usual = _usual([pair for one in stretches for pair in one])
    held = [[(steps, _held(each, usual)) for steps, each in one] for one in stretches]
    steps = GROUP_STEPS + sum(count for one in held for count, _ in one)
    spent = GROUP_STEPS * STEP_NS + sum(count * each for one in held for count, each in one)
    return [_own(one, spent / steps) for one in held]


def _stretches(seen: Sequence[Sighting]) -> list[tuple[int, float]]:
    """How many steps lie between two marks, and the time for each of them.

    The first stretch runs from the start of the clock, unless the mark itself
    started it.
    """
    found = []
    place, at = -1, 0
    for next_place, next_at in seen:
        if next_place > place and next_at > at:
            found.append((next_place - place, (next_at - at) / (next_place - place)))
        if next_place > place:
            place, at = next_place, next_at
    return found


def _usual(stretches: Sequence[tuple[int, float]]) -> float:
    """The median time for a step, each stretch counted by its steps, the first guess with them."""
    ranked = sorted((each, steps) for steps, each in (*stretches, (int(GROUP_STEPS), STEP_NS)))
    half = sum(steps for _, steps in ranked) / 2
    for each, steps in ranked:
        half -= steps
        if half <= 0:
            return each
    return STEP_NS


def _held(each: float, usual: float) -> float:
    return min(max(each, FEWEST * usual), MOST * usual)


def _own(stretches: Sequence[tuple[int, float]], group: float) -> Pace:
    steps = OWN_STEPS + sum(count for count, _ in stretches)
    spent = OWN_STEPS * group + sum(count * each for count, each in stretches)
    return Pace(spent / steps, max(LEAST_SPREAD, SPREAD * (OWN_STEPS / steps) ** 0.5))
