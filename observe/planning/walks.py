"""Invented learners walking through a procedure, for judging cues before anyone relies on them.

A walk is drawn from a named pace model and a seed: the same names, the same walk.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

STEP_S = 30.0
"""Seconds a step takes on average where the pace model is right."""
STEP_SIGMA = 0.47
"""Log-normal spread of one step (a coefficient of variation of one half)."""
LEARNER_SIGMA = 0.2
"""Log-normal spread between learners."""
START_S = 60.0
"""Learners begin within this many seconds of one another."""


class PaceModel(StrEnum):
    """How learners really go, told as it differs from what the cue takes for granted."""

    RIGHT = "right"
    SLOW = "twice as slow"
    FAST = "twice as fast"
    HEAVY = "heavy tails and pauses"
    ORDER = "other order, steps left out"
    UNEVEN = "steps of very unequal length"
    MIXED = "half, usual or double speed"


@dataclass(frozen=True, slots=True)
class Happening:
    """One step as it happened: its place in the form, and when it began and ended, in seconds."""

    place: int
    begins: float
    ends: float

    def is_seen(self, begins: float, ends: float, share: float) -> bool:
        """Whether a look shows it: its end falls within, or at least `share` of it does."""
        if begins <= self.ends <= ends:
            return True
        both = min(self.ends, ends) - max(self.begins, begins)
        return both >= share * (self.ends - self.begins)


Walk = Sequence[Happening]


def walks(model: PaceModel, learners: int, steps: int, seed: str) -> list[Walk]:
    """Draw one walk for each learner, every one of them in the order of time.

    steps: how many the form has. Draws are the same whatever a look lasts, so that
    strategies are compared on the same walks.
    """
    draw = random.Random(f"{seed}/{model.value}/{learners}/{steps}")  # noqa: S311 - repeatable
    unequal = [1.0] * steps
    if model is PaceModel.UNEVEN:
        unequal = [_log_normal(draw, 0.8) for _ in range(steps)]
    return [_walk(draw, model, unequal) for _ in range(learners)]


def _walk(draw: random.Random, model: PaceModel, unequal: Sequence[float]) -> Walk:
    now = draw.uniform(0, START_S)
    pace = STEP_S * _log_normal(draw, LEARNER_SIGMA) * _speed(draw, model)
    walk = []
    for place in _order(draw, model, len(unequal)):
        ends = now + max(1.0, pace * unequal[place] * _length(draw, model))
        walk.append(Happening(place, now, ends))
        now = ends + _pause(draw, model)
    return walk


def _log_normal(draw: random.Random, sigma: float) -> float:
    """A log-normal number whose mean is 1."""
    return math.exp(draw.gauss(-sigma * sigma / 2, sigma))


def _speed(draw: random.Random, model: PaceModel) -> float:
    if model is PaceModel.MIXED:
        return draw.choice((0.5, 1.0, 2.0))
    return {PaceModel.SLOW: 2.0, PaceModel.FAST: 0.5}.get(model, 1.0)


def _length(draw: random.Random, model: PaceModel) -> float:
    return _log_normal(draw, 1.0 if model is PaceModel.HEAVY else STEP_SIGMA)


def _pause(draw: random.Random, model: PaceModel) -> float:
    """Seconds of standing still after a step: one in twelve in the heavy model, up to 5 minutes."""
    if model is not PaceModel.HEAVY or draw.random() > 1 / 12:
        return 0.0
    return min(300.0, STEP_S * draw.paretovariate(1.5))


def _order(draw: random.Random, model: PaceModel, steps: int) -> list[int]:
    """Places as they are done; where order is loose, one in 20 left out, one in 5 swapped."""
    order = list(range(steps))
    if model is not PaceModel.ORDER:
        return order
    order = [place for place in order if draw.random() > 0.05] or order
    place = 0
    while place < len(order) - 1:
        if draw.random() < 0.2:
            order[place], order[place + 1] = order[place + 1], order[place]
            place += 1
        place += 1
    return order
