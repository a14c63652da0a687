"""How far a cut would move with other candidates or judges: the bootstrap, with a seed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from observe.standards.cut import Asking
from observe.standards.scores import Flags, Floats, Whole

RESAMPLES = 2000
CELLS = 2_000_000
FEWEST_SHARE = 0.5

Statistic: TypeAlias = Callable[[Whole], tuple[Floats, Flags]]


@dataclass(frozen=True, slots=True)
class Resampled:
    """What came of resampling.

    se, limits: standard deviation and percentiles of the resampled values; None where
    fewer than half of the resamples had a value, or all had the same. empty: resamples
    without one. still: whether all had the same.
    """

    se: float | None
    limits: tuple[float, float] | None
    empty: int
    times: int
    still: bool = False

    @property
    def note(self) -> str:
        """How many resamples had no value, a sentence; empty if all had one."""
        said = []
        if self.empty:
            said.append(f"{self.empty:,} of {self.times:,} resamples had no cut and were left out.")
        if self.still:
            said.append("Every resample has the same cut: no standard error is given from them.")
        elif self.se is None:
            said.append("Too few resamples had a cut: no standard error is given from them.")
        return " ".join(said)


def bootstrap(
    statistic: Statistic, groups: Sequence[int], asking: Asking, times: int = RESAMPLES
) -> Resampled:
    """Resample within groups, as many from each as it has, and take the statistic each time.

    statistic: of places, shape (resamples, n), to values and whether each is defined.
    groups: sizes of the groups, whose members stand one group after the other. Source:
    Efron B, Tibshirani RJ (1993), An Introduction to the Bootstrap, chapters 6 and 13.
    """
    random = np.random.default_rng(asking.seed)
    starts = np.cumsum([0, *groups])
    at_once = max(1, CELLS // max(1, int(starts[-1])))
    values: list[Floats] = []
    flags: list[Flags] = []
    for done in range(0, times, at_once):
        count = min(at_once, times - done)
        drawn = [
            random.integers(start, start + size, size=(count, size))
            for start, size in zip(starts, groups, strict=False)
        ]
        value, defined = statistic(np.concatenate(drawn, axis=1))
        values.append(value)
        flags.append(defined)
        if asking.tick is not None:
            asking.tick(done + count, times)
    return summed_up(np.concatenate(values), np.concatenate(flags), asking.level)


def summed_up(values: Floats, defined: Flags, level: float) -> Resampled:
    """Standard error and percentile limits of resampled values, shape (times,)."""
    times = len(values)
    kept = values[defined]
    empty = times - len(kept)
    if len(kept) < max(2.0, FEWEST_SHARE * times):
        return Resampled(None, None, empty, times)
    if kept.max() - kept.min() <= 1e-12 * max(1.0, float(np.abs(kept).max())):
        return Resampled(None, None, empty, times, still=True)
    tail = (1 - level) / 2
    low, high = np.quantile(kept, [tail, 1 - tail])
    return Resampled(float(kept.std(ddof=1)), (float(low), float(high)), empty, times)
