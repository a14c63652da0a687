"""Ratings: who gave which unit which category, missing ones left out and counted."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
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
PLAIN_NUMBER = re.compile(r"[+-]?[0-9]{1,150}(\.[0-9]{1,150})?([eE][+-]?[0-9]{1,3})?", re.ASCII)


class Scale(StrEnum):
    """What may be done with the categories: tell apart, put in order, subtract, divide."""

    NOMINAL = "nominal"
    ORDINAL = "ordinal"
    INTERVAL = "interval"
    RATIO = "ratio"

    @property
    def is_of_numbers(self) -> bool:
        """Whether the categories must be numbers."""
        return self in {Scale.INTERVAL, Scale.RATIO}


@dataclass(frozen=True, eq=False)
class Ratings:
    """A table of units by observers, kept as one entry per rating given.

    categories: in order; declared by the form, or taken from the ratings.
    observers: names of those who gave at least one rating, in order of appearance.
    units: how many units the table names, rated or not; unit_names: their names.
    silent: names of observers who gave no rating.
    unit, observer, code: shape (ratings,), one entry per rating given: the place
        of its unit, of its observer and of its category.
    clusters: for each unit, whose it is (the learner's name), where units of one learner
        are not independent; None where they are.

    Build it with `from_table`, `from_long` or `from_codes`.
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
    unit_names: tuple[str, ...]
    clusters: tuple[str, ...] | None = None

    @classmethod
    def from_table(
        cls,
        rows: Sequence[Sequence[Value | None]],
        *,
        scale: Scale | str = Scale.NOMINAL,
        categories: Sequence[Value] | None = None,
        observers: Sequence[str] | None = None,
        units: Sequence[str] | None = None,
    ) -> Self:
        """Ratings from a table: a row per unit, a column per observer, missing as None.

        observers, units: their names; "observer 1" and "1" and so on without. Raises
        BadInput for rows of unequal length, a value outside `categories`, a
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
        names = _names(observers, width, "observer {}", "column")
        rated = _names(units, len(rows), "{}", "row")
        long = (
            (unit, names[column], value)
            for unit, row in zip(rated, rows, strict=True)
            for column, value in enumerate(row)
        )
        return cls.from_long(long, scale=scale, categories=categories)

    @classmethod
    def from_codes(
        cls,
        codes: Whole,
        categories: Sequence[Value],
        *,
        scale: Scale | str = Scale.NOMINAL,
        observers: Sequence[str] | None = None,
    ) -> Self:
        """Ratings from places of declared categories, shape (units, observers), -1 for missing.

        Raises BadInput for a place that no category has.
        """
        kind = _scale(scale)
        order = _order((), kind, categories)
        if codes.size and not -1 <= codes.min() <= codes.max() < len(order):
            raise BadInput(
                f"A place is not one of the {len(order)} categories.",
                remedy="Count categories from 0; write -1 for a missing rating.",
            )
        names = _names(observers, codes.shape[1], "observer {}", "column")
        unit, column = np.nonzero(codes >= 0)
        speak = np.asarray((codes >= 0).any(axis=0)).tolist()
        return cls(
            scale=kind,
            categories=tuple(order),
            declared=True,
            observers=tuple(name for name, said in zip(names, speak, strict=True) if said),
            units=len(codes),
            silent=tuple(name for name, said in zip(names, speak, strict=True) if not said),
            unit=unit,
            observer=(np.cumsum(speak) - 1)[column],
            code=codes[unit, column].astype(np.int64),
            unit_names=tuple(_names(None, len(codes), "{}", "row")),
        )

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
        recode = np.array(_places(gathered.values, order), dtype=np.int64)
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
            unit_names=tuple(gathered.units),
        )

    def clustered_by(self, owner: Mapping[str, str]) -> Self:
        """The same ratings, units of one owner (a learner) taken together in intervals.

        owner: by the unit's name. Raises BadInput for a unit without one.
        """
        alone = [name for name in self.unit_names if not owner.get(name)]
        if alone:
            raise BadInput(
                f"It is not said whose these units are: {_list(alone)}.",
                where="cluster",
                remedy="Name the learner of each unit.",
            )
        return replace(self, clusters=tuple(owner[name] for name in self.unit_names))

    @cached_property
    def cluster(self) -> Whole | None:
        """The place of each unit's owner, shape (units,); None where units are independent."""
        if self.clusters is None:
            return None
        place = {name: at for at, name in enumerate(dict.fromkeys(self.clusters))}
        return np.array([place[name] for name in self.clusters], dtype=np.int64)

    @cached_property
    def codes(self) -> Whole:
        """Places of categories, shape (units, observers), -1 where a rating is missing."""
        table = np.full((self.units, len(self.observers)), -1, dtype=np.int64)
        table[self.unit, self.observer] = self.code
        return table

    @cached_property
    def packed(self) -> Whole:
        """Places of categories without the observers, shape (units, most ratings of a unit).

        A unit's ratings stand to the left, -1 after them; as wide as it must be, also where
        very many observers rated a few units each.
        """
        order = np.argsort(self.unit, kind="stable")
        unit = self.unit[order]
        starts = np.cumsum(self.per_unit) - self.per_unit
        table = np.full((self.units, int(self.per_unit.max(initial=0))), -1, dtype=np.int64)
        table[unit, np.arange(len(unit)) - starts[unit]] = self.code[order]
        return table

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
        first, second = self.codes[(self.codes >= 0).all(axis=1)].T
        return first, second

    def table(self) -> Whole:
        """Counts of category by the first and by the second observer, shape (q, q)."""
        q = len(self.categories)
        first, second = self.pairs
        return np.bincount(first * q + second, minlength=q * q).reshape(q, q).astype(np.int64)

    @cached_property
    def rated(self) -> int:
        """How many units were rated at least once."""
        return int(np.count_nonzero(self.per_unit))

    def dropped(self, *, single_used: bool) -> tuple[str, ...]:
        """Who and what is left out and why, in sentences.

        single_used: whether units rated once take part in what is estimated.
        """
        said = []
        if self.silent:
            said.append(f"Left out: {_list(self.silent)}, who rated nothing.")
        if self.rated > self.shared and not single_used:
            said.append(self._out(self.per_unit == 1, "rated by one observer only"))
        if self.units > self.rated:
            said.append(self._out(self.per_unit == 0, "rated by nobody"))
        return tuple(said)

    def remarks(self, *, single_used: bool) -> tuple[str, ...]:
        """What is `dropped`, and where the categories are from, in sentences."""
        said = self.dropped(single_used=single_used)
        if self.declared or self.scale.is_of_numbers or not self.categories:
            return said
        listed = _list(self.categories)
        return (*said, f"Categories taken from the ratings, not declared: {listed}.")

    def _out(self, which: NDArray[np.bool_], why: str) -> str:
        names = [self.unit_names[place] for place in np.flatnonzero(which)[: NAMED + 1]]
        count = int(np.count_nonzero(which))
        noun = "1 unit is" if count == 1 else f"{count} units are"
        listed = ", ".join(names[:NAMED]) + (" and others" if count > NAMED else "")
        return f"{noun} left out: {why} ({listed})."


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


def _names(names: Sequence[str] | None, width: int, usual: str, noun: str) -> Sequence[str]:
    if names is None:
        return [usual.format(place) for place in range(1, width + 1)]
    if len(names) != width or len(set(names)) != width:
        raise BadInput(
            f"{len(names)} names for {width} {noun}s, or a name twice.",
            remedy=f"Name each {noun} once.",
        )
    return names


def _places(values: Iterable[Value], order: Sequence[Value]) -> list[int]:
    """Where each value stands among the categories; a number is the same one as text."""
    known = {value: place for place, value in enumerate(order)}
    sizes = {number(value): place for place, value in enumerate(order)}
    found = []
    unknown = []
    for value in values:
        place = known.get(value)
        if place is None and (size := number(value)) is not None:
            place = sizes.get(size)
        if place is None:
            unknown.append(value)
        else:
            found.append(place)
    if unknown:
        raise BadInput(
            f"Not among the declared categories: {_list(unknown)}.",
            remedy=f"Use {_list(order)}, or declare the categories that the form has.",
        )
    return found


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
    if scale.is_of_numbers and words:
        raise BadInput(
            f"{'An' if scale is Scale.INTERVAL else 'A'} {scale} scale needs numbers;"
            f" found {_list(words)}.",
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
    if isinstance(value, str):
        return Fraction(value) if PLAIN_NUMBER.fullmatch(value) else None
    return Fraction(str(value)) if isinstance(value, float) else Fraction(value)


def _by_number_then_text(value: Value) -> tuple[bool, Fraction, str]:
    size = number(value)
    return size is None, size or Fraction(0), str(value)


def _list(values: Iterable[Value]) -> str:
    shown = [str(value) for value in values]
    more = len(shown) - NAMED
    return ", ".join(shown[:NAMED]) + (f" and {more} more" if more > 0 else "")
