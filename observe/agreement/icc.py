"""The six intraclass correlations with their F intervals, for one table or for many at once."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy import special

from observe.agreement.estimate import FEWEST_PAIRS, Estimate, check_level
from observe.agreement.ratings import Ratings
from observe.agreement.scores import Asked, Flags, Floats, complete, obstacle, one_way, rounding
from observe.domain.troubles import BadInput

FORMS = ("ICC(1,1)", "ICC(2,1)", "ICC(3,1)", "ICC(1,k)", "ICC(2,k)", "ICC(3,k)")
METHOD = "F (Shrout & Fleiss 1979)"
APPROXIMATE = "F with Satterthwaite's degrees of freedom (Shrout & Fleiss 1979)"
PERFECT = "not estimable: perfect agreement in the sample, the error mean square is 0."
NO_ERROR = "not estimable: the error mean square is 0."
STEPPED_UP = (
    "not estimable: the limits of one observer do not enclose the value,"
    " or lie below -1/(k-1), where a mean of k has none."
)
ROUNDED_OFF = 1e-12
LARGEST_QUANTILE = 1e100


class MeanSquares(NamedTuple):
    """Two-way analysis of variance of units by observers; each of shape (...).

    between: of units. within: of scores within units. judges: of observers. error: what
    is left of both. Below what rounding can leave, exactly 0.
    """

    between: Floats
    within: Floats
    judges: Floats
    error: Floats


class Forms(NamedTuple):
    """The six forms in the order of `FORMS`; each of shape (..., 6), never NaN.

    defined: whether there is a value; bounded: whether there is an interval. Where
    there is none, 0 stands in its place.
    """

    value: Floats
    low: Floats
    high: Floats
    defined: Flags
    bounded: Flags


def icc(ratings: Ratings, *, form: str = "ICC(2,1)", level: float = 0.95) -> Estimate:
    """One form of the intraclass correlation: model, then single ("1") or mean of k ("k").

    ICC(1,.): observers differ from unit to unit. ICC(2,.): the same observers, drawn
    from many, absolute agreement. ICC(3,.): these observers only, consistency. Units
    with a missing score are left out and counted; where no two units have all, the
    one-way forms take units with equally many scores. Undefined without two such
    units, with no variance, or (means of k) with none between units. Raises BadInput
    for another form. Sources: Shrout PE, Fleiss JL (1979), Psychological Bulletin
    86:420-428; McGraw KO, Wong SP (1996), Psychological Methods 1:30-46, 1:390, whose
    ICC(A,.) and ICC(C,.) are the numbers of ICC(2,.) and ICC(3,.).
    """
    if form not in FORMS:
        raise BadInput(
            f"There is no form {form!r}.", where="form", remedy=f"Use one of: {', '.join(FORMS)}."
        )
    return icc_forms(ratings, level=level)[FORMS.index(form)]


def icc_forms(ratings: Ratings, *, level: float = 0.95) -> tuple[Estimate, ...]:
    """All six forms, in the order of `FORMS`, as `icc` gives each."""
    check_level(level)
    crossed = complete(ratings)
    answers = _answers(ratings, crossed.table, obstacle(ratings, crossed), crossed.notes, level)
    if len(crossed.table) >= 2:
        return answers
    loose = one_way(ratings)
    others = _answers(ratings, loose.table, obstacle(ratings, loose), loose.notes, level)
    return tuple(others[place] if place in {0, 3} else answers[place] for place in range(6))


def mean_squares(scores: Floats) -> MeanSquares:
    """Mean squares of complete tables; scores: shape (..., units, observers), 2 or more each."""
    n, k = scores.shape[-2:]
    centred = scores - scores.mean(axis=(-2, -1), keepdims=True)
    rows, columns = centred.mean(axis=-1), centred.mean(axis=-2)
    rest = centred - rows[..., None] - columns[..., None, :]
    nothing = n * k * rounding(scores) ** 2
    between = k * (rows**2).sum(axis=-1)
    judges = n * (columns**2).sum(axis=-1)
    error = (rest**2).sum(axis=(-2, -1))
    between, judges, error = (
        np.where(part <= nothing, 0.0, part) for part in (between, judges, error)
    )
    return MeanSquares(
        between / (n - 1),
        (judges + error) / (n * (k - 1)),
        judges / (k - 1),
        error / ((n - 1) * (k - 1)),
    )


def all_forms(scores: Floats, level: float = 0.95) -> Forms:
    """The six forms of each complete table; scores: shape (..., units, observers)."""
    n, k = scores.shape[-2:]
    between, within, judges, error = mean_squares(scores)
    upper = (1 + level) / 2
    observers = (judges - error) / n
    sizes = between + within + judges + error
    spreads = np.stack(
        [
            between + (k - 1) * within,
            between + (k - 1) * error + k * observers,
            between + (k - 1) * error,
            between,
            np.where(between > 0, between + observers, 0.0),
            between,
        ],
        axis=-1,
    )
    defined = np.abs(spreads) > ROUNDED_OFF * sizes[..., None]
    noise = np.stack([within, error, error] * 2, axis=-1)
    value = _ratio(between[..., None] - noise, spreads, defined)

    single_1 = _one_f(between, within, k, _quantiles(n - 1, n * (k - 1), upper))
    single_3 = _one_f(between, error, k, _quantiles(n - 1, (n - 1) * (k - 1), upper))
    single_2, bounded_2 = _two_random(value[..., 1], between, judges, error, (n, k), upper)
    singles = np.stack([single_1, single_2, single_3], axis=-2)
    bounded = np.stack([within > 0, bounded_2, error > 0], axis=-1) & defined[..., :3]
    stepping = 1 + (k - 1) * singles
    steps = bounded & (stepping > ROUNDED_OFF).all(axis=-1) & defined[..., 3:]
    means = _ratio(k * singles, stepping, np.broadcast_to(steps[..., None], singles.shape))
    limits = np.concatenate([singles * bounded[..., None], means], axis=-2)
    both = np.concatenate([bounded, steps], axis=-1)
    return Forms(value, limits[..., 0], limits[..., 1], defined, both)


def _ratio(top: Floats, bottom: Floats, where: Flags) -> Floats:
    """Top / bottom where told, else 0."""
    return np.where(where, top / np.where(where, bottom, 1.0), 0.0)


def _quantiles(first: int, second: int, upper: float) -> tuple[float, float]:
    """Upper quantiles of F with (first, second) and (second, first) degrees of freedom."""
    return float(special.fdtri(first, second, upper)), float(special.fdtri(second, first, upper))


def _one_f(between: Floats, noise: Floats, k: int, quantiles: tuple[float, float]) -> Floats:
    """Limits for one observer where one F ratio is all; shape (..., 2)."""
    far, near = quantiles
    top = np.stack([between - far * noise, near * between - noise], axis=-1)
    bottom = np.stack([between + (k - 1) * far * noise, near * between + (k - 1) * noise], axis=-1)
    return _ratio(top, bottom, bottom > 0)


def _two_random(
    value: Floats,
    between: Floats,
    judges: Floats,
    error: Floats,
    shape: tuple[int, int],
    upper: float,
) -> tuple[Floats, Flags]:
    """Limits of ICC(2,1), shape (..., 2), and whether they enclose the value.

    The degrees of freedom are Satterthwaite's for k r MSJ + (n (1 + (k-1) r) - k r) MSE.
    """
    n, k = shape
    by_judges = k * value * judges
    by_error = (n * (1 + (k - 1) * value) - k * value) * error
    spread = by_judges**2 / (k - 1) + by_error**2 / ((n - 1) * (k - 1))
    freedom = _ratio((by_judges + by_error) ** 2, spread, spread > 0)
    possible = freedom > 0
    freedom = np.where(possible, freedom, 1.0)
    far = np.asarray(special.fdtri(n - 1, freedom, upper), dtype=np.float64)
    near = np.asarray(special.fdtri(freedom, n - 1, upper), dtype=np.float64)
    for quantile in (far, near):
        possible = possible & (quantile > 0) & (quantile < LARGEST_QUANTILE)
    far, near = np.where(possible, far, 1.0), np.where(possible, near, 1.0)
    rest = k * judges + (k * n - k - n) * error
    top = n * np.stack([between - far * error, near * between - error], axis=-1)
    bottom = np.stack([far * rest + n * between, rest + n * near * between], axis=-1)
    limits = _ratio(top, bottom, bottom > 0)
    enclosed = (limits[..., 0] <= value) & (value <= limits[..., 1])
    return limits, possible & (between > 0) & (bottom > 0).all(axis=-1) & enclosed


def _answers(
    ratings: Ratings, table: Floats, reason: str, notes: tuple[str, ...], level: float
) -> tuple[Estimate, ...]:
    asked = [Asked(ratings, "icc", form, level, len(table)) for form in FORMS]
    if reason:
        return tuple(question.undefined(reason, *notes) for question in asked)
    squares = mean_squares(table)
    if squares.between == 0 and squares.within == 0:
        reason = "there is no variance at all: every score is the same."
        return tuple(question.undefined(reason, *notes) for question in asked)
    forms = all_forms(table, level)
    return tuple(
        _answer(question, place, forms, squares, (table.shape[1], notes))
        for place, question in enumerate(asked)
    )


def _answer(
    asked: Asked,
    place: int,
    forms: Forms,
    squares: MeanSquares,
    said: tuple[int, tuple[str, ...]],
) -> Estimate:
    k, notes = said
    if not forms.defined[place]:
        return asked.undefined(_no_value(place, squares), *notes)
    value = float(forms.value[place])
    notes = (*_reading(value, place, k), *notes)
    if not forms.bounded[place]:
        return asked.point(value, _no_interval(squares), *notes)
    if asked.used < FEWEST_PAIRS:
        few = f"n = {asked.used} units: the interval leans on the scores being normal."
        notes = (few, *notes)
    limits = float(forms.low[place]), float(forms.high[place])
    return asked.between(value, limits, APPROXIMATE if place in {1, 4} else METHOD, *notes)


def _no_value(place: int, squares: MeanSquares) -> str:
    if squares.between == 0 and place >= 3:
        return "there is no variance between units: their means are all the same."
    if squares.between == 0 and squares.error == 0:
        return "there is no variance but that between observers."
    return "its denominator is 0: observers' variance is estimated to be negative."


def _no_interval(squares: MeanSquares) -> str:
    if squares.within == 0:
        return PERFECT
    if squares.error == 0:
        return NO_ERROR
    return STEPPED_UP


def _reading(value: float, place: int, k: int) -> tuple[str, ...]:
    """How the value is to be read, in sentences."""
    said = [f"Of the mean of {k} observers, not of one." if place >= 3 else f"k = {k} observers."]
    if value > 1 or (place < 3 and value < -1 / (k - 1) - ROUNDED_OFF):
        said.append(
            "The value lies outside the range of the formula: observers' variance is"
            " estimated to be negative, and it is printed as computed."
        )
    elif value < 0:
        said.append("Below 0: scores differ within units as much as units differ from each other.")
    return tuple(said)
