"""A form's text, written in TOML, read into the model with all its faults (F1 to F8)."""

from __future__ import annotations

import decimal
import re
import tomllib
from decimal import Decimal
from functools import lru_cache

from observe.domain.faults import Fault
from observe.domain.foreign import one_line
from observe.domain.form import Form
from observe.domain.formcheck import check
from observe.domain.formfindings import Findings
from observe.domain.formplaces import LONGEST_ENTRY, Places
from observe.domain.formrecords import read_form
from observe.domain.formtable import Table
from observe.domain.troubles import BadInput

LARGEST_FILE = 1_000_000
LONGEST_LINE = 2_000
NO_FORM = "Choose a form: a text file whose name ends in .toml."

_BYTE_ORDER_MARKS = {b"\xff\xfe": "UTF-16", b"\xfe\xff": "UTF-16"}
_POSITION = re.compile(r" ?\(at (?:line (\d+), column (\d+)|end of document)\)$")

# How the standard reader's own words begin, what that means, and what to do about it.
_LETTER = "Write the letter itself."
_KEY = "Write keys with letters, digits, - and _."
_SYNTAX = (
    ("Cannot overwrite a value", "A key stands twice in one table.", "Keep one of the two."),
    ("Cannot declare", "A table stands twice.", "Keep one, or write [[…]] for a list of tables."),
    ("Expected '=' after", "An equals sign is missing after a key.", "Write key = value."),
    ("Invalid value", "A value cannot be read.", "Put text in quotation marks."),
    ("Invalid date", "A date cannot be read.", "Write it as in 2026-03-02."),
    ("Illegal character", "A text does not end on its line.", "Close the quotation mark."),
    ("Unterminated string", "A text is not closed.", "Close the quotation marks."),
    ("Unclosed array", "A list is not closed.", "Put a comma between entries and ] at the end."),
    ("Unclosed inline table", "A table in braces is not closed.", "Close it with }."),
    ("Expected newline", "Something follows after a value.", "Start a new line after each value."),
    (
        "Invalid statement",
        "A line is neither a key, a table nor a remark.",
        "Put # before remarks.",
    ),
    ("Unescaped '\\'", "A backslash stands alone in a text.", "Write \\\\ for a backslash."),
    ("Escaped character", "A letter is given by a number that no letter has.", _LETTER),
    ("Invalid hex value", "A letter is given by a number that is cut off.", _LETTER),
    ("Found invalid character", "A sign that cannot be seen stands here.", "Delete it."),
    ("Duplicate inline table key", "A key stands twice in one table.", "Keep one of the two."),
    ("Invalid initial character", "A key is missing or starts with a sign no key has.", _KEY),
    ("Expected ']", "The name of a table is not closed.", "Close it with ], of a list with ]]."),
    ("Expected \"'''\"", "A text is not closed.", "Close the quotation marks."),
)


def decode(data: bytes, name: str) -> str:
    """The text of a form's file.

    name: what to call the file. Raises `BadInput` for a file that is too large,
    empty, binary or not UTF-8.
    """
    if len(data) > LARGEST_FILE:
        raise BadInput(
            f"The file has {len(data) / 1e6:.1f} MB; a form has at most 1 MB.",
            where=name,
            remedy=NO_FORM,
        )
    if data[:2] in _BYTE_ORDER_MARKS:
        raise BadInput(
            "The file is written in UTF-16, not in UTF-8.",
            where=name,
            remedy="Save it as UTF-8 in your editor.",
        )
    if b"\0" in data:
        raise BadInput("The file is not a text.", where=name, remedy=NO_FORM)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise BadInput(
            f"The text is not UTF-8: line {line} holds a byte that does not fit.",
            where=f"{name}:{line}",
            remedy="Save it as UTF-8 in your editor.",
        ) from error
    if not text.strip():
        raise BadInput(
            "The file is empty.", where=name, remedy="Start from a copy of a shipped form."
        )
    return text


def read(text: str) -> tuple[Form | None, tuple[Fault, ...]]:
    """The form of a text and all its faults, by line.

    Once the text is sound TOML, every fault is found in the one run. The form is
    None where a fault stops it from being used; remarks do not.
    """
    form, faults = _read(text)
    return (None if any(fault.blocking for fault in faults) else form), faults


def reread(text: str) -> Form | None:
    """The form of a text that was sound when it was frozen; None where it is no TOML.

    Checks that were added since then do not hold for it. Whether it is the form
    that was used is for the caller to see, by its digest.
    """
    return _read(text)[0]


@lru_cache(maxsize=8)  # a frozen form follows from its text alone, and the same ones come back
def _read(text: str) -> tuple[Form | None, tuple[Fault, ...]]:
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    fault = _too_long(text)
    if fault is not None:
        return None, (fault,)
    try:
        data = tomllib.loads(text, parse_float=_number)
        findings = Findings(Places(text))
    except ValueError as error:  # a slip of the pen, or a number beyond the reader's own limit
        return None, (_syntax_fault(text, str(error)),)
    except RecursionError:
        sentence = "Lists stand in lists too many times over."
        return None, (Fault(1, sentence, "Write the form with fewer brackets."),)
    form = read_form(Table(data, (), findings, "The form"))
    check(form, findings)
    return form, findings.sorted()


def _number(text: str) -> Decimal:
    try:
        return Decimal(text)
    except decimal.InvalidOperation:
        return Decimal("Infinity")


def _too_long(text: str) -> Fault | None:
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > LONGEST_LINE:
            return Fault(
                number,
                f"The line has {len(line)} signs; {LONGEST_LINE} are the most.",
                "Break it into several lines; texts in three quotation marks may span lines.",
                one_line(line, LONGEST_ENTRY),
            )
    return None


def _syntax_fault(text: str, message: str) -> Fault:
    lines = text.split("\n")
    found = _POSITION.search(message)
    line, column = (int(found[1]), int(found[2])) if found and found[1] else (len(lines), 0)
    words = _POSITION.sub("", message)
    sentence, remedy = next(
        ((meaning, remedy) for start, meaning, remedy in _SYNTAX if words.startswith(start)),
        ("The text cannot be read here.", "Compare this place with a shipped form."),
    )
    place = f" (column {column})" if column else " (at the end of the text)"
    return Fault(
        line, sentence[:-1] + place + ".", remedy, one_line(lines[line - 1], LONGEST_ENTRY)
    )
