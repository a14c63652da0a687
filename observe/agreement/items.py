"""Items one by one: how difficult each is, and how it goes with the rest."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from observe.agreement.consistency import items_complete, why_not
from observe.agreement.estimate import check_level
from observe.agreement.ratings import Ratings
from observe.agreement.scores import Floats, Scores, rounding

METHOD = "Fisher's z"
FEWEST = 4


@dataclass(frozen=True, slots=True)
class Item:
    """One column of a table of learners by items.

    used: learners with every item. mean: of its scores. difficulty: where the mean lies
    between the lowest and the highest category, from 0 to 1; of items scored 0 or 1 the
    share done, so that easy items are high. rest: correlation with the sum of the other
    items, low and high its limits at the level asked (`METHOD`). undefined: why one of
    these is missing, a sentence; empty if none is.
    """

    name: str
    used: int
    mean: float | None
    difficulty: float | None
    rest: float | None
    low: float | None
    high: float | None
    undefined: str


def items(ratings: Ratings, *, level: float = 0.95) -> tuple[Item, ...]:
    """Each item (a column of the ratings) in order, from the learners that have them all.

    The lowest and highest category are the declared ones, or those seen where none are
    declared. Source: Crocker L, Algina J (1986), Introduction to Classical and Modern Test
    Theory, chapter 14, from memory; interval: Fisher RA (1921), Metron 1:3-32.
    """
    check_level(level)
    scores = items_complete(ratings)
    reason = scores.reason or ("" if len(scores.table) else "no learner has a score on every item.")
    if reason:
        sentence = f"The items are not estimable: {reason}"
        return tuple(_nothing(name, sentence) for name in ratings.observers)
    low, high = _range(ratings)
    means = scores.table.mean(axis=0)
    alone = why_not(scores)
    rest, defined = (np.zeros(len(means)),) * 2 if alone else item_rest(scores.table)
    return tuple(
        Item(
            name,
            len(scores.table),
            float(means[place]),
            float((means[place] - low) / (high - low)) if high > low else None,
            float(rest[place]) if defined[place] else None,
            *(_limits(float(rest[place]), len(scores.table), level, bool(defined[place]))),
            _why(alone, scores, place, bool(defined[place])),
        )
        for place, name in enumerate(ratings.observers)
    )


def item_rest(scores: Floats) -> tuple[Floats, Floats]:
    """Correlation of each item with the sum of the others, and 1 where there is one, else 0.

    scores: shape (..., learners, items); both answers of shape (..., items).
    """
    centred = scores - scores.mean(axis=-2, keepdims=True)
    others = centred.sum(axis=-1, keepdims=True) - centred
    n, k = scores.shape[-2:]
    noise = n * (k * rounding(scores)[..., None]) ** 2
    own, rest = (centred**2).sum(axis=-2), (others**2).sum(axis=-2)
    defined = (own > noise) & (rest > noise)
    size = np.sqrt(np.where(defined, own, 1.0)) * np.sqrt(np.where(defined, rest, 1.0))
    value = np.clip((centred * others).sum(axis=-2) / size, -1.0, 1.0)
    return np.where(defined, value, 0.0), defined.astype(np.float64)


def _nothing(name: str, sentence: str) -> Item:
    return Item(name, 0, None, None, None, None, None, sentence)


def _range(ratings: Ratings) -> tuple[float, float]:
    values = [float(value) for value in ratings.categories]
    return min(values), max(values)


def _limits(
    value: float,
    used: int,
    level: float,
    defined: bool,  # noqa: FBT001 - goes with the value
) -> tuple[float | None, float | None]:
    if not defined or used < FEWEST or abs(value) >= 1 - 1e-12:
        return None, None
    half = NormalDist().inv_cdf((1 + level) / 2) / math.sqrt(used - 3)
    z = math.atanh(value)
    return math.tanh(z - half), math.tanh(z + half)


def _why(
    alone: str,
    scores: Scores,
    place: int,
    defined: bool,  # noqa: FBT001 - goes with the value
) -> str:
    if defined:
        return ""
    column = scores.table[:, place]
    reason = alone or (
        "the item is the same for every learner."
        if column.max() == column.min()
        else "the sum of the other items is the same for every learner."
    )
    return f"The item-rest correlation is not estimable: {reason}"
