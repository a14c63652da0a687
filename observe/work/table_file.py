"""A table of named columns from a person's file; every fault of its rows in one run."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from observe.domain.faults import Fault
from observe.domain.troubles import BadInput
from observe.work.cells import MEASURED, shown, tidy
from observe.work.ratings_columns import find_header, remarks
from observe.work.ratings_file import (
    DECIMAL_COMMA,
    LONGEST,
    MISSING,
    MOST_BYTES,
    MOST_FAULTS,
    MOST_ROWS,
    NOT_A_RESULT,
    split_rows,
)
from observe.work.text_file import read_text


@dataclass(frozen=True, slots=True)
class Column:
    """A column that is looked for.

    number: whether its cells are numbers, from low to high; else text. needed: whether the
    column must be there. full: whether each of its cells must be.
    """

    name: str
    number: bool = False
    needed: bool = True
    full: bool = False
    low: float = -1e30
    high: float = 1e30


@dataclass(frozen=True, slots=True)
class Row:
    """One row: the line it begins on; its texts and numbers by column, None where missing."""

    line: int
    texts: dict[str, str | None]
    numbers: dict[str, float | None]

    def text(self, name: str) -> str:
        """The text of a cell that is full."""
        return self.texts[name] or ""


@dataclass(slots=True)
class TableFile:
    """What a file holds. Where there are faults nothing should be computed.

    columns: those found, by name. cut: whether reading stopped at the last fault, there
    being so many. notices: what was read otherwise than a reader might expect.
    """

    path: Path
    columns: tuple[str, ...] = ()
    rows: list[Row] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    cut: bool = False
    notices: list[str] = field(default_factory=list)

    def fault(self, line: int, sentence: str, remedy: str, entry: str = "") -> None:
        """Keep a fault; `cut` once there are too many."""
        self.faults.append(Fault(line, sentence, remedy, entry))
        self.cut = len(self.faults) >= MOST_FAULTS

    def twice(self, names: Sequence[str], what: str, remedy: str) -> None:
        """Keep a fault for each row whose cells of these columns stood in a row before."""
        first: dict[tuple[object, ...], int] = {}
        for row in self.rows:
            key = tuple(row.texts.get(name, row.numbers.get(name)) for name in names)
            line = first.setdefault(key, row.line)
            if line != row.line and not self.cut:
                self.fault(row.line, f"{what} stands already on line {line}.", remedy)


def read_table(
    path: Path,
    columns: Sequence[Column],
    *,
    decimal_comma: bool = False,
    encoding: str = "utf-8",
) -> TableFile:
    """Read the named columns; an empty cell, NA or NaN is missing.

    Raises BadInput if the file as a whole is no such table, Surroundings if the machine
    refuses it.
    """
    text = read_text(path, MOST_BYTES, "Split it, and run each part.", encoding=encoding)
    names = [column.name for column in columns]
    if not text.strip():
        raise BadInput(
            "The file is empty.",
            where=str(path),
            remedy=f"The first line names the columns {', '.join(names)}.",
        )
    delimiter, header = find_header(text, names)
    places = _places(header, columns, path)
    found = TableFile(path, tuple(places))
    ignored = [cell.strip() for cell in header if tidy(cell).casefold() not in {*names, ""}]
    found.notices.extend(remarks(delimiter, ignored))
    width = max(place for place, cell in enumerate(header, start=1) if cell.strip())
    here = [column for column in columns if column.name in places]
    for line, cells in split_rows(io.StringIO(text, newline=""), delimiter, str(path)):
        if len(cells) < width or "".join(cells[width:]).strip():
            found.fault(
                line,
                f"This row has {len(cells)} cells; the first line has {width}.",
                "Give each row as many cells as the first; quote a text that holds the"
                " separator, and write decimals with a point.",
                shown(delimiter.join(cells)),
            )
        else:
            _take(
                found,
                line,
                {one: cells[places[one.name]] for one in here},
                decimal_comma=decimal_comma,
            )
        if found.cut:
            break
        if len(found.rows) > MOST_ROWS:
            raise BadInput(
                f"There are more than {MOST_ROWS:,} rows.",
                where=str(path),
                remedy="Split the file, and run each part.",
            )
    if not found.rows and not found.faults:
        raise BadInput(
            "There is nothing below the first line.",
            where=str(path),
            remedy=f"Write lines of {', '.join(names)}.",
        )
    return found


def _places(header: list[str], columns: Sequence[Column], path: Path) -> dict[str, int]:
    cells = [tidy(cell).casefold() for cell in header]
    missing = [one.name for one in columns if one.needed and one.name not in cells]
    listed = ", ".join(shown(cell.strip()) for cell in header[:12] if cell.strip())
    needed = ", ".join(one.name for one in columns if one.needed)
    if missing:
        noun = "column" if len(missing) == 1 else "columns"
        raise BadInput(
            f"The first line has no {noun} {' or '.join(missing)}; it has:"
            f" {listed or 'nothing that can be read'}.",
            where=f"{path}, line 1",
            remedy=f"Name the columns {needed}.",
        )
    names = [one.name for one in columns if one.name in cells]
    twice = [name for name in names if cells.count(name) > 1]
    if twice:
        raise BadInput(
            f"The first line names {', '.join(twice)} twice.",
            where=f"{path}, line 1",
            remedy="Name each column once.",
        )
    return {name: cells.index(name) for name in names}


def _take(found: TableFile, line: int, cells: dict[Column, str], *, decimal_comma: bool) -> None:
    row = Row(line, {}, {})
    before = len(found.faults)
    for column, cell in cells.items():
        text = tidy(cell)
        text = "" if text in MISSING else text
        if column.number and decimal_comma and DECIMAL_COMMA.fullmatch(text):
            text = text.replace(",", ".")
        wrong = _wrong(column, text)
        if wrong:
            found.fault(line, *wrong, shown(text))
        elif column.number:
            row.numbers[column.name] = float(text) if text else None
        else:
            row.texts[column.name] = text or None
    if len(found.faults) == before:
        found.rows.append(row)


def _wrong(column: Column, text: str) -> tuple[str, str] | None:
    """What is wrong with a cell, and the remedy; None if nothing is."""
    name = column.name
    if not text and column.full:
        return f"The {name} is empty.", f"Write the {name} of this line."
    if len(text) > LONGEST:
        return (
            f"The {name} is {len(text):,} characters long; at most {LONGEST} are read.",
            "Shorten it, or look for a quotation mark that is not closed.",
        )
    if NOT_A_RESULT.match(text):
        return (
            f"“{shown(text)}” is a spreadsheet formula or its error, not a {name}.",
            "Save the sheet again as values.",
        )
    return _no_number(column, text) if column.number and text else None


def _no_number(column: Column, text: str) -> tuple[str, str] | None:
    if not MEASURED.fullmatch(text):
        comma = DECIMAL_COMMA.fullmatch(text)
        point = f"Write {text.replace(',', '.')}" if comma else "Write numbers like 57.5"
        return (
            f"“{shown(text)}” is not a number.",
            f"{point}; leave the cell empty if it is missing.",
        )
    if column.low <= float(text) <= column.high:
        return None
    span = f"{column.low:g} to {column.high:g}"
    return (
        f"A {column.name} of {shown(text)} is not on the scale from {span}.",
        f"Write a {column.name} from {span}.",
    )
