"""Resampled intervals: units, or whole learners, drawn with replacement (bootstrap).

Every coefficient that is made of counts is asked of a thousand resamples in one call: a resample
is how often each way of rating a unit was drawn. Sources: Efron B, Tibshirani RJ (1993), An
Introduction to the Bootstrap, chapters 13 and 14 (percentile, BCa), and 11 (jackknife); drawing
whole clusters: Davison AC, Hinkley DV (1997), Bootstrap Methods and their Application, section 3.8.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from scipy import special

from observe.agreement import counts
from observe.agreement.consistency import alphas, items_complete
from observe.agreement.estimate import Estimate, too_few
from observe.agreement.icc import all_forms
from observe.agreement.krippendorff import alpha_distance
from observe.agreement.limits import COVERAGE, differences
from observe.agreement.panel import INDEPENDENT, PANEL, USUAL_WEIGHTS, estimates
from observe.agreement.ratings import Ratings, Whole
from observe.agreement.scores import complete
from observe.agreement.weights import UNWEIGHTED, Weights, distance
from observe.domain.troubles import BadInput

Floats = NDArray[np.float64]
Tick = Callable[[int, int], None]

RESAMPLES = 1000
PERCENTILE, BCA = "percentile", "bca"
MOST_UNDEFINED = 0.5
"""Of the resamples, above which no interval is given."""
_AT_ONCE = 4_000_000
"""Cells of resampled tables that are worked on at once."""


@dataclass(frozen=True)
class Draws:
    """What a coefficient came to.

    values: of the resamples that have one; undefined: how many had none. left_out: with each
    unit or cluster left out once; shape (units or clusters,), those without a value missing.
    """

    values: Floats
    undefined: int
    left_out: Floats


class Sampler(Protocol):
    """Gives the draws of one coefficient; with those left out once, if asked for."""

    def __call__(self, *, jackknife: bool) -> Draws: ...


def resampled_estimates(
    ratings: Ratings,
    names: Sequence[str],
    *,
    weights: Weights | None = None,
    level: float = 0.95,
    interval: str = BCA,
    seed: int = 0,
    resamples: int = RESAMPLES,
    tick: Tick | None = None,
) -> tuple[Estimate, ...]:
    """The named coefficients as of `panel.estimates`, with resampled intervals.

    Learners are drawn whole where the ratings are clustered. The same seed gives the same answer.
    Specific agreement keeps its analytic interval. Raises BadInput for an interval that is none,
    and fewer than 100 resamples.
    """
    if interval not in (PERCENTILE, BCA):
        raise BadInput(
            f"There is no interval {interval!r}.", where="interval", remedy="Use percentile or bca."
        )
    if resamples < 100:
        raise BadInput("Fewer than 100 resamples tell nothing.", remedy="Ask for 1000 or more.")
    found = []
    for number, name in enumerate(names):
        if tick is not None:
            tick(number, len(names))
        plan = _Plan(ratings, seed, resamples)
        rows = estimates(ratings, [name], level=level, weights=weights)
        samplers = _samplers(plan, name, weights, len(rows))
        found += [
            one if sampler is None else _with_interval(one, plan, sampler, interval)
            for one, sampler in zip(rows, samplers, strict=True)
        ]
    return tuple(found)


class _Plan:
    """Which units are drawn in each resample: how often each unit, or each cluster."""

    def __init__(self, ratings: Ratings, seed: int, resamples: int) -> None:
        self.ratings, self.seed, self.resamples = ratings, seed, resamples
        cluster = ratings.cluster
        self.groups: Whole = np.arange(ratings.units) if cluster is None else cluster
        self.many = int(self.groups.max(initial=-1)) + 1

    def times(self, ways: Whole, each: int) -> tuple[Whole, Whole, Whole]:
        """How often each way of rating was drawn.

        Then how often with a group left out, and how many groups that stands for. ways: of each
        unit the number of its way, `each` of them. Shapes (resamples, each), (kinds of groups,
        each) and (kinds of groups,).
        """
        draw = np.random.default_rng(self.seed)
        if self.ratings.clusters is None:  # All units rated one way are alike.
            counted = np.bincount(ways, minlength=each)
            drawn = draw.multinomial(len(ways), counted / len(ways), self.resamples)
            return drawn, counted - np.eye(each, dtype=np.int64), counted
        held = np.zeros((self.many, each), dtype=np.int64)
        np.add.at(held, (self.groups, ways), 1)
        picked = draw.multinomial(self.many, np.full(self.many, 1 / self.many), self.resamples)
        return picked @ held, held.sum(axis=0) - held, np.ones(self.many, dtype=np.int64)

    def units(self, rows: Whole) -> tuple[list[Whole], list[Whole]]:
        """Places among some units: of each resample, and of each group left out.

        rows: the unit of each place.
        """
        of = self.groups[rows]
        known = np.unique(of)
        inside = {int(group): np.flatnonzero(of == group) for group in known}
        draw = np.random.default_rng(self.seed)
        picked = known[draw.integers(0, len(known), (self.resamples, len(known)))]
        drawn = [np.concatenate([inside[int(one)] for one in some]) for some in picked]
        return drawn, [np.flatnonzero(of != group) for group in known]


def _samplers(plan: _Plan, name: str, weights: Weights | None, rows: int) -> list[Sampler | None]:
    """What gives the draws of each row of a coefficient; None where it keeps its interval."""
    ratings = plan.ratings
    if name in ("icc", "bland_altman", "cronbach_alpha"):
        return [_of_scores(plan, name, place) for place in range(rows)]
    if name not in _KERNELS:
        return [None] * rows
    coefficient = PANEL[name]
    kinds: list[Weights] = [UNWEIGHTED]
    if coefficient.weighted and weights is not None:
        kinds = [weights]
    elif coefficient.by_kind:
        kinds = [*USUAL_WEIGHTS]
    if len(kinds) != rows or not ratings.shared:
        return [None] * rows
    return [_of_counts(plan, name, kind, asked=weights) for kind in kinds]


_KERNELS = MappingProxyType(
    {
        "percent_agreement": counts.percent,
        "cohen_kappa": counts.by_margins,
        "weighted_kappa": counts.by_margins,
        "pabak": counts.by_number,
        "scott_pi": counts.by_shares,
        "fleiss_kappa": counts.by_shares,
        "conger_kappa": counts.by_observers,
        "brennan_prediger": counts.by_number,
        "gwet_ac1": counts.by_spread,
        "gwet_ac2": counts.by_spread,
        "krippendorff_alpha": counts.by_coincidence,
    }
)
_BY_OBSERVER = frozenset({"cohen_kappa", "weighted_kappa", "conger_kappa"})


def _of_counts(plan: _Plan, name: str, kind: Weights, *, asked: Weights | None) -> Sampler:
    ratings, kernel = plan.ratings, _KERNELS[name]

    def values(codes: Whole, times: Whole) -> tuple[Floats, NDArray[np.bool_]]:
        if name == "krippendorff_alpha" and asked is None:
            apart = alpha_distance(ratings, codes[None], str(ratings.scale), times)
        else:
            apart = distance(ratings, kind)
        if name not in ("cohen_kappa", "weighted_kappa"):
            apart = apart.both_ways()
        found = kernel(codes[None], apart, times)
        return found.value, found.defined

    def sample(*, jackknife: bool) -> Draws:
        table = ratings.codes if name in _BY_OBSERVER else ratings.packed
        codes, ways = np.unique(table, axis=0, return_inverse=True)
        drawn, without, stands = plan.times(ways.reshape(-1), len(codes))
        without = without if jackknife else without[:0]
        wide = max(1, _AT_ONCE // max(codes.size, 1))
        parts = [
            values(codes, times[start : start + wide])
            for times in (drawn, without)
            for start in range(0, len(times), wide)
        ]
        value = np.concatenate([one for one, _ in parts])
        defined = np.concatenate([one for _, one in parts])
        here, there = slice(None, len(drawn)), slice(len(drawn), None)
        kept = value[here][defined[here]]
        left = np.repeat(value[there], (stands * defined[there]) if jackknife else 0)
        return Draws(kept, len(drawn) - len(kept), left)

    return sample


def _of_scores(plan: _Plan, name: str, place: int) -> Sampler:
    """Of numbers: the rows that are complete are drawn."""
    ratings = plan.ratings
    scores = items_complete(ratings) if name == "cronbach_alpha" else complete(ratings)

    def value(table: Floats) -> float | None:
        if len(table) < 2 or float(np.ptp(table)) == 0:
            return None
        if name == "icc":
            forms = all_forms(table)
            return float(forms.value[place]) if forms.defined[place] else None
        if name == "cronbach_alpha":
            found = alphas(table)
            return float(found.value) if found.defined else None
        apart = differences(table)
        half = float(special.ndtri((1 + COVERAGE) / 2)) * float(apart.spread)
        return float(apart.bias) + (0.0, -half, half)[place]

    def sample(*, jackknife: bool) -> Draws:
        rows = np.flatnonzero((ratings.codes >= 0).all(axis=1))
        drawn, without = plan.units(rows)
        some = [value(scores.table[one]) for one in drawn]
        rest = [value(scores.table[one]) for one in without] if jackknife else []
        kept = np.asarray([one for one in some if one is not None])
        left = np.asarray([one for one in rest if one is not None])
        return Draws(kept, len(some) - len(kept), left)

    return sample


def _with_interval(found: Estimate, plan: _Plan, sampler: Sampler, interval: str) -> Estimate:
    """The estimate with a resampled interval in place of its analytic one, or why there is none."""
    if found.value is None:
        return found
    clustered = plan.ratings.clusters is not None
    said = f"{found.level * 100:g} % interval"
    notes = [note for note in found.notes if not note.startswith(said) and note != INDEPENDENT]
    why = too_few(found.used) or (too_few(plan.many, "learner") if clustered else "")
    nothing = Draws(np.empty(0), 0, np.empty(0))
    draws = nothing if why else sampler(jackknife=interval == BCA)
    if not why:
        why = _no_interval(draws, plan.resamples)
    seed, many = plan.seed, plan.many if clustered else None
    if why:
        rest = (f"{said} {why}", *notes)
        return replace(
            found, low=None, high=None, interval=None, notes=rest, clusters=many, seed=seed
        )
    low, high = _limits(found.value, draws, found.level, interval)
    whole = "learners" if clustered else "units"
    method = f"bootstrap of {whole}, {'BCa' if interval == BCA else interval}, {plan.resamples}"
    if draws.undefined:
        left = (
            f"{draws.undefined:,} of {plan.resamples:,} resamples had no value and were left out."
        )
        notes = [left, *notes]
    error = float(draws.values.std(ddof=1))
    return replace(
        found,
        low=low,
        high=high,
        interval=method,
        notes=tuple(notes),
        details=MappingProxyType({**found.details, "standard error, resampled": error}),
        clusters=many,
        seed=seed,
    )


def _no_interval(draws: Draws, resamples: int) -> str:
    if draws.undefined > MOST_UNDEFINED * resamples:
        return f"not estimable: {draws.undefined:,} of {resamples:,} resamples had no value."
    if float(np.ptp(draws.values)) <= counts.FLAT:
        return "not estimable: every resample came to the same value."
    return ""


def _limits(value: float, draws: Draws, level: float, interval: str) -> tuple[float, float]:
    ends = np.asarray([(1 - level) / 2, (1 + level) / 2])
    if interval == BCA:
        ends = _corrected(value, draws, ends)
    low, high = np.quantile(draws.values, ends)
    return float(low), float(high)


def _corrected(value: float, draws: Draws, ends: Floats) -> Floats:
    """The orders to read for BCa: corrected for bias, and for a spread that changes (jackknife)."""
    below = (draws.values < value - counts.FLAT).mean()
    same = (np.abs(draws.values - value) <= counts.FLAT).mean()
    share = float(np.clip(below + same / 2, 0.5 / len(draws.values), 1 - 0.5 / len(draws.values)))
    shift = float(special.ndtri(share))
    away = draws.left_out.mean() - draws.left_out if len(draws.left_out) else np.zeros(1)
    size = float((away**2).sum()) ** 1.5
    bend = float((away**3).sum()) / (6 * size) if size > 0 else 0.0
    moved = shift + special.ndtri(ends)
    steps = np.maximum(1 - bend * moved, 1e-6)
    found: Floats = special.ndtr(shift + moved / steps)
    return np.clip(found, 0.0, 1.0)
