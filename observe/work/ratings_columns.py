"""The first line of a ratings file: its separator and which column is which."""

from __future__ import annotations

import csv
import io
from collections.abc import Collection
from dataclasses import dataclass
from difflib import get_close_matches

from observe.domain.troubles import BadInput
from observe.work.cells import shown, tidy

NEEDED = ("unit", "observer", "value")
KNOWN = (*NEEDED, "item")
SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs"}
OTHER_WORDS = {
    "attempt": "unit",
    "candidate": "unit",
    "case": "unit",
    "learner": "unit",
    "patient": "unit",
    "student": "unit",
    "subject": "unit",
    "assessor": "observer",
    "examiner": "observer",
    "judge": "observer",
    "rater": "observer",
    "category": "value",
    "grade": "value",
    "mark": "value",
    "rating": "value",
    "score": "value",
    "question": "item",
    "step": "item",
}


@dataclass(frozen=True, slots=True)
class Columns:
    """Where things stand in each row: places from 0; item None where there is no such column.

    width: cells per row. owner: the column that says whose a unit is; None if none was asked.
    """

    delimiter: str
    width: int
    unit: int
    observer: int
    value: int
    item: int | None
    notices: tuple[str, ...]
    owner: int | None = None


def find_columns(text: str, where: str, owner: str = "") -> Columns:
    """Read the separator and the columns off the first line that is not blank.

    owner: the name of the column that says whose a unit is (the learner's), if there is
    to be one. Raises BadInput if a column is missing or named twice.
    """
    delimiter, header = find_header(text, KNOWN)
    names = [tidy(cell).casefold() for cell in header]
    while names and not names[-1]:
        names.pop()
    missing = [name for name in NEEDED if name not in names]
    if missing:
        raise _missing(missing, [cell.strip() for cell in header if cell.strip()], where)
    twice = sorted({name for name in names if name in KNOWN and names.count(name) > 1})
    if twice:
        raise BadInput(
            f"The first line names {', '.join(twice)} twice.",
            where=where,
            remedy="Name each column once.",
        )
    whose = tidy(owner).casefold()
    if whose and names.count(whose) != 1:
        raise _no_owner(owner, names.count(whose), where)
    used = {*KNOWN, whose, ""}
    ignored = [cell.strip() for cell in header if tidy(cell).casefold() not in used]
    return Columns(
        delimiter=delimiter,
        width=len(names),
        unit=names.index("unit"),
        observer=names.index("observer"),
        value=names.index("value"),
        item=names.index("item") if "item" in names else None,
        notices=tuple(remarks(delimiter, ignored)),
        owner=names.index(whose) if whose else None,
    )


def find_header(text: str, known: Collection[str]) -> tuple[str, list[str]]:
    """The separator that finds most of the known columns, and the cells it gives."""
    best: tuple[str, list[str]] = (",", [])
    most = -1
    for delimiter in SEPARATORS:
        cells = _first_cells(text, delimiter)
        found = sum(cell.strip().casefold() in known for cell in cells)
        if found > most:
            best, most = (delimiter, cells), found
    return best


def _first_cells(text: str, delimiter: str) -> list[str]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        return next(cells for cells in reader if any(cell.strip() for cell in cells))
    except (csv.Error, StopIteration):
        return []


def _missing(missing: list[str], found: list[str], where: str) -> BadInput:
    noun = "column" if len(missing) == 1 else "columns"
    listed = ", ".join(shown(name) for name in found[:12]) or "nothing that can be read"
    return BadInput(
        f"The first line has no {noun} {' or '.join(missing)}; it has: {listed}.",
        where=f"{where}, line 1",
        remedy=" ".join([*_meant(missing, found), "Name the columns unit, observer, value."]),
    )


def _no_owner(owner: str, count: int, where: str) -> BadInput:
    found = "names it twice" if count else "has none"
    return BadInput(
        f"Units were to be taken together by the column “{shown(owner)}”; the first line {found}.",
        where=f"{where}, line 1",
        remedy="Name the column that says which learner each unit belongs to.",
    )


def _meant(missing: list[str], found: list[str]) -> list[str]:
    said = []
    for name in missing:
        others = {word for word, meaning in OTHER_WORDS.items() if meaning == name}
        for cell in found:
            folded = cell.casefold()[:40]
            if folded in others or get_close_matches(folded, [name], cutoff=0.75):
                said.append(f"Did you mean “{shown(cell)}” to be {name}?")
                break
    return said


def remarks(delimiter: str, ignored: list[str]) -> list[str]:
    """Sentences on a separator other than the comma, and on columns that nothing reads."""
    said = []
    if delimiter != ",":
        said.append(f"Read with {SEPARATORS[delimiter]} between the cells.")
    if ignored:
        listed = ", ".join(shown(name) for name in ignored[:12])
        said.append(f"Not used: {'column' if len(ignored) == 1 else 'columns'} {listed}.")
    return said
