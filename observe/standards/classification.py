"""How sure a pass or a fail by one cut is: accuracy and consistency of classifications.

Source: Livingston SA, Lewis C (1995), Journal of Educational Measurement 32:179-197; four-parameter
beta by moments: Hanson BA (1991), ACT Research Report 91-5; one score: Bayes on the same model.
They cover the cut alone: a rule with further lines is judged by simulation (rule A7).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from observe.domain.troubles import BadInput

Floats = NDArray[np.float64]
FEWEST = 10
NODES = 400


@dataclass(frozen=True, slots=True)
class Beta:
    """A distribution of true scores as shares of the scale: a beta between two ends."""

    a: float
    b: float
    low: float = 0.0
    high: float = 1.0

    def below(self, share: float) -> float:
        """The share of learners whose true score lies below."""
        inside = min(max((share - self.low) / (self.high - self.low), 0.0), 1.0)
        return float(special.betainc(self.a, self.b, inside))

    def at(self, order: Floats) -> Floats:
        """The true scores below which these shares of learners lie."""
        found: Floats = self.low + (self.high - self.low) * special.betaincinv(
            self.a, self.b, order
        )
        return found


@dataclass(frozen=True)
class Classification:
    """What the cut does. Rates are shares of all learners.

    parameters: 4 or 2, of the distribution of true scores. effective, length: test length, and
    rounded. pass_at: the least sum on that length that passes. accuracy: right decisions;
    false_pass, false_fail. consistency: the same decision twice; chance, kappa. sem: absolute, in
    the score's unit. scores: how many; notes: what a reader has to know.
    """

    true: Beta
    parameters: int
    effective: float
    length: int
    pass_at: int
    accuracy: float
    false_pass: float
    false_fail: float
    consistency: float
    chance: float
    kappa: float | None
    sem: float
    mean: float
    variance: float
    scores: int
    notes: tuple[str, ...]
    least: float = 0.0
    most: float = 100.0
    cut: float = 0.0

    def sure(self, score: float) -> float:
        """The probability that a learner with this score is truly at or above the cut."""
        sum_ = (score - self.least) / (self.most - self.least) * self.length
        nodes, weights = _quadrature(0.0, 1.0)
        true = self.true.at(nodes)
        logs = sum_ * np.log(np.clip(true, 1e-300, 1)) + (self.length - sum_) * np.log(
            np.clip(1 - true, 1e-300, 1)
        )
        likely = weights * np.exp(logs - logs.max())
        share = (self.cut - self.least) / (self.most - self.least)
        return float(likely[true >= share].sum() / likely.sum())


def classification(
    scores: Sequence[float],
    cut: float,
    reliability: float,
    *,
    least: float = 0.0,
    most: float = 100.0,
    parameters: int = 0,
) -> Classification:
    """Judge a cut on scores of a known reliability.

    reliability: Φ of the scores, from a design that includes observers (rule A1). least, most: of
    the scale. parameters: 4, 2, or 0 for 4 where they can be fitted, else 2. Raises BadInput for
    fewer than 10 scores, scores outside the scale, a reliability outside 0 to 1, and scores to
    which no such model fits.
    """
    values = np.asarray(scores, dtype=np.float64)
    _require(values, cut, reliability, least, most)
    variance = float(values.var(ddof=1))
    mean = float(values.mean())
    effective = ((mean - least) * (most - mean) - reliability * variance) / (
        variance * (1 - reliability)
    )
    length = round(effective)
    if length < 2:
        raise BadInput(
            "These scores vary more than any test of such a reliability could.",
            remedy="Check the reliability, and the ends of the scale.",
        )
    true, notes = _true(values, least, most, effective, parameters)
    share = (cut - least) / (most - least)
    pass_at = max(math.floor(share * length + 1e-9), 0)
    below = true.below(share)

    def passing(p: Floats) -> Floats:
        if pass_at == 0:
            return np.ones_like(p)
        return np.asarray(special.bdtrc(pass_at - 1, length, p), dtype=np.float64)

    right = _mean(true, passing, below, 1.0)
    false_pass = _mean(true, passing, 0.0, below)
    consistency = _mean(true, lambda p: passing(p) ** 2 + (1 - passing(p)) ** 2, 0.0, 1.0)
    once = right + false_pass
    chance = once**2 + (1 - once) ** 2
    return Classification(
        true=true,
        parameters=2 if (true.low, true.high) == (0.0, 1.0) else 4,
        effective=effective,
        length=length,
        pass_at=pass_at,
        accuracy=right + below - false_pass,
        false_pass=false_pass,
        false_fail=max(1 - below - right, 0.0),
        consistency=consistency,
        chance=chance,
        kappa=(consistency - chance) / (1 - chance) if chance < 1 - 1e-12 else None,
        sem=math.sqrt(variance * (1 - reliability)),
        mean=mean,
        variance=variance,
        scores=len(values),
        notes=tuple(notes),
        least=least,
        most=most,
        cut=cut,
    )


def _require(values: Floats, cut: float, reliability: float, least: float, most: float) -> None:
    if len(values) < FEWEST:
        raise BadInput(
            f"{len(values)} scores are too few to tell how they are spread.",
            remedy=f"Give {FEWEST} or more.",
        )
    if not least < most or not least < cut < most:
        raise BadInput(
            f"A cut of {cut:g} does not lie inside a scale from {least:g} to {most:g}.",
            remedy="Give the least and the greatest score there can be.",
        )
    if values.min() < least or values.max() > most:
        raise BadInput(
            f"A score lies outside the scale from {least:g} to {most:g}.",
            remedy="Give the least and the greatest score there can be.",
        )
    if not 0 < reliability < 1:
        raise BadInput(
            f"A reliability of {reliability:g} is not between 0 and 1.",
            remedy="Give Φ of these scores, such as 0.8.",
        )
    if float(values.var()) <= 0:
        raise BadInput("Every score is the same.", remedy="Ask again with scores that differ.")


def _true(
    values: Floats, least: float, most: float, effective: float, parameters: int
) -> tuple[Beta, list[str]]:
    """The distribution of true scores, by the moments that it leaves in observed ones."""
    sums = (values - least) / (most - least) * effective
    moments, falling = [], np.ones_like(sums)
    size = 1.0
    for order in range(4):
        falling = falling * (sums - order)
        size *= effective - order
        moments.append(float(falling.mean()) / size)
    mean, variance = moments[0], moments[1] - moments[0] ** 2
    if variance <= 0 or mean * (1 - mean) <= variance:
        raise BadInput(
            "The scores differ by no more than chance at this reliability.",
            remedy="Check the reliability: it is too low for these scores.",
        )
    notes = ["The cut is put on the effective length by rounding down; other programs may differ."]
    if parameters != 2:
        four = _four(moments, mean, variance)
        if four is not None:
            return four, notes
        notes.append("Four parameters could not be fitted, so the true scores have two.")
    k = mean * (1 - mean) / variance - 1
    return Beta(mean * k, (1 - mean) * k), notes


def _four(moments: Sequence[float], mean: float, variance: float) -> Beta | None:
    """A beta between two ends with these four moments; None where there is none in 0 to 1."""
    second, third, fourth = moments[1], moments[2], moments[3]
    skew = (third - 3 * mean * second + 2 * mean**3) / variance**1.5
    kurtosis = (fourth - 4 * mean * third + 6 * mean**2 * second - 3 * mean**4) / variance**2
    below = 6 + 3 * skew**2 - 2 * kurtosis
    if abs(below) < 1e-12:
        return None
    r = 6 * (kurtosis - skew**2 - 1) / below
    inner = (r + 2) * (r + 3) * kurtosis - 3 * (r + 1) * (r - 6)
    if r <= 0 or inner == 0:
        return None
    root = 1 - 24 * (r + 1) / inner
    if not 0 <= root < 1:
        return None
    large, small = (r / 2 * (1 + sign * math.sqrt(root)) for sign in (1, -1))
    a, b = (large, small) if skew < 0 else (small, large)
    if min(a, b) <= 0:
        return None
    spread = math.sqrt(variance * (a + b + 1) / (a * b))
    low, high = mean - a * spread, mean + b * spread
    return Beta(a, b, low, high) if 0 <= low < high <= 1 else None


def _quadrature(start: float, end: float) -> tuple[Floats, Floats]:
    nodes, weights = np.polynomial.legendre.leggauss(NODES)
    half = (end - start) / 2
    return start + (nodes + 1) * half, weights * half


def _mean(true: Beta, what: Callable[[Floats], Floats], start: float, end: float) -> float:
    """The integral of something over the learners between two shares."""
    if end <= start:
        return 0.0
    nodes, weights = _quadrature(start, end)
    return float(weights @ what(true.at(nodes)))
