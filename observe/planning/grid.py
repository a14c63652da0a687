"""The grid on which the cue is judged. It is fixed: improve the cue, never the grid.

Every combination of form, number of learners, pace model and length of a look is
one cell; in each, going round in turn and following the cue meet the same walks.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from observe.planning.walks import PaceModel

FORMS = (
    ("lumbar-puncture-adult", "side-lying"),
    ("intrauterine-device-placement", "levonorgestrel"),
)
"""Shipped forms with the variant walked."""
LEARNERS = (6, 8, 10)
LOOKS_S = (10.0, 20.0)
"""Mean seconds of a look; each look lasts from half to one and a half times that."""
OBEDIENCE = (1.0, 0.7)
"""How often the observer goes to the lit seat; else to the next in turn."""
SHARE = 1 / 3
"""A step counts as seen if this share of it was looked at, or its end."""
WALK_S, FURTHER_S, FURTHEST = 2.0, 0.5, 4
"""Seconds to a neighbour, for each seat further, and the seats after which it is no further."""
BATCH, MOST_RUNS = 40, 1000
ERROR_POINTS = 0.3
"""Runs go on, a batch at a time, until no difference has a standard error above this."""
SEED = "where to look next, 1"
WORST_POINTS = -1.0
"""Worse than this anywhere on the grid, and the cue is off by default."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One combination. look_s: mean length of a look."""

    form: str
    variant: str
    learners: int
    pace: PaceModel
    look_s: float


def cells() -> tuple[Cell, ...]:
    """The whole grid, in the order of its table."""
    return tuple(
        Cell(form, variant, learners, pace, look_s)
        for (form, variant), pace, learners, look_s in product(FORMS, PaceModel, LEARNERS, LOOKS_S)
    )
