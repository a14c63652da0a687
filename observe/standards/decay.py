"""How long a skill lasts: a forgetting curve of a programme, and when to call learners back.

Retention falls as exp(-λ t); λ by maximum likelihood from who still passed after how many months.
Individual loss cannot be foretold from it, so a date is for a programme (rule A8). Sources: for the
curve Arthur W et al. (1998), Human Performance 11:57-101; for the use Barsuk JH et al. (2010),
Academic Medicine 85(10 Suppl):S9-12.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from observe.domain.troubles import BadInput

FEWEST = 10
SOONEST, LATEST = 0.01, 1200.0
"""Months that a retest may come after a success."""


@dataclass(frozen=True)
class Decay:
    """rate: λ a month. se: its standard error. low, high: 95 % limits, on the log of λ.

    n, passed: what it rests on. undefined: a sentence where there is none; the rest is None then.
    """

    rate: float | None
    se: float | None
    low: float | None
    high: float | None
    n: int
    passed: int
    undefined: str = ""

    @property
    def half_life(self) -> float | None:
        """Months until half still pass."""
        return self.months(0.5)

    def months(self, share: float) -> float | None:
        """Months until this share still pass; None without a rate."""
        return -math.log(share) / self.rate if self.rate else None


def decay(retests: Sequence[tuple[float, int, int]]) -> Decay:
    """The curve of a programme.

    retests: months since the last success, how many still passed, and of how many. Raises
    BadInput for months under 0.01 or over 1,200, and counts that cannot be.
    """
    for months, passed, of in retests:
        if not SOONEST <= months <= LATEST or not 0 <= passed <= of:
            raise BadInput(
                f"{passed} of {of} after {months:g} months cannot be.",
                remedy="Give months from 0.01 to 1,200, and how many passed of how many.",
            )
    n, passed = sum(one[2] for one in retests), sum(one[1] for one in retests)
    if n < FEWEST:
        said = f"Not estimable: {n} retests, and {FEWEST} are needed."
        return Decay(None, None, None, None, n, passed, said)
    if passed in (0, n):
        word = "all" if passed else "none"
        said = f"Not estimable: {word} of {n} still passed, so nothing says how fast it falls."
        return Decay(None, None, None, None, n, passed, said)
    low, high = 1e-15, 1e6
    for _ in range(200):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if _slope(retests, middle) > 0 else (low, middle)
    rate = math.sqrt(low * high)
    information = sum(
        of * months**2 * math.exp(-rate * months) / -math.expm1(-rate * months)
        for months, _, of in retests
    )
    se = 1 / math.sqrt(information)
    wide = math.exp(min(1.959963984540054 * se / rate, 600.0))
    return Decay(rate, se, rate / wide, rate * wide, n, passed)


def _slope(retests: Sequence[tuple[float, int, int]], rate: float) -> float:
    """The slope of the log likelihood in λ."""
    return sum(
        (of - passed) * months * math.exp(-rate * months) / -math.expm1(-rate * months)
        - passed * months
        for months, passed, of in retests
    )
