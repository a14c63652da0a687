"""Internal consistency: Cronbach's alpha, KR-20, and alpha with one item left out."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy import special

from observe.agreement.estimate import Estimate
from observe.agreement.ratings import Ratings
from observe.agreement.scores import Asked, Flags, Floats, Scores, complete, rounding

METHOD = "F (Feldt 1965)"


class Alphas(NamedTuple):
    """Cronbach's alpha of each table; shape (...). Where not defined, 0."""

    value: Floats
    defined: Flags


def cronbach_alpha(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """Cronbach's alpha of the sum of all columns: columns are items, rows are learners.

    Learners with a missing item are left out and counted; an item that never varies
    stays in and is named. Undefined with one item, under two learners, or when the
    total has no variance. Sources: Cronbach LJ (1951), Psychometrika 16:297-334;
    interval: Feldt LS (1965), Psychometrika 30:357-370.
    """
    scores = items_complete(ratings)
    asked = Asked(ratings, "cronbach_alpha", "raw", level, len(scores.table))
    return _answer(asked, scores)


def kr20(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """Cronbach's alpha of items that are 0 or 1, under its older name.

    The same divisor in the items' and in the total's variance. Undefined as
    `cronbach_alpha`, and where a score is neither 0 nor 1. Source: Kuder GF, Richardson
    MW (1937), Psychometrika 2:151-160.
    """
    scores = items_complete(ratings)
    asked = Asked(ratings, "cronbach_alpha", "KR-20", level, len(scores.table))
    if not scores.reason and not np.isin(scores.table, (0.0, 1.0)).all():
        return asked.undefined("KR-20 is for items scored 0 or 1.", *scores.notes)
    return _answer(asked, scores)


def alpha_if_deleted(ratings: Ratings) -> dict[str, float | None]:
    """Alpha of the other items, for each item by name; None where it is not estimable."""
    scores = items_complete(ratings)
    names = ratings.observers
    if why_not(scores) or len(names) < 3:
        return dict.fromkeys(names)
    others = np.stack([np.delete(scores.table, place, axis=1) for place in range(len(names))])
    found = alphas(others)
    return {
        name: float(value) if defined else None
        for name, value, defined in zip(names, found.value, found.defined, strict=True)
    }


def standardised_alpha(ratings: Ratings) -> float | None:
    """Alpha from the mean correlation of items, another number than alpha; None if there is none.

    Undefined where an item does not vary.
    """
    scores = items_complete(ratings)
    if why_not(scores):
        return None
    centred = scores.table - scores.table.mean(axis=0)
    size = np.sqrt((centred**2).sum(axis=0))
    k = len(size)
    if (size <= len(centred) ** 0.5 * float(rounding(scores.table))).any():
        return None
    unit = centred / size
    total = float(unit.sum(axis=1) @ unit.sum(axis=1))
    if total <= k * 1e-12:
        return None
    return k / (k - 1) * (1 - k / total)


def alphas(scores: Floats) -> Alphas:
    """Alpha of each complete table; scores: shape (..., learners, items), 2 or more of each."""
    n, k = scores.shape[-2:]
    items, total = _sums_of_squares(scores)
    defined = total > n * k * (k * rounding(scores)) ** 2
    share = items / np.where(defined, total, 1.0)
    return Alphas(np.where(defined, k / (k - 1) * (1 - share), 0.0), defined)


def items_complete(ratings: Ratings) -> Scores:
    """The complete rows of a table whose columns are items, worded for items."""
    scores = complete(ratings)
    notes = tuple(
        note.replace("unit is", "learner is")
        .replace("units are", "learners are")
        .replace("not scored by all observers", "an item is missing")
        for note in scores.notes
    )
    return Scores(scores.table, scores.reason, notes)


def why_not(scores: Scores) -> str:
    """Why the table has no alpha, a sentence's end; empty if it may have one."""
    learners, items = scores.table.shape
    if scores.reason:
        return scores.reason
    if items < 2:
        return f"it needs two or more items, and there {'is 1' if items else 'are 0'}."
    if not learners:
        return "no learner has a score on every item."
    if learners < 2:
        return "one learner has a score on every item, and two are needed."
    return ""


def _sums_of_squares(scores: Floats) -> tuple[Floats, Floats]:
    """Of the items, added up, and of the total, each about its mean; shape (...)."""
    centred = scores - scores.mean(axis=-2, keepdims=True)
    return (centred**2).sum(axis=(-2, -1)), (centred.sum(axis=-1) ** 2).sum(axis=-1)


def _answer(asked: Asked, scores: Scores) -> Estimate:
    reason = why_not(scores)
    if reason:
        return asked.undefined(reason, *scores.notes)
    found = alphas(scores.table)
    if not found.defined:
        return asked.undefined("the total score has no variance.", *scores.notes)
    value = float(found.value)
    n, k = scores.table.shape
    notes = (*_reading(asked.ratings, scores, value), *scores.notes)
    if 1 - value <= 1e-12:
        return asked.point(1.0, "not estimable: items do not differ within learners.", *notes)
    wide, narrow = (
        float(special.fdtri(n - 1, (n - 1) * (k - 1), share))
        for share in ((1 + asked.level) / 2, (1 - asked.level) / 2)
    )
    return asked.between(value, (1 - (1 - value) * wide, 1 - (1 - value) * narrow), METHOD, *notes)


def _reading(ratings: Ratings, scores: Scores, value: float) -> tuple[str, ...]:
    said = []
    spread = scores.table.max(axis=0) - scores.table.min(axis=0)
    still = [name for name, width in zip(ratings.observers, spread, strict=True) if width == 0]
    if still:
        said.append(f"Kept, though the same for every learner: {', '.join(still)}.")
    if value < 0:
        said.append("Below 0: items run against each other; build no bands on it.")
    return tuple(said)
