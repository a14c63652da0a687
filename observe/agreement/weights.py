"""How far two categories lie apart: the weights that coefficients count disagreement with.

Everything here is in distances: 0 for the same category, 1 for the two furthest apart. A
weight of agreement is 1 less the distance.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from observe.agreement.ratings import Ratings, Scale, Value, Whole, number
from observe.domain.troubles import BadInput

Floats: TypeAlias = NDArray[np.float64]
Matrix: TypeAlias = Sequence[Sequence[float]]
Weights: TypeAlias = str | Matrix
Rule: TypeAlias = Callable[[Floats, Floats], Floats]

UNWEIGHTED = "unweighted"
CUSTOM = "custom"
BLOCK = 2**21
MOST_CUSTOM = 1000


@dataclass(frozen=True, eq=False)
class Distance:
    """Distances of q categories from each other.

    form: its name in an answer. place: where categories stand, shape (q,) or, for each
    table its own, (tables, q); None where they do not matter. rule: distance from two
    places; None for equal or not, or where `matrix` says it. matrix: shape (q, q), first
    observer's category in rows. squared: whether `rule` is the squared difference. mean:
    over all q times q pairs of categories.
    """

    form: str
    q: int
    mean: float
    place: Floats | None = None
    rule: Rule | None = None
    matrix: Floats | None = None
    squared: bool = False

    @property
    def symmetric(self) -> bool:
        """Whether both directions are as far."""
        return self.matrix is None or bool(np.array_equal(self.matrix, self.matrix.T))

    def both_ways(self) -> Distance:
        """The mean of both directions, for observers whose order means nothing."""
        if self.matrix is None or self.symmetric:
            return self
        return Distance(self.form, self.q, self.mean, matrix=(self.matrix + self.matrix.T) / 2)

    def between(self, first: Whole, second: Whole) -> Floats:
        """Distance of two arrays of categories, shape (tables, ...), one from the other."""
        if self.matrix is not None:
            return np.asarray(self.matrix[first, second], dtype=np.float64)
        if self.rule is None or self.place is None:
            return np.asarray(first != second, dtype=np.float64)
        return self.rule(_at(self.place, first), _at(self.place, second))

    def across(self, shares: Floats, *, turned: bool = False) -> Floats:
        """Mean distance of each category from others with these shares; shape (tables, q).

        shares: shape (tables, q), by the second observer; with `turned` by the first.
        """
        if self.matrix is not None:
            return np.asarray(shares @ (self.matrix if turned else self.matrix.T))
        if self.rule is None or self.place is None:
            return np.asarray(shares.sum(axis=-1, keepdims=True) - shares)
        whole = shares.sum(axis=-1, keepdims=True)
        if self.squared:
            place = np.broadcast_to(self.place, shares.shape)
            middle = (shares * place).sum(axis=-1, keepdims=True) / np.where(whole > 0, whole, 1)
            off = (place - middle) ** 2
            return np.asarray(whole * off + (shares * off).sum(axis=-1, keepdims=True))
        out = np.empty(shares.shape)
        for start, stop in _blocks(self.q):
            out[:, start:stop] = shares @ self.block(start, stop).T
        return out

    def block(self, start: int, stop: int) -> Floats:
        """Distances of some categories from all, shape (stop - start, q)."""
        if self.matrix is not None:
            return self.matrix[start:stop]
        if self.rule is None or self.place is None:
            return np.not_equal.outer(np.arange(start, stop), np.arange(self.q)).astype(np.float64)
        return self.rule(self.place[start:stop, None], self.place[None, :])


def distance(ratings: Ratings, weights: Weights = UNWEIGHTED) -> Distance:
    """The distances that `weights` mean for the categories of these ratings.

    weights: a name from `NAMES`, or a square of numbers in the order of the categories,
    none negative, which need not be symmetric: disagreement with 0 on the diagonal, or
    agreement with the same greatest number all along it. Named weights go by place in the
    declared order, on the interval and ratio scales by value. Raises BadInput for another
    name, a square that does not fit, and named weights on the nominal scale.
    """
    q = len(ratings.categories)
    if not isinstance(weights, str):
        return _custom(weights, q)
    check_name(weights)
    if weights == UNWEIGHTED:
        return Distance(UNWEIGHTED, q, 1 - 1 / max(q, 1))
    if ratings.scale is Scale.NOMINAL:
        raise BadInput(
            f"Weights “{weights}” need an order, and the scale is nominal.",
            where="weights",
            remedy="Choose the ordinal scale and declare the categories, lowest first.",
        )
    by_value = ratings.scale in {Scale.INTERVAL, Scale.RATIO}
    place = places(ratings.categories) if by_value else np.linspace(0.0, 1.0, max(q, 1))
    form = f"{weights}, by value" if by_value else weights
    return positioned(form, place, NAMES[weights](q), squared=weights == "quadratic")


def positioned(form: str, place: Floats, rule: Rule, *, squared: bool = False) -> Distance:
    """Distances by a rule of two places, these of shape (q,)."""
    q = place.shape[-1]
    found = Distance(form, q, 0.0, place, rule, squared=squared)
    total = float(found.across(np.ones((1, q))).sum()) if place.ndim == 1 else 0.0
    return Distance(form, q, total / max(q, 1) ** 2, place, rule, squared=squared)


def places(values: Sequence[Value]) -> Floats:
    """Values as places from 0, the lowest, to 1, the highest; shape (q,). All must be numbers."""
    exact = [number(value) or Fraction(0) for value in values]
    low, high = min(exact, default=Fraction(0)), max(exact, default=Fraction(0))
    width = high - low or Fraction(1)
    return np.array([float((value - low) / width) for value in exact], dtype=np.float64)


def check_name(weights: str) -> None:
    """Raise BadInput, naming those there are, unless weights of this name exist."""
    if weights not in NAMES:
        raise BadInput(
            f"There are no weights {weights!r}.",
            where="weights",
            remedy=f"Use one of: {', '.join(NAMES)}; or a square of numbers.",
        )


def squares(first: Floats, second: Floats) -> Floats:
    """The squared difference."""
    return np.asarray((first - second) ** 2)


def _apart(first: Floats, second: Floats) -> Floats:
    return np.asarray(np.abs(first - second))


def _ranked(q: int) -> Rule:
    """Gwet's ordinal weights: how many pairs of categories lie between two, of all pairs."""
    steps, all_pairs = max(q - 1, 1), max(q * (q - 1) / 2, 1)

    def rule(first: Floats, second: Floats) -> Floats:
        step = np.rint(np.abs(first - second) * steps)
        return np.asarray(step * (step + 1) / 2 / all_pairs)

    return rule


