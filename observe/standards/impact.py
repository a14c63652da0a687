"""What a cut would do: who passes and fails, how that changes, and how scores lie about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from observe.domain.troubles import BadInput
from observe.standards.scores import Floats, below, numbers


@dataclass(frozen=True, slots=True)
class Effect:
    """One cut over some scores.

    failed, passed: how many; rate: percent failing. near: how many lie within one standard
    error of the cut, None without one. newly_failing, newly_passing: against the present
    cut; None where none was given. failed_low, failed_high: failing at the cut less and
    plus one standard error; None without one.
    """

    name: str
    cut: float
    passed: int
    failed: int
    rate: float
    near: int | None
    failed_low: int | None
    failed_high: int | None
    newly_failing: int | None
    newly_passing: int | None


@dataclass(frozen=True, slots=True)
class Impact:
    """Cuts side by side. distribution: least, lower quarter, median, upper quarter, greatest."""

    n: int
    missing: int
    present: float | None
    effects: tuple[Effect, ...]
    distribution: tuple[float, float, float, float, float]


def impact(
    scores: Sequence[float | None],
    cuts: Mapping[str, tuple[float, float | None]],
    *,
    present: float | None = None,
) -> Impact:
    """What each cut, by name with its standard error or None, does to these candidates.

    present: the cut in force now. Raises BadInput if nobody has a score. Quartiles
    interpolate linearly.
    """
    given = numbers(scores, "score")
    kept = given[~np.isnan(given)]
    if not len(kept):
        raise BadInput(
            "No candidate has a score.", where="scores", remedy="Give the scores of a cohort."
        )
    quarters = np.quantile(kept, [0, 0.25, 0.5, 0.75, 1])
    least, low, middle, high, greatest = (float(value) for value in quarters)
    return Impact(
        n=len(kept),
        missing=len(given) - len(kept),
        present=present,
        effects=tuple(_effect(kept, name, cut, se, present) for name, (cut, se) in cuts.items()),
        distribution=(least, low, middle, high, greatest),
    )


def _effect(
    scores: Floats, name: str, cut: float, se: float | None, present: float | None
) -> Effect:
    fails = below(scores, cut)
    failed = int(fails.sum())
    before = None if present is None else below(scores, present)
    near = low = high = None
    if se is not None:
        low = int(below(scores, cut - se).sum())
        high = int(below(scores, cut + se).sum())
        near = int((np.abs(scores - cut) <= se + 1e-9 * max(1.0, abs(cut))).sum())
    return Effect(
        name=name,
        cut=cut,
        passed=len(scores) - failed,
        failed=failed,
        rate=100 * failed / len(scores),
        near=near,
        failed_low=low,
        failed_high=high,
        newly_failing=None if before is None else int((fails & ~before).sum()),
        newly_passing=None if before is None else int((~fails & before).sum()),
    )
