"""G studies: how much of the variance of scores is whose (generalizability theory).

Balanced tables by expected mean squares of the random model, unbalanced ones and those with
missing cells by REML. Source: Brennan RL (2001), Generalizability Theory, chapters 3, 5 and 7.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from observe.agreement.designs import Design, Effect
from observe.agreement.reml import reml
from observe.domain.troubles import BadInput

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]
Tick = Callable[[int, int], None]

EMS = "expected mean squares"
REML = "REML"


@dataclass(frozen=True, slots=True)
class Component:
    """A variance component, in units of the score squared.

    df, mean_square: None where it is estimated by REML. estimate: as estimated, also below 0;
    used: what counts in all that follows, never below 0. se: its standard error.
    """

    effect: Effect
    name: str
    df: int | None
    mean_square: float | None
    estimate: float
    used: float
    se: float | None


@dataclass(frozen=True)
class GStudy:
    """What a table of scores comes to.

    levels: how many levels each facet has, of a nested one within each level of the other (the
    harmonic mean where they differ). mean: of all scores; mean_variance: its error variance as a
    sample of persons and facets. notes: what a reader has to know.
    """

    design: Design
    levels: Mapping[str, float]
    scores: int
    method: str
    mean: float
    components: tuple[Component, ...]
    mean_variance: float
    notes: tuple[str, ...] = ()

    @property
    def total(self) -> float:
        """The sum of the components that count."""
        return sum(one.used for one in self.components)

    def of(self, effect: Effect) -> float:
        """The component of an effect, as it counts."""
        return next(one.used for one in self.components if one.effect == effect)


def g_study(
    values: Sequence[float],
    levels: Mapping[str, Sequence[str]],
    design: Design,
    *,
    tick: Callable[[int, int], None] | None = None,
) -> GStudy:
    """The variance components of a table with at most one score in each cell.

    values: n scores. levels: for each facet of the design the level of every score, as a word;
    levels of a nested facet are told apart within the other. Raises BadInput for a cell that is
    scored twice, for fewer than two levels of a facet, and where nothing varies.
    """
    scores = np.asarray(values, dtype=np.float64)
    places = {one: _numbered(design, one, levels) for one in design.facets}
    _require_fit(design, scores, places)
    table = _table(design, scores, places)
    if table is not None:
        return _balanced(design, table)
    return _unbalanced(design, scores, places, tick)


def _numbered(design: Design, facet: str, levels: Mapping[str, Sequence[str]]) -> Whole:
    """The level of each score from 0 on; of a nested facet counted within the other's level."""
    outer = design.within.get(facet)
    words = levels[facet]
    groups = levels[outer] if outer else [""] * len(words)
    known: dict[str, dict[str, int]] = {}
    found = []
    for word, group in zip(words, groups, strict=True):
        inside = known.setdefault(group, {})
        found.append(inside.setdefault(word, len(inside)))
    return np.asarray(found, dtype=np.intp)


def _require_fit(design: Design, scores: Floats, places: Mapping[str, Whole]) -> None:
    cells = np.stack([places[one] for one in design.facets], axis=1)
    if len(np.unique(cells, axis=0)) < len(cells):
        raise BadInput(
            "A cell of the design is scored twice.",
            where=design.text,
            remedy="Name the facet in which the two differ, or keep one of them.",
        )
    for one in design.facets:
        if int(places[one].max(initial=0)) < 1:
            raise BadInput(
                f"Facet {one} has one level only, so nothing can be said of it.",
                where=design.text,
                remedy="Leave it out of the design, or add scores.",
            )
    if float(np.ptp(scores)) <= 0:
        raise BadInput(
            "Every score is the same: there is no variance.",
            where=design.text,
            remedy="Ask again with scores that differ.",
        )


def _table(design: Design, scores: Floats, places: Mapping[str, Whole]) -> Floats | None:
    """The scores with an axis for each facet; None where a cell is empty or numbers differ."""
    shape = tuple(int(places[one].max()) + 1 for one in design.facets)
    if int(np.prod(shape)) != len(scores):
        return None
    table = np.full(shape, np.nan)
    table[tuple(places[one] for one in design.facets)] = scores
    return None if np.isnan(table).any() else table


