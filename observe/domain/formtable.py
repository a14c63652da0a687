"""Typed reading of one table of a form's text; everything wrong becomes a fault."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from collections.abc import Iterator, Mapping
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import TypeVar

from observe.domain.formfindings import LONGEST_ID, Findings, meant, nearest, shorten
from observe.domain.formplaces import Path

LONGEST_LABEL = 60
LONGEST_TEXT = 1000
DECIMALS = 9
LARGEST = 10**6
MOST_ENTRIES = 200

_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
_UNSEEN = re.compile("[\u200b\u202a-\u202e\u2066-\u2069\ufeff]")

Choice = TypeVar("Choice", bound=StrEnum)


class Table:
    """One table and what is asked of it.

    name: how sentences call it, with a capital: "Step LPX-15", "The rule".
    Each reading method gives a harmless value where the entry is missing or wrong.
    """

    def __init__(self, data: object, path: Path, findings: Findings, name: str) -> None:
        self._data: Mapping[str, object] = data if isinstance(data, dict) else {}
        self._sound = isinstance(data, dict)
        self._known: list[str] = []
        self._missing: dict[str, str] = {}
        self.path = path
        self.findings = findings
        self.name = name
        if not self._sound:
            findings.add(
                path,
                f"{name} is {_kind(data)}; a table is needed.",
                "Write it as a table of its own.",
            )

    def __contains__(self, key: str) -> bool:
        return key in self._data

    def unread(self, key: str) -> bool:
        """Whether one of this table's entries could not be read."""
        return self.findings.unread((*self.path, key))

    def fault(self, key: str, sentence: str, remedy: str) -> None:
        """Note a fault at one of this table's entries."""
        self.findings.add((*self.path, key), sentence, remedy)

    # ------------------------------------------------------------- entries

    def text(self, key: str, *, default: str | None = None, longest: int = LONGEST_TEXT) -> str:
        """Text on one line, in NFC, blanks run together; never empty unless `default` is."""
        value = self._ask(key, required=default is None)
        if value is None:
            return default or ""
        return self._as_text((*self.path, key), f"{self.name}: {key}", value, longest)

    def ident(self, key: str = "id") -> str:
        """An identity: letters, digits, dots, hyphens and low lines."""
        text = self.text(key, longest=LONGEST_ID)
        if text and not _ID.fullmatch(text):
            self.fault(
                key,
                f"{self.name}: {key} holds signs that an identity cannot have.",
                "Use letters A to Z, digits, dots, hyphens and low lines, without blanks.",
            )
        return text

    def label(self, key: str = "label") -> str:
        """Text that has to fit on a key of the screen."""
        return self.text(key, longest=LONGEST_LABEL)

    def flag(self, key: str, *, default: bool) -> bool:
        """True or false."""
        value = self._ask(key)
        if value is None or isinstance(value, bool):
            return default if value is None else value
        self._wrong(key, value, "true or false", "Write true or false, without quotation marks.")
        return default

    def number(
        self, key: str, *, most: int, default: Fraction | None, above_zero: bool = False
    ) -> Fraction:
        """An exact number from 0 to `most`; required where `default` is None."""
        value = self._ask(key, required=default is None)
        fallback = Fraction(1) if default is None else default
        if value is None:
            return fallback
        read = self._as_number((*self.path, key), f"{self.name}: {key}", value)
        if read is None:
            return fallback
        if not 0 <= read <= most or (above_zero and not read):
            wanted = f"above 0 and at most {most}" if above_zero else f"from 0 to {most}"
            self.fault(
                key,
                f"{self.name}: {key} is {_shown(value)}; it has to be {wanted}.",
                f"Write a number {wanted}.",
            )
            return fallback
        return read

    def whole(self, key: str, *, least: int, most: int, default: int | None) -> int:
        """A whole number from `least` to `most`; required where `default` is None."""
        value = self._ask(key, required=default is None)
        fallback = least if default is None else default
        if value is None:
            return fallback
        read = self._as_number((*self.path, key), f"{self.name}: {key}", value)
        if read is None:
            return fallback
        if read.denominator == 1 and least <= read <= most:
            return read.numerator
        self.fault(
            key,
            f"{self.name}: {key} is {_shown(value)}; a whole number is needed.",
            f"Write a whole number from {least} to {most}.",
        )
        return fallback

    def choice(self, key: str, kind: type[Choice], default: Choice | None = None) -> Choice | None:
        """One of the words of `kind`; None where it is missing or wrong and has no default."""
        value = self._ask(key, required=default is None)
        if value is None:
            return default
        words = [word.value for word in kind]
        if isinstance(value, str) and value in words:
            return kind(value)
        shown = _shown(value) if isinstance(value, str) else _kind(value)
        self.fault(
            key,
            f"{self.name}: {key} is {shown}, which is not one of its words.",
            f"Write one of: {', '.join(words)}.{meant(value, words)}",
        )
        return default

    def texts(self, key: str, *, longest: int = LONGEST_TEXT) -> tuple[str, ...]:
        """A list of texts; empty where it is missing. A wrong entry is left empty in its place."""
        return tuple(
            self._as_text(path, f"{self.name}: {key}", value, longest)
            for path, value in self._entries(key)
        )

    def numbers(self, key: str, count: int, default: tuple[Fraction, ...]) -> tuple[Fraction, ...]:
        """A list of `count` exact numbers."""
        if self._ask(key) is None:
            return default
        entries = list(self._entries(key))
        name = f"{self.name}: {key}"
        read = [self._as_number(path, name, value) for path, value in entries]
        found = tuple(value for value in read if value is not None)
        if len(found) < len(read) or not isinstance(self._data[key], list):
            return default
        if len(found) != count:
            self.fault(
                key,
                f"{name} holds {len(found)} numbers; {count} are needed.",
                "Write one number for each prompt level, from 0 to 4.",
            )
            return default
        return found

    def groups(self, key: str) -> tuple[tuple[str, ...], ...]:
        """A list whose entries are a text or a list of texts, as a tuple of tuples."""
        groups = []
        for path, value in self._entries(key):
            name = f"{self.name}: {key}"
            if isinstance(value, list):
                inner = [
                    self._as_text((*path, place), name, one, LONGEST_ID)
                    for place, one in enumerate(value)
                ]
                groups.append(tuple(inner))
                if not inner:
                    self.findings.add(
                        path,
                        f"{name} holds an empty list of alternatives.",
                        "Name the steps of which one is needed, or leave the list out.",
                    )
            else:
                groups.append((self._as_text(path, name, value, LONGEST_ID),))
        return tuple(groups)

    # -------------------------------------------------------------- tables

    def tables(self, key: str, one: str, by: str = "id") -> tuple[Table, ...]:
        """A list of tables, each called by `one` and its entry `by`: "Step LPX-15"."""
        return tuple(
            Table(value, path, self.findings, _called(one, value, by, place))
            for place, (path, value) in enumerate(self._entries(key), start=1)
        )

    def table(self, key: str, name: str, *, required: bool = False) -> Table | None:
        """A table within this one; None where it is missing."""
        value = self._ask(key, required=required, remedy=f"Add a table [{key}].")
        return None if value is None else Table(value, (*self.path, key), self.findings, name)

    def value(self, key: str) -> object:
        """An entry as it was read, for what no other method can read; None where missing."""
        return self._ask(key)

    def names(self) -> tuple[str, ...]:
        """The keys that the text has, for a table whose keys are names of other things."""
        self._known.extend(self._data)
        return tuple(self._data)[:MOST_ENTRIES]

    def finish(self) -> None:
        """Note each key that nothing asked for and each that is missing.

        A key that is missing because it is misspelt is one fault.
        """
        absent = [key for key in self._known if key not in self._data]
        unknown = [key for key in self._data if key not in self._known]
        for key in unknown[:MOST_ENTRIES]:
            wanted = nearest(key, absent) or nearest(key, self._known)
            self.fault(
                key,
                f"{self.name} has the key “{shorten(key)}”, which forms do not know.",
                f"Did you mean “{wanted}”?"
                if wanted
                else "Leave it out, or see the shipped forms.",
            )
            if wanted in absent:
                self.findings.overlook((*self.path, wanted))
        for key, remedy in self._missing.items():
            if not self.unread(key):
                self.fault(key, f"{self.name} has no {key}.", remedy)

    # ------------------------------------------------------------- helpers

    def _ask(self, key: str, *, required: bool = False, remedy: str = "") -> object:
        self._known.append(key)
        value = self._data.get(key)
        if value is None and required and self._sound:
            self._missing[key] = remedy or f"Add “{key} = …”."
        return value

    def _entries(self, key: str) -> Iterator[tuple[Path, object]]:
        value = self._ask(key)
        if value is None:
            return
        if not isinstance(value, list):
            self._wrong(key, value, "a list", "Put the entries between [ and ].")
            return
        if len(value) > MOST_ENTRIES:
            self.fault(
                key,
                f"{self.name}: {key} has {len(value)} entries; {MOST_ENTRIES} are the most.",
                "Divide the form.",
            )
        for place, entry in enumerate(value[:MOST_ENTRIES]):
            yield (*self.path, key, place), entry

    def _wrong(self, key: str, value: object, needed: str, remedy: str) -> None:
        self.fault(key, f"{self.name}: {key} is {_kind(value)}; {needed} is needed.", remedy)

    def _as_text(self, path: Path, name: str, value: object, longest: int) -> str:
        if not isinstance(value, str):
            sentence = f"{name} is {_kind(value)}; text is needed."
            self.findings.add(path, sentence, "Put the text in quotation marks.")
            return ""
        text = unicodedata.normalize("NFC", " ".join(value.split()))
        if not text:
            self.findings.add(path, f"{name} is empty.", "Write the text, or leave the key out.")
        elif _UNSEEN.search(text) or any(unicodedata.category(c) in {"Cc", "Cs"} for c in text):
            self.findings.add(
                path, f"{name} holds a sign that cannot be seen.", "Type the text again."
            )
            return ""
        elif len(text) > longest:
            self.findings.add(
                path,
                f"{name} has {len(text)} signs; {longest} is the most.",
                f"Shorten it by {len(text) - longest}.",
            )
        return text

    def _as_number(self, path: Path, name: str, value: object) -> Fraction | None:
        if isinstance(value, bool) or not isinstance(value, int | Decimal):
            sentence = f"{name} is {_kind(value)}; a number is needed."
            self.findings.add(path, sentence, "Write a number, without quotation marks.")
            return None
        number = Decimal(value)
        if number.is_finite() and -LARGEST <= number <= LARGEST and _decimals(number) <= DECIMALS:
            return Fraction(number) if number else Fraction(0)
        self.findings.add(
            path,
            f"{name} is not a number that a form can hold.",
            f"Write a number up to {LARGEST}, with at most {DECIMALS} decimals.",
        )
        return None


def _called(one: str, value: object, by: str, place: int) -> str:
    name = value.get(by) if isinstance(value, dict) else None
    if isinstance(name, str) and name.strip():
        return f"{one} {shorten(name)}"
    return f"{one} number {place}"


def _decimals(number: Decimal) -> int:
    exponent = number.as_tuple().exponent
    return -exponent if isinstance(exponent, int) and number else 0


def _shown(value: object) -> str:
    return f"“{shorten(value)}”" if isinstance(value, str) else shorten(str(value))


def _kind(value: object) -> str:
    names: tuple[tuple[type | tuple[type, ...], str], ...] = (
        (bool, "true or false"),
        (str, "text"),
        ((int, Decimal), "a number"),
        (list, "a list"),
        (dict, "a table"),
        ((dt.date, dt.time), "a date or time"),
    )
    return next((name for kind, name in names if isinstance(value, kind)), "something else")
