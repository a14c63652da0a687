"""The standard error of measurement: how far a score may lie from what it would be on average."""

from __future__ import annotations

import math

import numpy as np

from observe.agreement.consistency import alphas, items_complete, why_not
from observe.agreement.estimate import Estimate
from observe.agreement.icc import mean_squares
from observe.agreement.ratings import Ratings
from observe.agreement.scores import Asked, complete, obstacle
from observe.domain.troubles import BadInput

FROM_ALPHA = "sum score, from alpha"
AGREEMENT = "one observer, agreement"
CONSISTENCY = "one observer, consistency"
ONE_WAY = "one observer, one-way"
NO_INTERVAL = "not given: its distribution is not known."


def standard_error(deviation: float, reliability: float) -> float:
    """SD √(1 - r), in the unit of the score. Raises BadInput for r over 1 or a negative SD.

    Source: Lord FM, Novick MR (1968), Statistical Theories of Mental Test Scores, section
    3.4, from memory. A negative reliability gives more than the SD: build no bands on it.
    """
    if not (0 <= deviation < math.inf and -math.inf < reliability <= 1):
        raise BadInput(
            f"An SD of {deviation:g} with a reliability of {reliability:g} cannot be.",
            remedy="Give an SD of 0 or more and a reliability of at most 1.",
        )
    return deviation * math.sqrt(1 - reliability)


def sem(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """The standard error of the sum of all columns, from Cronbach's alpha; columns are items.

    It holds no error between observers: for pass or fail use one of a design that does.
    Undefined where alpha is.
    """
    scores = items_complete(ratings)
    asked = Asked(ratings, "sem", FROM_ALPHA, level, len(scores.table))
    reason = why_not(scores)
    if reason:
        return asked.undefined(reason, *scores.notes)
    found = alphas(scores.table)
    if not found.defined:
        return asked.undefined("the total score has no variance.", *scores.notes)
    alpha = float(found.value)
    deviation = float(np.std(scores.table.sum(axis=1), ddof=1))
    notes = [f"SD of the sum {deviation:.4g}, alpha {alpha:.4f}; no error between observers."]
    if alpha < 0:
        notes.append("Alpha is below 0, so this is above the SD: build no bands on it.")
    value = standard_error(deviation, min(alpha, 1.0))
    return asked.point(value, NO_INTERVAL, *notes, *scores.notes)


def sem_of_observers(ratings: Ratings, *, form: str = AGREEMENT, level: float = 0.95) -> Estimate:
    """The standard error of one observer's score, in its unit; columns are observers.

    form: `AGREEMENT` counts the difference between observers' means as error, and is right
    for a fixed pass mark; `CONSISTENCY` does not. `ONE_WAY` does too, where each unit was seen
    by observers of its own: the root of the mean square within units, which from pairs is
    √(Σ d² / 2n). A negative component of observers counts as 0. Sources: de Vet HCW, Terwee
    CB, Knol DL, Bouter LM (2006), Journal of Clinical Epidemiology 59:1033-1039; one-way:
    Bland JM, Altman DG (1996), BMJ 313:744. Raises BadInput for another form.
    """
    if form not in {AGREEMENT, CONSISTENCY, ONE_WAY}:
        raise BadInput(
            f"There is no form {form!r}.",
            where="form",
            remedy=f"Use {AGREEMENT!r}, {CONSISTENCY!r} or {ONE_WAY!r}.",
        )
    scores = complete(ratings)
    asked = Asked(ratings, "sem", form, level, len(scores.table))
    reason = obstacle(ratings, scores)
    if reason:
        return asked.undefined(reason, *scores.notes)
    squares = mean_squares(scores.table)
    if form == ONE_WAY:
        return asked.point(math.sqrt(float(squares.within)), NO_INTERVAL, *scores.notes)
    between = float(squares.judges - squares.error) / len(scores.table)
    error = float(squares.error)
    notes = scores.notes
    if form == AGREEMENT:
        if between < 0:
            notes = ("Observers' variance is estimated below 0 and counted as 0.", *notes)
        error += max(between, 0.0)
    return asked.point(math.sqrt(error), NO_INTERVAL, *notes)


def conditional_sem(
    score: float, count: int, *, kr20: float | None = None, kr21: float | None = None
) -> float:
    """The standard error of one sum of `count` items scored 0 or 1, in items.

    √(x (n - x) / (n - 1)); with both `kr20` and `kr21` times √((1 - KR-20) / (1 - KR-21)),
    which takes items of unequal difficulty into account. Raises BadInput for a score
    outside 0 to `count`, fewer than two items, or coefficients that cannot be. Sources:
    Lord FM (1957), Educational and Psychological Measurement 17:510-521; Keats JA (1957),
    Psychometrika 22:29-41, both from memory.
    """
    if count < 2 or not 0 <= score <= count:
        raise BadInput(
            f"A score of {score:g} on {count} items has no standard error.",
            remedy="Give two or more items, and a score from 0 to their number.",
        )
    plain = math.sqrt(score * (count - score) / (count - 1))
    if kr20 is None and kr21 is None:
        return plain
    if kr20 is None or kr21 is None or not (kr21 <= kr20 <= 1 and kr21 < 1):
        raise BadInput(
            "The correction needs KR-20 and KR-21, neither above 1, KR-21 the lower.",
            remedy="Give both, from the same scores.",
        )
    return plain * math.sqrt((1 - kr20) / (1 - kr21))
