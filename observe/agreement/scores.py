"""Ratings as a table of numbers: complete rows only, what is dropped counted and said."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from observe.agreement.answering import NOBODY_SHARED
from observe.agreement.estimate import LABELS, Estimate, Question
from observe.agreement.ratings import Ratings, Scale, Value, number

Floats: TypeAlias = NDArray[np.float64]
Flags: TypeAlias = NDArray[np.bool_]

GREATEST = 1e100
SMALLEST = 1e-100
OWN_LABELS = MappingProxyType(
    {
        "icc": "The intraclass correlation",
        "bland_altman": "Agreement by differences",
        "cronbach_alpha": "Cronbach's alpha",
        "sem": "The standard error of measurement",
    }
)


@dataclass(frozen=True, slots=True)
class Scores:
    """Numbers of the units that all observers (or items) scored.

    table: shape (used, observers), no gaps; without rows where `reason` is given.
    reason: why the ratings are not such numbers, a sentence's end; empty if they are.
    notes: what was left out and how the numbers are to be read, in sentences.
    """

    table: Floats
    reason: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Asked(Question):
    """A question about scores; its answers name the coefficient for people."""

    single_used: bool = True  # What is left out is said by `Scores.notes`, once.

    def undefined(self, reason: str, *notes: str) -> Estimate:
        """No value: "<label> is not estimable: <reason>"."""
        label = LABELS.get(self.coefficient) or OWN_LABELS[self.coefficient]
        sentence = f"{label} is not estimable: {reason}"
        return self._estimate(None, None, None, sentence, notes)


def complete(ratings: Ratings) -> Scores:
    """The scores of the units that have one by each observer, the others counted."""
    values, reason = _numbers(ratings)
    width = len(ratings.observers)
    if reason:
        return Scores(np.empty((0, width)), reason, ())
    codes = np.full((ratings.units, width), -1, dtype=np.int64)
    codes[ratings.unit, ratings.observer] = ratings.code
    full = (codes >= 0).all(axis=1) if width else np.zeros(ratings.units, dtype=bool)
    kept = codes[full]
    return Scores(values[kept], "", (*_left_out(ratings.rated - len(kept)), *_scale(ratings)))


def one_way(ratings: Ratings) -> Scores:
    """Scores whose columns are no particular observers: as many per unit, by whomever.

    Where two or more units were scored by all observers these are taken, as in
    `complete`. Else observers change from unit to unit, and the units are taken that
    have the commonest number of scores (two or more; of equals the larger number).
    """
    whole = complete(ratings)
    if whole.reason or len(whole.table) >= 2 or not ratings.shared:
        return whole
    values, _ = _numbers(ratings)
    counts = np.bincount(ratings.per_unit)
    counts[:2] = 0
    width = len(counts) - 1 - int(np.argmax(counts[::-1]))
    order = np.argsort(ratings.unit, kind="stable")
    chosen = order[ratings.per_unit[ratings.unit[order]] == width]
    table = values[ratings.code[chosen]].reshape(-1, width)
    dropped = ratings.rated - len(table)
    changed = f"Observers change from unit to unit: each unit's {width} scores, by whomever."
    more = (f"{_units(dropped)} another number of scores.",) if dropped else ()
    return Scores(table, "", (changed, *more, *_scale(ratings)))


def obstacle(ratings: Ratings, scores: Scores, *, least: int = 2) -> str:
    """Why observers' scores cannot be compared; empty if they can. least: units needed."""
    used, width = scores.table.shape
    if not ratings.shared:
        return NOBODY_SHARED
    if scores.reason:
        return scores.reason
    if not used:
        return f"no unit was scored by all {width} observers."
    if used < least:
        noun = "unit was" if used == 1 else "units were"
        return f"{used} {noun} scored by all {width} observers, and {least} are needed."
    return ""


def rounding(scores: Floats) -> Floats:
    """What rounding alone may leave of a score, for each table; shape without the last two axes.

    A spread below it counts as none. scores: shape (..., units, columns).
    """
    eps = float(np.finfo(np.float64).eps)
    largest = np.abs(scores).max(axis=(-2, -1), initial=0.0)
    return np.asarray(largest * (eps * (8 + scores.shape[-2] ** 0.5)), dtype=np.float64)


def _numbers(ratings: Ratings) -> tuple[Floats, str]:
    """The categories as numbers, or why they are none."""
    none = np.empty(0)
    if ratings.scale is Scale.NOMINAL and len(ratings.categories) > 2:
        return none, "the scale is nominal, and it needs numbers that may be subtracted."
    try:
        values = np.array([_float(value) for value in ratings.categories], dtype=np.float64)
    except (ValueError, OverflowError):
        return none, "its scores must be numbers, and some are words or too large."
    sizes = np.abs(values)
    gaps = np.diff(np.sort(values))
    if sizes.max(initial=0.0) > GREATEST or gaps.min(initial=1.0) < SMALLEST:
        return none, "the scores are too large, or too close together, to compute with."
    return values, ""


def _float(value: Value) -> float:
    if isinstance(value, str):
        exact = number(value)
        if exact is None:
            raise ValueError(value)
        return float(exact)
    return float(value)


def _left_out(count: int) -> tuple[str, ...]:
    return (f"{_units(count)} not scored by all observers.",) if count else ()


def _units(count: int) -> str:
    return "1 unit is left out:" if count == 1 else f"{count} units are left out:"


def _scale(ratings: Ratings) -> tuple[str, ...]:
    if ratings.scale is Scale.ORDINAL and len(ratings.categories) > 2:
        return ("Ordered categories are taken as numbers with equal steps.",)
    return ()
