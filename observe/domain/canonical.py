"""Canonical JSON and digests (RFC 8785, restricted to what records hold).

No floating-point numbers: an exact number that is not whole is written as a
reduced "n/d" string, so 1, 1.0 and 1.00 are one value. Text is NFC. Rule F2.
"""

from __future__ import annotations

import hashlib
import json
import unicodedata
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

LARGEST_WHOLE = 2**53 - 1

_ENCODER = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"))


def exact(value: Fraction | Decimal | int) -> int | str:
    """The canonical form of an exact number: a whole number, or "n/d" reduced.

    Raises ValueError for NaN, infinities and whole numbers past 2**53 - 1.
    """
    if isinstance(value, Decimal) and not value.is_finite():
        raise ValueError(f"{value} is no number that a record can hold")
    number = Fraction(value)
    if number.denominator != 1:
        return f"{number.numerator}/{number.denominator}"
    if abs(number.numerator) > LARGEST_WHOLE:
        raise ValueError(f"{number.numerator} is past the largest whole number of a record")
    return number.numerator


def _text(value: str) -> str:
    if value.isascii():
        return value
    text = unicodedata.normalize("NFC", value)
    if any("\ud800" <= character <= "\udfff" for character in text):
        raise ValueError("text holds half of a character (a lone surrogate)")
    return text


def _mapping(value: Mapping[object, object]) -> dict[str, object]:
    plain: dict[str, object] = {}
    for key, entry in value.items():
        if not isinstance(key, str):
            raise ValueError("a record has keys that are not text")  # noqa: TRY004 - one error for all
        plain[_text(key)] = _plain(entry)
    if len(plain) != len(value):
        raise ValueError("two keys are the same text once normalised")
    return dict(sorted(plain.items(), key=lambda pair: pair[0].encode("utf-16-be")))


def _plain(value: object) -> object:
    if isinstance(value, str):
        return _text(value)
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, int | Fraction | Decimal):
        return exact(value)
    if isinstance(value, Mapping):
        return _mapping(value)
    if isinstance(value, list | tuple):
        return [_plain(entry) for entry in value]
    raise ValueError(f"a record cannot hold a {type(value).__name__}")


def canonical(value: object) -> bytes:
    """The one way to write `value` as JSON, in UTF-8.

    Accepts None, bool, int, Fraction, Decimal, str, lists, tuples and mappings
    with text keys. Raises ValueError for anything else: a float, a lone
    surrogate, a whole number past 2**53 - 1.
    """
    return _ENCODER.encode(_plain(value)).encode("utf-8")


def digest(value: object) -> str:
    """SHA-256 of `canonical(value)`, 64 hexadecimal characters."""
    return hashlib.sha256(canonical(value)).hexdigest()
