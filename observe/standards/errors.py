"""Wrong decisions at each cut: who passes and should not, who fails and should not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from observe.domain.troubles import BadInput
from observe.standards.scores import Floats


@dataclass(frozen=True, slots=True)
class Loss:
    """What one wrong decision costs. Raises BadInput unless both are above 0."""

    false_pass: float = 1.0
    false_fail: float = 1.0

    def __post_init__(self) -> None:
        if not (0 < self.false_pass < 1e100 and 0 < self.false_fail < 1e100):
            raise BadInput(
                f"Losses of {self.false_pass:g} and {self.false_fail:g} cannot be weighed.",
                where="loss",
                remedy="Give what a false pass and a false fail cost, both above 0.",
            )


@dataclass(frozen=True, slots=True)
class Fewest:
    """The cuts that cost least. lowest, highest: scores; errors: at the highest, unweighted."""

    loss: float
    errors: int
    lowest: float
    highest: float


def fewest(qualified: Floats, others: Floats, loss: Loss) -> Fewest | None:
    """The scores that, taken as the cut, cost least in wrong decisions; shapes (size,).

    Every cut between two neighbouring scores decides like the upper one. None where it
    costs less still to pass nobody. Source: Livingston SA, Zieky MJ (1982), Passing Scores.
    """
    points = np.unique(np.concatenate([qualified, others]))
    failed = np.searchsorted(np.sort(qualified), points, side="left")
    passed = len(others) - np.searchsorted(np.sort(others), points, side="left")
    costs = loss.false_fail * failed + loss.false_pass * passed
    least = float(costs.min())
    if loss.false_fail * len(qualified) < least:
        return None
    best = np.flatnonzero(costs <= least * (1 + 1e-12))
    top = int(best[-1])
    return Fewest(least, int(failed[top] + passed[top]), float(points[best[0]]), float(points[top]))
