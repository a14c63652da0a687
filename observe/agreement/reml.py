"""Variance components of a random-effects model by restricted maximum likelihood (REML).

Score = mean + one random effect for each factor + error, every factor's effects independent with
one variance of their own. No variance is below 0. Source: Patterson HD, Thompson R (1971),
Biometrika 58:545-554; scoring as in Searle SR, Casella G, McCulloch CE (1992), Variance
Components, chapter 6; the fallback step: Zhou H et al. (2019), Journal of Computational and
Graphical Statistics 28:350-361.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from observe.domain.troubles import BadInput

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]
Tick = Callable[[int, int], None]

MOST_SCORES = 4000
_MOST_STEPS = 200
_CLOSE = 1e-10
_MM_STEPS = 3


def _nothing(done: int, total: int) -> None:
    pass


@dataclass(frozen=True)
class Fit:
    """What was estimated.

    variances: of each factor, then of the error; shape (factors + 1,), in units of the score
    squared. covariance: of these estimates, from the information; shape (factors + 1, factors + 1),
    0 for those at their bound. mean, mean_se: of the scores. inverse: of the covariance of the
    scores; shape (n, n). converged: whether the steps came to rest.
    """

    variances: Floats
    covariance: Floats
    mean: float
    mean_se: float
    inverse: Floats
    converged: bool


@dataclass(frozen=True)
class _At:
    likelihood: float
    gradient: Floats
    information: Floats
    quadratic: Floats
    traces: Floats
    inverse: Floats
    mean: float
    mean_variance: float


def reml(scores: Floats, factors: Sequence[Whole], *, tick: Tick = _nothing) -> Fit:
    """Fit the model. scores: shape (n,). factors: for each the level of every score, from 0.

    Climbed from several places; the highest top counts. tick: called between steps; may raise
    `Stopped`. Raises BadInput for more scores than can
    be taken at once.
    """
    if len(scores) > MOST_SCORES:
        raise BadInput(
            f"There are {len(scores):,} scores in an unbalanced table.",
            remedy=f"At most {MOST_SCORES:,} are taken; use a part, or a complete table.",
        )
    spread = float(np.var(scores, ddof=1))
    scaled = (scores - scores.mean()) / np.sqrt(spread)
    designs = [_indicator(one) for one in factors]
    climbs = [_climb(scaled, designs, start, tick) for start in _starts(len(factors))]
    at, now, converged = max(climbs, key=lambda one: one[1].likelihood)
    free = at > 0
    covariance = np.zeros((len(at), len(at)))
    covariance[np.ix_(free, free)] = np.linalg.pinv(now.information[np.ix_(free, free)])
    return Fit(
        variances=at * spread,
        covariance=covariance * spread**2,
        mean=float(scores.mean()) + now.mean * float(np.sqrt(spread)),
        mean_se=float(np.sqrt(now.mean_variance * spread)),
        inverse=now.inverse / spread,
        converged=converged,
    )


def _starts(factors: int) -> list[Floats]:
    """Where to climb from: a small table can have more tops than one."""
    found = []
    for error in (1 / (factors + 1), 0.01, 0.9):
        found.append(np.full(factors + 1, (1 - error) / factors))
        found[-1][-1] = error
    return found


def _climb(
    scores: Floats, designs: Sequence[Floats], start: Floats, tick: Tick
) -> tuple[Floats, _At, bool]:
    """The top that is reached from a start, and whether the steps came to rest there."""
    at, now = start, _evaluate(scores, designs, start)
    for step in range(_MOST_STEPS):
        tick(step, _MOST_STEPS)
        new, then = _step(scores, designs, at, now, gently=step < _MM_STEPS)
        moved = float(np.abs(new - at).max())
        at, gain, now = new, then.likelihood - now.likelihood, then
        if step > _MM_STEPS and moved < _CLOSE and abs(gain) < _CLOSE:
            return at, now, True
    return at, now, False


def _indicator(levels: Whole) -> Floats:
    found = np.zeros((len(levels), int(levels.max()) + 1))
    found[np.arange(len(levels)), levels] = 1.0
    return found


def _evaluate(scores: Floats, designs: Sequence[Floats], at: Floats) -> _At:
    """Log likelihood (up to a constant), its slopes and the expected information."""
    n = len(scores)
    covariance = np.eye(n) * at[-1]
    for design, variance in zip(designs, at, strict=False):
        covariance += variance * (design @ design.T)
    covariance += np.eye(n) * 1e-12
    root = np.linalg.cholesky(covariance)
    inverse = np.linalg.inv(covariance)
    ones = inverse.sum(axis=1)
    total = float(ones.sum())
    projection = inverse - np.outer(ones, ones) / total
    residual = projection @ scores
    blocks = [*designs, np.eye(n)]
    moved = [projection @ block for block in blocks]
    quadratic = np.array([float(((block.T @ residual) ** 2).sum()) for block in blocks])
    traces = np.array(
        [float((block * one).sum()) for block, one in zip(blocks, moved, strict=True)]
    )
    information = np.array(
        [[float(((one.T @ other) ** 2).sum()) / 2 for other in moved] for one in blocks]
    )
    likelihood = -float(np.log(np.diag(root)).sum()) - np.log(total) / 2
    likelihood -= float(scores @ residual) / 2
    return _At(
        likelihood,
        (quadratic - traces) / 2,
        (information + information.T) / 2,
        quadratic,
        traces,
        inverse,
        float(ones @ scores) / total,
        1 / total,
    )


def _step(
    scores: Floats, designs: Sequence[Floats], at: Floats, now: _At, *, gently: bool
) -> tuple[Floats, _At]:
    """A better place: by scoring where that goes up, else by a step that always does."""
    if not gently:
        free = (at > 0) | (now.gradient > 0)
        move = np.zeros(len(at))
        block = now.information[np.ix_(free, free)]
        move[free] = np.linalg.pinv(block) @ now.gradient[free]
        for share in (1.0, 0.5, 0.25, 0.1, 0.01):
            new = np.maximum(at + share * move, 0.0)
            new[-1] = max(new[-1], 1e-9)
            then = _evaluate(scores, designs, new)
            if then.likelihood >= now.likelihood:
                return new, then
    safe = np.where(now.traces > 0, now.traces, 1.0)
    new = at * np.sqrt(now.quadratic / safe)
    new = np.where(new < 1e-10, 0.0, new)
    new[-1] = max(new[-1], 1e-9)
    return new, _evaluate(scores, designs, new)
