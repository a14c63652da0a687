"""Cells of a table that a person saved: one way to write a value, one way to show a text."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal

NUMBER = re.compile(r"[+-]?[0-9]{1,30}(\.[0-9]{1,30})?", re.ASCII)
MEASURED = re.compile(
    r"[+-]?([0-9]{1,30}(\.[0-9]{0,30})?|\.[0-9]{1,30})([eE][+-]?[0-9]{1,2})?", re.ASCII
)
LEADING_ZERO = re.compile(r"[+-]?0[0-9]")


def tidy(cell: str) -> str:
    """A cell's text without outer blanks, NFC."""
    return unicodedata.normalize("NFC", cell.strip())


def tidy_value(cell: str) -> str:
    """The one way to write a value: no outer blanks, NFC, numbers without idle zeros.

    1, 1.0 and +1 are one category; codes with a leading zero (01) stay as they are.
    """
    text = tidy(cell)
    if not NUMBER.fullmatch(text) or LEADING_ZERO.match(text):
        return text
    return plain_number(text)


def plain_number(text: str) -> str:
    """A text that matches `NUMBER` or `MEASURED`, without idle zeros and plus sign."""
    number = Decimal(text)
    if not number:
        return "0"
    plain = format(number, "f")
    return plain.rstrip("0").rstrip(".") if "." in plain else plain


def one_line(text: str) -> str:
    """A text with nothing in it that a terminal would obey, each such character a blank."""
    if text.isprintable():
        return text
    return "".join(character if character.isprintable() else " " for character in text)


def shown(text: str, most: int = 40) -> str:
    """A cell's text for a sentence: one line, cut short."""
    return one_line(text) if len(text) <= most else one_line(text[: most - 3]) + "..."
