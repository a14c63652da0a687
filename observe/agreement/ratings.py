"""Ratings: who gave which unit which category, missing ones left out and counted."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cached_property
from typing import Self, TypeAlias

import numpy as np
from numpy.typing import NDArray

from observe.domain.troubles import BadInput, Refused

Value: TypeAlias = str | int | float | Decimal | Fraction
Whole: TypeAlias = NDArray[np.int64]

NAMED = 5
PLAIN_NUMBER = re.compile(r"[+-]?[0-9]{1,15}(\.[0-9]{1,15})?", re.ASCII)


class Scale(StrEnum):
    """What may be done with the categories: tell apart, put in order, subtract."""

    NOMINAL = "nominal"
    ORDINAL = "ordinal"
    INTERVAL = "interval"


@dataclass(frozen=True, eq=False)
class Ratings:
    """A table of units by observers, kept as one entry per rating given.

    categories: in order; declared by the form, or taken from the ratings.
    observers: names of those who gave at least one rating, in order of appearance.
    units: how many units the table names, rated or not.
    silent: names of observers who gave no rating.
    unit, observer, code: shape (ratings,), one entry per rating given: the place
        of its unit, of its observer and of its category.

    Build it with `from_table` or `from_long`.
    """

    scale: Scale
    categories: tuple[Value, ...]
    declared: bool
    observers: tuple[str, ...]
    units: int
    silent: tuple[str, ...]
    unit: Whole
    observer: Whole
    code: Whole

    @classmethod
    def from_table(
        cls,
        rows: Sequence[Sequence[Value | None]],
        *,
        scale: Scale | str = Scale.NOMINAL,
        categories: Sequence[Value] | None = None,
        observers: Sequence[str] | None = None,
    ) -> Self:
        """Ratings from a table: a row per unit, a column per observer, missing as None.

        Raises BadInput for rows of unequal length, a value outside `categories`, a
        value that is not a number on the interval scale, NaN, and an ordinal scale
        of words whose order was not declared.
        """
        width = len(rows[0]) if rows else 0
        for place, row in enumerate(rows, start=1):
            if len(row) != width:
                raise BadInput(
                    f"Row {place} has {len(row)} ratings where the first has {width}.",
                    remedy="Give every unit one place per observer; write None for missing.",
                )
        names = _names(observers, width)
        long = (
            (str(place), names[column], value)
            for place, row in enumerate(rows, start=1)
            for column, value in enumerate(row)
        )
        return cls.from_long(long, scale=scale, categories=categories)

    @classmethod
    def from_long(
        cls,
        rows: Iterable[tuple[str, str, Value | None]],
        *,
        scale: Scale | str = Scale.NOMINAL,
        categories: Sequence[Value] | None = None,
    ) -> Self:
        """Ratings from rows of (unit, observer, value), missing as None.

        Raises BadInput as `from_table`, and where an observer rates a unit twice.
        """
        kind = _scale(scale)
        gathered = _Gathered(rows)
        order = _order(gathered.values, kind, categories)
        places = {value: place for place, value in enumerate(order)}
        unknown = [value for value in gathered.values if value not in places]
        if unknown:
            raise BadInput(
                f"Not among the declared categories: {_list(unknown)}.",
                remedy=f"Use {_list(order)}, or declare the categories that the form has.",
            )
        recode = np.array([places[value] for value in gathered.values], dtype=np.int64)
        code = recode[np.array(gathered.code, dtype=np.int64)] if gathered.code else recode[:0]
        return cls(
            scale=kind,
            categories=tuple(order),
            declared=categories is not None,
            observers=tuple(gathered.observers),
            units=len(gathered.units),
            silent=tuple(name for name in gathered.named if name not in gathered.observers),
            unit=np.array(gathered.unit, dtype=np.int64),
            observer=np.array(gathered.observer, dtype=np.int64),
            code=code,
        )

    @cached_property
    def per_unit(self) -> Whole:
        """How many ratings each unit has; shape (units,)."""
        return np.bincount(self.unit, minlength=self.units).astype(np.int64)

    @cached_property
    def shared(self) -> int:
        """How many units two or more observers rated."""
        return int(np.count_nonzero(self.per_unit >= 2))

    @cached_property
    def pairs(self) -> tuple[Whole, Whole]:
        """Category places by the first and by the second of exactly two observers.

        Two arrays of shape (shared,), a place per unit that both rated. Raises
        Refused unless there are exactly two observers.
        """
        if len(self.observers) != 2:
            raise Refused(
                f"Pairs need exactly two observers; there are {len(self.observers)}.",
                remedy="Choose two observers.",
            )
        both = np.full((2, self.units), -1, dtype=np.int64)
        both[self.observer, self.unit] = self.code
        first, second = both[:, (both >= 0).all(axis=0)]
        return first, second

    def table(self) -> Whole:
        """Counts of category by the first and by the second observer, shape (q, q)."""
        q = len(self.categories)
        first, second = self.pairs
        return np.bincount(first * q + second, minlength=q * q).reshape(q, q).astype(np.int64)

    @property
    def rated(self) -> int:
        """How many units were rated at least once."""
        return int(np.count_nonzero(self.per_unit))

    def remarks(self, *, single_used: bool) -> tuple[str, ...]:
        """Who is left out and why, and where the categories are from, in sentences.

        single_used: whether units rated once take part in what is estimated.
        """
        said = []
        if self.silent:
            said.append(f"Left out: {_list(self.silent)}, who rated nothing.")
        if self.rated > self.shared and not single_used:
            said.append(f"{_units(self.rated - self.shared)} rated by one observer only.")
        if self.units > self.rated:
            said.append(f"{_units(self.units - self.rated)} rated by nobody.")
        if not self.declared and self.scale is not Scale.INTERVAL and self.categories:
            said.append(
                f"Categories taken from the ratings, not declared: {_list(self.categories)}."
            )
        return tuple(said)


class _Gathered:
    """Rows sorted into places: units, observers and values in order of appearance."""

    def __init__(self, rows: Iterable[tuple[str, str, Value | None]]) -> None:
        self.units: dict[str, int] = {}
        self.named: dict[str, None] = {}
        self.observers: dict[str, int] = {}
        self.values: dict[Value, int] = {}
        self.unit: list[int] = []
        self.observer: list[int] = []
        self.code: list[int] = []
        seen: set[tuple[int, int]] = set()
        for unit, observer, value in rows:
            here = self.units.setdefault(unit, len(self.units))
            self.named[observer] = None
            if value is None:
                continue
            if not isinstance(value, str) and not math.isfinite(value):
                raise BadInput(
                    f"Unit {unit} has a value by {observer} that is not a number.",
                    remedy="Write None for a missing rating.",
                )
            who = self.observers.setdefault(observer, len(self.observers))
            if (here, who) in seen:
                raise BadInput(
                    f"{observer} rated unit {unit} twice.",
                    remedy="Keep one rating per unit and observer.",
                )
            seen.add((here, who))
            self.unit.append(here)
            self.observer.append(who)
            self.code.append(self.values.setdefault(value, len(self.values)))


def _names(observers: Sequence[str] | None, width: int) -> Sequence[str]:
    names = (
        [f"observer {place}" for place in range(1, width + 1)] if observers is None else observers
    )
    if len(names) != width or len(set(names)) != width:
        raise BadInput(
            f"{len(names)} observer names for {width} columns, or a name twice.",
            remedy="Name each column once.",
        )
    return names


def _scale(scale: Scale | str) -> Scale:
    if scale not in list(Scale):
        raise BadInput(
            f"There is no scale {str(scale)!r}.",
            remedy=f"Use one of: {', '.join(Scale)}.",
        )
    return Scale(scale)


def _order(
    values: Iterable[Value], scale: Scale, categories: Sequence[Value] | None
) -> Sequence[Value]:
    """The categories in order: as declared, or as far as the ratings themselves give one."""
    known = list(values) if categories is None else list(categories)
    if len(set(known)) != len(known):
        raise BadInput("A category is declared twice.", remedy="Declare each category once.")
    words = [value for value in known if number(value) is None]
    if scale is Scale.INTERVAL and words:
        raise BadInput(
            f"An interval scale needs numbers; found {_list(words)}.",
            remedy="Use the ordinal scale for words, with their order declared.",
        )
    if categories is not None:
        return known
    if scale is Scale.ORDINAL and words:
        raise BadInput(
            f"The order of these categories is not known: {_list(known)}.",
            remedy="Declare the categories, lowest first.",
        )
    return sorted(known, key=_by_number_then_text)


def number(value: Value) -> Fraction | None:
    """A value as the exact number it is written as; None if it is not a plain number."""
    if isinstance(value, str | float):
        return Fraction(str(value)) if PLAIN_NUMBER.fullmatch(str(value)) else None
    return Fraction(value)


def _by_number_then_text(value: Value) -> tuple[bool, Fraction, str]:
    size = number(value)
    return size is None, size or Fraction(0), str(value)


def _list(values: Iterable[Value]) -> str:
    shown = [str(value) for value in values]
    more = len(shown) - NAMED
    return ", ".join(shown[:NAMED]) + (f" and {more} more" if more > 0 else "")


def _units(count: int) -> str:
    return "1 unit is left out:" if count == 1 else f"{count} units are left out:"
