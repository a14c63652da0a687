"""LC-CUSUM: when a learner may be called competent, from “not competent” as the start.

Each success adds ln((1 - p0) / (1 - p1)), each failure adds ln(p0 / p1), which is below 0; the
score never falls below 0, and competence is shown where it first reaches h. h is chosen so that of
learners who fail at the unacceptable rate no more than a stated share reach it within a stated
number of attempts. Sources: Biau DJ, Williams SM, Schlup MM, Nizard RS, Porcher R (2008), British
Journal of Surgery 95:925-929; Biau DJ, Porcher R (2010), Statistics in Medicine 29:1900-1909.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from observe.domain.troubles import BadInput

Floats = NDArray[np.float64]
LEARNERS = 20_000
GREATEST = 1e6
_TINY = 1e-9
_ABOVE = 1e-6


@dataclass(frozen=True, slots=True)
class Learning:
    """What it is drawn with.

    acceptable, unacceptable: failure rates. limit: h. share: of learners at the unacceptable rate
    who reach it within so many attempts; error: its Monte-Carlo standard error, 0 for a limit that
    was given. seed: of the simulation.
    """

    acceptable: float
    unacceptable: float
    limit: float
    share: float | None = None
    attempts: int = 0
    error: float = 0.0
    seed: int = 0

    @property
    def success(self) -> float:
        """What a success adds."""
        return math.log((1 - self.acceptable) / (1 - self.unacceptable))

    @property
    def failure(self) -> float:
        """What a failure adds; below 0."""
        return math.log(self.acceptable / self.unacceptable)


@dataclass(frozen=True)
class Shown:
    """One learner.

    values: the score after each attempt. at: the attempt at which competence was shown, from 1;
    None if it was not. more: successes in a row that would show it; 0 if it was.
    """

    values: tuple[float, ...]
    at: int | None
    more: int

    @property
    def sentence(self) -> str:
        """What it comes to."""
        if self.at is not None:
            return f"Competence shown at attempt {self.at}."
        noun = "success" if self.more == 1 else "successes"
        return f"Cannot be shown with the attempts so far; {self.more} more {noun} needed in a row."


def learning(
    acceptable: float,
    unacceptable: float,
    *,
    limit: float | None = None,
    share: float = 0.05,
    attempts: int = 50,
    seed: int = 1,
) -> Learning:
    """The design; its limit by simulation where none is given.

    Raises BadInput for rates, a share, a limit or a number of attempts that cannot be.
    """
    if not 0 < acceptable < unacceptable < 1:
        raise BadInput(
            f"Failure rates of {acceptable:g} and {unacceptable:g} cannot be told apart.",
            remedy="Give the acceptable rate first, then a greater one, both between 0 and 1.",
        )
    if limit is not None:
        if not 0 < limit <= GREATEST:
            raise BadInput(
                f"A limit of {limit:g} is none.", remedy=f"Give one above 0, to {GREATEST:,.0f}."
            )
        return Learning(acceptable, unacceptable, limit)
    if not (0 < share < 0.5 and 1 <= attempts <= 1000):
        raise BadInput(
            f"A share of {share:g} within {attempts} attempts cannot be kept.",
            remedy="Give a share between 0 and 0.5, and 1 to 1000 attempts.",
        )
    plain = Learning(acceptable, unacceptable, 1.0)
    draw = np.random.default_rng(seed)
    failing = draw.random((LEARNERS, attempts)) < unacceptable
    highest = _scores(failing, plain).max(axis=1)
    # Scores have few values, and many learners end on the same: the limit lies above such a value.
    limit = float(np.quantile(highest, 1 - share, method="higher")) + _ABOVE
    chance = float((highest >= limit - _TINY).mean())
    error = math.sqrt(max(chance * (1 - chance), share * (1 - share)) / LEARNERS)
    return Learning(acceptable, unacceptable, limit, chance, attempts, error, seed)


def lc_cusum(failures: Sequence[bool | int], design: Learning) -> Shown:
    """One learner's attempts in order; 1 is a failure."""
    table = np.asarray([[bool(one) for one in failures]], dtype=bool).reshape(1, len(failures))
    scores = _scores(table, design)[0]
    (at,) = reached(table, design)
    now = float(scores[-1]) if len(scores) else 0.0
    more = 0 if at else math.ceil((design.limit - now) / design.success - _TINY)
    return Shown(tuple(float(one) for one in scores), int(at) or None, max(more, 0))


def reached(failures: NDArray[np.bool_], design: Learning) -> NDArray[np.intp]:
    """For many learners at once the attempt at which competence is shown; 0 where it is not.

    failures: shape (learners, attempts).
    """
    over = _scores(failures, design) >= design.limit - _TINY
    first = over.argmax(axis=1) if over.shape[1] else np.zeros(len(over), dtype=np.intp)
    return np.where(over.any(axis=1), first + 1, 0)


def _scores(failures: NDArray[np.bool_], design: Learning) -> Floats:
    """The score after each attempt: a sum, less its lowest point so far where that is below 0."""
    steps = np.where(failures, design.failure, design.success).astype(np.float64)
    sums = steps.cumsum(axis=1)
    lowest = np.minimum(np.minimum.accumulate(sums, axis=1), 0.0)
    return sums - lowest