def _rooted(first: Floats, second: Floats) -> Floats:
    return np.asarray(np.sqrt(np.abs(first - second)))


NAMES: MappingProxyType[str, Callable[[int], Rule]] = MappingProxyType(
    {
        UNWEIGHTED: lambda _: _apart,
        "linear": lambda _: _apart,
        "quadratic": lambda _: squares,
        "ordinal": _ranked,
        "radical": lambda _: _rooted,
    }
)
"""Weights by name; all but the first need an order. "ordinal" and "radical": Gwet KL (2014),
Handbook of Inter-Rater Reliability, 4th ed., chapter 3."""


def _custom(weights: Matrix, q: int) -> Distance:
    rows = [list(row) for row in weights]
    wrong = ""
    if q > MOST_CUSTOM:
        wrong = f"Own weights are for up to {MOST_CUSTOM} categories; there are {q}."
    elif len(rows) != q or any(len(row) != q for row in rows):
        wrong = f"The weights are no square of {q} by {q}, a row and a column per category."
    else:
        table = np.array(rows, dtype=np.float64)
        if not np.isfinite(table).all() or (table < 0).any():
            wrong = "A weight is negative, or no number."
        else:
            same = np.diagonal(table)
            full = float(same[0]) if q else 0.0
            if (same != full).any() or (full and (table > full).any()):
                wrong = "The diagonal is neither all 0 nor all the greatest weight."
            table = full - table if full else table
            if not wrong and not table.any():
                wrong = "All weights are the same, so nothing would count as disagreement."
    if wrong:
        raise BadInput(
            wrong,
            where="weights",
            remedy="Give disagreement weights with 0, or agreement weights with 1 on the diagonal,"
            " in the order of the categories.",
        )
    top = table.max()
    matrix = table / top
    return Distance(CUSTOM, q, float(matrix.mean()), matrix=matrix)


def _at(place: Floats, codes: Whole) -> Floats:
    """Places of categories, shape as `codes` (tables, ...)."""
    if place.ndim == 1:
        return place[codes]
    if len(codes) == 1:
        return place[:, codes[0]]
    flat = codes.reshape(len(codes), -1)
    tables = np.broadcast_to(place, (len(codes), place.shape[-1]))
    return np.take_along_axis(tables, flat, axis=1).reshape(codes.shape)


def _blocks(q: int) -> list[tuple[int, int]]:
    step = max(1, BLOCK // max(q, 1))
    return [(start, min(start + step, q)) for start in range(0, q, step)]