def _balanced(design: Design, table: Floats) -> GStudy:
    counts = dict(zip(design.facets, table.shape, strict=True))
    effects = design.effects
    squares = _sums_of_squares(design, table)
    df = np.array([_df(design, effect, counts) for effect in effects])
    mean_squares = np.array([squares[effect] for effect in effects]) / df
    weights = _expected(effects, counts)
    inverse = np.linalg.inv(weights)
    estimates = inverse @ mean_squares
    near = 1e-12 * float((table**2).mean() + table.var())
    estimates = np.where(np.abs(estimates) < near, 0.0, estimates)
    errors = np.sqrt((inverse**2) @ (2 * mean_squares**2 / (df + 2)))
    components = tuple(
        Component(effect, design.name(effect), int(free), float(square), float(value),
                  max(float(value), 0.0), float(error))
        for effect, free, square, value, error in zip(
            effects, df, mean_squares, estimates, errors, strict=True
        )
    )  # fmt: skip
    levels = {one: float(count) for one, count in counts.items()}
    return GStudy(
        design,
        levels,
        table.size,
        EMS,
        float(table.mean()),
        components,
        _mean_variance(components, levels),
        tuple(_negative(components)),
    )


def _sums_of_squares(design: Design, table: Floats) -> dict[Effect, float]:
    """Of each effect: its deviations from all effects that it contains, squared and added up."""
    parts: dict[Effect, Floats] = {(): table.mean(keepdims=True)}
    found: dict[Effect, float] = {}
    for effect in design.effects:
        rest = tuple(n for n, one in enumerate(design.facets) if one not in effect)
        part = table.mean(axis=rest, keepdims=True)
        for inner, known in parts.items():
            if {*inner} < {*effect}:
                part = part - known
        parts[effect] = part
        found[effect] = float((part**2).sum()) * table.size / part.size
    return found


def _df(design: Design, effect: Effect, counts: Mapping[str, int]) -> int:
    nesting = design.nesting(effect)
    return int(np.prod([counts[one] - (one not in nesting) for one in effect]))


def _expected(effects: Sequence[Effect], counts: Mapping[str, int]) -> Floats:
    """How often each component stands in each expected mean square; shape (effects, effects)."""
    found = np.zeros((len(effects), len(effects)))
    for row, effect in enumerate(effects):
        for column, other in enumerate(effects):
            if {*effect} <= {*other}:
                rest = [count for one, count in counts.items() if one not in other]
                found[row, column] = float(np.prod(rest)) if rest else 1.0
    return found


_BY_REML = (
    "The table is not complete, so the components are estimated by REML, which lets none fall "
    "below 0; another method gives other numbers."
)


def _unbalanced(
    design: Design, scores: Floats, places: Mapping[str, Whole], tick: Tick | None
) -> GStudy:
    *effects, rest = design.effects
    factors = [_joined([places[one] for one in effect]) for effect in effects]
    fit = reml(scores, factors, **({"tick": tick} if tick else {}))
    errors = np.sqrt(np.maximum(np.diag(fit.covariance), 0.0))
    components = tuple(
        Component(effect, design.name(effect), None, None, float(value), float(value),
                  float(error) if value > 0 else None)
        for effect, value, error in zip((*effects, rest), fit.variances, errors, strict=True)
    )  # fmt: skip
    notes = [_BY_REML]
    if not fit.converged:
        notes.append("The estimates did not come to rest: do not rely on them.")
    counts = {one: _levels(design, one, places) for one in design.facets}
    variance = fit.mean_se**2
    return GStudy(design, counts, len(scores), REML, fit.mean, components, variance, tuple(notes))


def _joined(places: Sequence[Whole]) -> Whole:
    """One number for each combination of levels."""
    _, found = np.unique(np.stack(places, axis=1), axis=0, return_inverse=True)
    return np.asarray(found, dtype=np.intp).reshape(-1)


def _levels(design: Design, facet: str, places: Mapping[str, Whole]) -> float:
    """How many levels; of a nested facet the harmonic mean over the other's levels."""
    outer = design.within.get(facet)
    if outer is None:
        return float(len(np.unique(places[facet])))
    pairs = np.unique(np.stack([places[outer], places[facet]], axis=1), axis=0)
    _, counts = np.unique(pairs[:, 0], return_counts=True)
    return float(len(counts) / (1 / counts).sum())


def _mean_variance(components: Sequence[Component], levels: Mapping[str, float]) -> float:
    return sum(
        one.used / float(np.prod([levels[facet] for facet in one.effect])) for one in components
    )


def _negative(components: Sequence[Component]) -> list[str]:
    below = [one.name for one in components if one.estimate < 0]
    if not below:
        return []
    named = ", ".join(below)
    return [f"Estimated below 0, shown so, and counted as 0 in all that follows: {named}."]
