"""The record that a sheet carries: its content as canonical JSON, there and back (rule P1)."""

from __future__ import annotations

import hashlib
import json
import types
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Union, get_args, get_origin, get_type_hints

from observe.domain.canonical import canonical
from observe.domain.troubles import BadInput
from observe.sheets.content import SheetContent

FORMAT = 2
FILE_NAME = "record.json"


def written(content: SheetContent) -> bytes:
    """The record of a sheet, canonical JSON in UTF-8."""
    return canonical({"format": FORMAT, "sheet": plain(content)})


def code_of(digest: str) -> str:
    """The code that is printed large enough to be typed in: twelve digits of the digest."""
    return " ".join(digest[at : at + 4] for at in range(0, 12, 4))


def digest_of(record: bytes) -> str:
    """SHA-256 of a record, 64 hexadecimal characters; printed at the foot of each page."""
    return hashlib.sha256(record).hexdigest()


def read(record: bytes) -> SheetContent:
    """The content of a record. Raises `BadInput` for anything else."""
    try:
        outer = json.loads(record)
        kept = outer["format"]
        if kept != FORMAT:
            raise BadInput(
                f"The record has format {kept!s:.20}; this program reads format {FORMAT}.",
                where=FILE_NAME,
                remedy="Check the sheet with the version of the program that made it.",
            )
        content = made(SheetContent, outer["sheet"])
    except (ValueError, LookupError, TypeError, RecursionError, ArithmeticError) as error:
        raise _unreadable() from error
    if not isinstance(content, SheetContent) or written(content) != record:
        raise _unreadable()
    return content


def _unreadable() -> BadInput:
    return BadInput(
        "The record inside the file is not that of a sheet.",
        where=FILE_NAME,
        remedy="Ask for the sheet again from where it was made.",
    )


def plain(value: object) -> object:
    """A dataclass with all that is in it as canonical JSON takes it."""
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [plain(entry) for entry in value]
    if isinstance(value, StrEnum):
        return value.value
    return value


def made(kind: object, value: object) -> object:
    """`value` of a record as a `kind`. Raises ValueError or TypeError where it is none."""
    if get_origin(kind) is tuple:
        return _made_tuple(get_args(kind)[0], value)
    if get_origin(kind) in {Union, types.UnionType}:
        some = next(one for one in get_args(kind) if one is not type(None))
        return None if value is None else made(some, value)
    if not isinstance(kind, type):
        raise TypeError(f"{kind!r} is no kind of a record")
    if is_dataclass(kind):
        return _made_class(kind, value)
    return _made_plain(kind, value)


def _made_class(kind: type, value: object) -> object:
    if not isinstance(value, Mapping):
        raise TypeError(f"{kind.__name__} is missing")
    hints = get_type_hints(kind)
    return kind(**{name: made(hints[name], value[name]) for name in hints})


def _made_tuple(entry: object, value: object) -> object:
    if not isinstance(value, list):
        raise TypeError("a list is missing")
    return tuple(made(entry, one) for one in value)


def _made_plain(kind: type, value: object) -> object:
    if kind is Fraction and isinstance(value, int | str) and not isinstance(value, bool):
        return Fraction(value)
    if issubclass(kind, StrEnum):
        return kind(str(value))
    if type(value) is not kind:
        raise TypeError(f"{value!r:.40} is not {kind.__name__}")
    return value
