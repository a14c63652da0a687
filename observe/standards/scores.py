"""Scores as numbers: what is missing is dropped and counted, and a tie with the cut passes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from observe.domain.troubles import BadInput
from observe.standards.cut import Scale

Floats: TypeAlias = NDArray[np.float64]
Flags: TypeAlias = NDArray[np.bool_]
Whole: TypeAlias = NDArray[np.int64]

GREATEST = 1e100
ROUNDING = 1e-9


def numbers(values: Sequence[float | None], name: str) -> Floats:
    """Values as an array of shape (n,), NaN where one is missing.

    Raises BadInput for what is no finite number, or too large to compute with.
    """
    for place, value in enumerate(values, start=1):
        if value is not None and not -GREATEST <= value <= GREATEST:
            raise BadInput(
                f"{name.capitalize()} number {place} is no number that can be computed with.",
                where=name,
                remedy="Give None where it is missing.",
            )
    return np.array([np.nan if value is None else float(value) for value in values])


def scores_on(values: Sequence[float | None], scale: Scale) -> Floats:
    """Scores as `numbers` gives them. Raises BadInput for one outside a declared scale."""
    found = numbers(values, "score")
    if scale.maximum is None:
        return found
    outside = np.flatnonzero((found < 0) | (found > scale.maximum))
    if len(outside):
        raise BadInput(
            f"A score of {found[outside[0]]:g} is not on the scale from 0 to {scale.maximum:g}.",
            where="score",
            remedy="Declare the scale that the scores are on, or mend the score.",
        )
    return found


def paired(
    scores: Sequence[float | None],
    others: Sequence[float | None],
    name: str,
    scale: Scale,
) -> tuple[Floats, Floats, tuple[str, ...]]:
    """Scores and what stands beside them, of candidates who have both; what was dropped.

    Raises BadInput if the two are not of one length, and as `scores_on` does.
    """
    if len(scores) != len(others):
        raise BadInput(
            f"There are {len(scores)} scores and {len(others)} of {name}.",
            where=name,
            remedy="Give one of each for every candidate.",
        )
    first, second = scores_on(scores, scale), numbers(others, name)
    no_score, no_other = np.isnan(first), np.isnan(second)
    kept = ~(no_score | no_other)
    said = (
        _left_out(int(no_score.sum()), "score"),
        _left_out(int((no_other & ~no_score).sum()), name),
    )
    return first[kept], second[kept], tuple(filter(None, said))


def below(scores: Floats, cut: float) -> Flags:
    """Which scores fail: below the unrounded cut. What rounding leaves of a tie passes."""
    return np.asarray(scores < cut - ROUNDING * max(1.0, abs(cut)))


def candidates(count: int) -> str:
    """The number with its noun."""
    return f"{count:,} candidate" if count == 1 else f"{count:,} candidates"


def _left_out(count: int, name: str) -> str:
    return f"{candidates(count)} without a {name} left out." if count else ""
