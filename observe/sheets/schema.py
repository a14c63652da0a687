"""The JSON Schema (2020-12) of the record that a sheet carries, read from what it is made of."""

from __future__ import annotations

import types
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Any, Union, get_args, get_origin, get_type_hints

from observe.sheets.content import SheetContent
from observe.sheets.record import FORMAT

ADDRESS = "https://json-schema.org/draft/2020-12/schema"
FRACTION = {
    "description": "An exact number: a whole one, or “numerator/denominator” in lowest terms.",
    "anyOf": [{"type": "integer"}, {"type": "string", "pattern": "^-?[0-9]+/[1-9][0-9]*$"}],
}


def schema() -> dict[str, Any]:
    """What `record.written` writes: every key is required, and there is no other."""
    kinds = dict(_kinds(SheetContent))
    return {
        "$schema": ADDRESS,
        "title": "The record of a sheet",
        "description": "One learner's sheet, and nothing that the sheet does not print.",
        "type": "object",
        "required": ["format", "sheet"],
        "additionalProperties": False,
        "properties": {
            "format": {"const": FORMAT},
            "sheet": {"$ref": f"#/$defs/{SheetContent.__name__}"},
        },
        "$defs": {"Fraction": FRACTION, **{name: kinds[name] for name in sorted(kinds)}},
    }


def _kinds(kind: type) -> Iterator[tuple[str, dict[str, Any]]]:
    """A class and all that it is made of, by name."""
    hints = get_type_hints(kind)
    names = [field.name for field in fields(kind)]
    yield (
        kind.__name__,
        {
            "type": "object",
            "required": names,
            "additionalProperties": False,
            "properties": {name: _of(hints[name]) for name in names},
        },
    )
    for name in names:
        for part in _classes_in(hints[name]):
            yield from _kinds(part)


def _classes_in(kind: object) -> Iterator[type]:
    if get_origin(kind) is not None:
        for one in get_args(kind):
            yield from _classes_in(one)
    elif isinstance(kind, type) and is_dataclass(kind):
        yield kind


def _of(kind: object) -> dict[str, Any]:
    """The schema of one value. Raises TypeError for a kind that no record holds."""
    if get_origin(kind) is tuple:
        return {"type": "array", "items": _of(get_args(kind)[0])}
    if get_origin(kind) in {Union, types.UnionType}:
        some = next(one for one in get_args(kind) if one is not type(None))
        return {"anyOf": [_of(some), {"type": "null"}]}
    if not isinstance(kind, type):
        raise TypeError(f"{kind!r} is in no record")
    if is_dataclass(kind):
        return {"$ref": f"#/$defs/{kind.__name__}"}
    if kind is Fraction:
        return {"$ref": "#/$defs/Fraction"}
    if issubclass(kind, StrEnum):
        return {"enum": [one.value for one in kind]}
    plain = {bool: "boolean", int: "integer", str: "string"}
    return {"type": plain[kind]}
