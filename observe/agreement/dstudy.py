"""D studies: what scores would be worth with other numbers of observers, items or tasks.

Source: Brennan RL (2001), Generalizability Theory, chapters 2 to 5; for a cut score Brennan RL,
Kane MT (1977), Journal of Educational Measurement 14:277-289.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from observe.agreement.designs import Effect
from observe.agreement.gstudy import GStudy
from observe.domain.troubles import BadInput


@dataclass(frozen=True, slots=True)
class DStudy:
    """What a score is worth that is a mean over so many levels of each facet.

    n: how many, by facet. universe: variance of universe scores. relative, absolute: error
    variances. g, phi: Eρ² for ranking, Φ for a fixed cut; None where there is no variance.
    phi_cut: Φ(λ) at the cut; None without one. sem_relative, sem_absolute: in the score's unit.
    """

    n: Mapping[str, float]
    universe: float
    relative: float
    absolute: float
    g: float | None
    phi: float | None
    phi_cut: float | None

    @property
    def sem_relative(self) -> float:
        """The standard error of a difference from the mean."""
        return math.sqrt(self.relative)

    @property
    def sem_absolute(self) -> float:
        """The standard error of a score against a fixed cut."""
        return math.sqrt(self.absolute)


@dataclass(frozen=True, slots=True)
class Needed:
    """How many levels of one facet bring Φ to a target, the others as they were studied.

    raw: unrounded; None where no number does. n: rounded up. why: a sentence where there is none.
    """

    facet: str
    target: float
    raw: float | None
    n: int | None
    why: str = ""


def d_study(
    study: GStudy,
    n: Mapping[str, float] | None = None,
    *,
    fixed: Collection[str] = (),
    cut: float | None = None,
) -> DStudy:
    """What scores are worth with these numbers; those of the study where none is given.

    n: by facet, at least 1. fixed: facets over whose very levels is averaged, now and ever; their
    number stays that of the study. cut: in the score's unit. Raises BadInput for a facet that
    is none, a number below 1, and another number of a fixed facet.
    """
    counts = _counts(study, n or {}, fixed)
    universe, relative, absolute = _variances(study, counts, fixed)
    return DStudy(
        n=counts,
        universe=universe,
        relative=relative,
        absolute=absolute,
        g=_share(universe, relative),
        phi=_share(universe, absolute),
        phi_cut=None if cut is None else _at_cut(study, universe, absolute, cut, fixed),
    )


def needed(
    study: GStudy,
    facet: str,
    target: float = 0.8,
    *,
    fixed: Collection[str] = (),
    n: Mapping[str, float] | None = None,
) -> Needed:
    """How many levels of a facet bring Φ to a target, all else as in `n` or the study.

    Raises BadInput for a target outside 0 to 1, the object of measurement, and a fixed facet.
    """
    if not 0 < target < 1:
        raise BadInput("A target lies between 0 and 1.", where=f"{target:g}", remedy="Write 0.8.")
    if facet not in study.design.facets[1:] or facet in fixed:
        raise BadInput(
            "This is no facet that can be sampled more often.",
            where=facet,
            remedy=f"Name one of {', '.join(study.design.facets[1:])} that is not fixed.",
        )
    counts = {**_counts(study, n or {}, fixed), facet: 1.0}
    universe, _, once = _variances(study, counts, fixed)
    _, _, never = _variances(study, {**counts, facet: math.inf}, fixed)
    if universe <= 0:
        return Needed(
            facet, target, None, None, "Persons do not differ: no number brings it there."
        )
    room = universe * (1 - target) / target - never
    varying = once - never
    if room <= 0:
        said = "No number of these alone brings it there; other facets have to be sampled more."
        return Needed(facet, target, None, None, said)
    raw = varying / room
    return Needed(facet, target, raw, max(1, math.ceil(raw - 1e-9)))


def _counts(study: GStudy, n: Mapping[str, float], fixed: Collection[str]) -> dict[str, float]:
    others = study.design.facets[1:]
    for one in (*n, *fixed):
        if one not in others:
            raise BadInput(
                f"The design has no facet {one} to sample.",
                where=study.design.text,
                remedy=f"Name one of {', '.join(others)}.",
            )
    for one, count in n.items():
        if count < 1 or (one in fixed and count != study.levels[one]):
            raise BadInput(
                f"{count:g} is no number of levels of facet {one} here.",
                remedy="Give 1 or more; a fixed facet keeps the number of the study.",
            )
    return {one: float(n.get(one, study.levels[one])) for one in others}


def _variances(
    study: GStudy, counts: Mapping[str, float], fixed: Collection[str]
) -> tuple[float, float, float]:
    """Universe-score variance, relative and absolute error variance."""
    person = study.design.person
    universe = relative = absolute = 0.0
    for one in study.components:
        others = [facet for facet in one.effect if facet != person]
        share = one.used / math.prod(counts[facet] for facet in others)
        if all(facet in fixed for facet in others):
            universe += share if person in one.effect else 0.0
            continue
        absolute += share
        relative += share if person in one.effect else 0.0
    return universe, relative, absolute


def _share(universe: float, error: float) -> float | None:
    return universe / (universe + error) if universe + error > 0 else None


def _at_cut(
    study: GStudy, universe: float, absolute: float, cut: float, fixed: Collection[str]
) -> float | None:
    """Φ(λ); the squared distance of mean and cut is freed of the mean's own error variance."""
    known = sum(_of_fixed(study, one.effect, one.used, fixed) for one in study.components)
    distance = max((study.mean - cut) ** 2 - max(study.mean_variance - known, 0.0), 0.0)
    return _share(universe + distance, absolute)


def _of_fixed(study: GStudy, effect: Effect, used: float, fixed: Collection[str]) -> float:
    """What effects of fixed facets alone add to the variance of the mean: nothing is sampled."""
    if not all(facet in fixed for facet in effect):
        return 0.0
    return used / math.prod(study.levels[facet] for facet in effect)
