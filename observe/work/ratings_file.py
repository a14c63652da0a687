"""Ratings from a file: a long table of unit, observer, value and, if wished, item.

Every fault of the file's rows is gathered in one run. Standard library only.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import TypeAlias

from observe.domain.faults import Fault
from observe.domain.troubles import BadInput
from observe.work.cells import MEASURED, plain_number, shown, tidy, tidy_value
from observe.work.ratings_columns import Columns, find_columns
from observe.work.text_file import read_text

MOST_BYTES = 32 * 1024 * 1024
MOST_ROWS = 1_000_000
MOST_FAULTS = 1000
LONGEST = 200
MOST_COMPARED = 50
MOST_UNDECLARED = 1000
DECIMAL_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
NOT_A_RESULT = re.compile(r"=|@|#(N/A|REF!|VALUE!|NAME\?|DIV/0!|NUM!|NULL!)")
MISSING = frozenset({"NA", "NaN", "nan"})
MEANT_MISSING = frozenset({"na", "n/a", "null", "none", "missing", ".", "-"})

Rating: TypeAlias = tuple[str, str, str | None]


@dataclass(slots=True)
class RatingsFile:
    """What a ratings file holds.

    items: by item, in order of appearance, rows of (unit, observer, value), the value
        None where the cell is empty; one item named None if there is no item column.
    faults: in order of lines; if there is any, nothing should be computed.
    cut: whether there were so many faults that reading stopped at the last one listed.
    notices: sentences on what was read otherwise than a reader might expect.
    owners: whose each unit is, by unit; empty where no such column was asked for.
    """

    items: dict[str | None, list[Rating]] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    cut: bool = False
    notices: list[str] = field(default_factory=list)
    owners: dict[str, str] = field(default_factory=dict)

    def fault(self, line: int, sentence: str, remedy: str, entry: str = "") -> None:
        """Keep a fault."""
        self.faults.append(Fault(line, sentence, remedy, entry))
        self.cut = len(self.faults) >= MOST_FAULTS


@dataclass(frozen=True, slots=True)
class Reading:
    """How a file is to be read.

    numbers: whether values must be numbers (the interval and ratio scales). categories:
    those declared, as `tidy_value` writes them; empty if none were. decimal_comma: whether
    57,5 is a number. encoding: "utf-8" or "latin-1", of a file without a byte order mark.
    owner: the column that says whose a unit is; empty if none.
    """

    numbers: bool = False
    categories: tuple[str, ...] = ()
    decimal_comma: bool = False
    encoding: str = "utf-8"
    owner: str = ""


PLAIN = Reading()


def read(path: Path, how: Reading = PLAIN) -> RatingsFile:
    """Read a ratings file (commas, semicolons or tabs between the cells).

    An empty cell, and NA or NaN where it is no declared category, is a missing value.
    Raises BadInput if the file as a whole cannot be read as a table of ratings,
    Surroundings if the machine refuses it.
    """
    remedy = "Split it, for instance by item, and run each part."
    text = read_text(path, MOST_BYTES, remedy, encoding=how.encoding)
    lines = io.StringIO(text, newline="")
    if not text.strip():
        raise BadInput(
            "The file is empty.",
            where=str(path),
            remedy="The first line names the columns unit, observer and value.",
        )
    columns = find_columns(text, str(path), how.owner)
    reader = _Reader(columns, how)
    reader.found.notices.extend(columns.notices)
    for line, cells in split_rows(lines, columns.delimiter, str(path)):
        reader.row(line, cells)
        if reader.found.cut:
            break
        if reader.rows > MOST_ROWS:
            raise BadInput(
                f"There are more than {MOST_ROWS:,} rows.",
                where=str(path),
                remedy="Split the file, for instance by item, and run each part.",
            )
    return reader.finished(str(path))


def split_rows(lines: io.StringIO, delimiter: str, where: str) -> Iterator[tuple[int, list[str]]]:
    """Rows after the header with the line each begins on; lines without content are skipped.

    Raises BadInput for a row that cannot be split into cells.
    """
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    begins, header = 1, True
    while True:
        try:
            cells = next(reader, None)
        except csv.Error as error:
            raise BadInput(
                f"The row that begins on line {begins} cannot be split into cells ({error}).",
                where=f"{where}, line {begins}",
                remedy="Look for a quotation mark without its partner; inside quotes write two.",
            ) from None
        if cells is None:
            return
        if "".join(cells).strip():
            if not header:
                yield begins, cells
            header = False
        begins = reader.line_num + 1


@dataclass(frozen=True, slots=True)
class _Judged:
    """What a cell's text means: a value, None for missing; or what is wrong, and the remedy."""

    value: str | None
    wrong: tuple[str, str] | None


def _too_long(column: str, text: str) -> tuple[str, str]:
    return (
        f"The {column} is {len(text):,} characters long; at most {LONGEST} are read.",
        "Shorten it, or look for a quotation mark that is not closed.",
    )


class _Reader:
    """Takes rows one by one; keeps ratings and faults."""

    def __init__(self, columns: Columns, how: Reading) -> None:
        self.columns = columns
        self.how = how
        self.numbers = how.numbers
        self.categories = how.categories
        self.found = RatingsFile()
        self.rows = 0
        self.seen: dict[int, int] = {}
        self.ids: dict[str, int] = {"": 0}
        self.observers: set[str] = set()
        self.judged: dict[str, _Judged] = {}

    def row(self, line: int, cells: list[str]) -> None:
        self.rows += 1
        columns = self.columns
        if len(cells) < columns.width or "".join(cells[columns.width :]).strip():
            self.found.fault(
                line,
                f"This row has {len(cells)} cells; the first line has {columns.width}.",
                "Give each row as many cells as the first; quote a text that holds the separator, "
                "and write decimals with a point.",
                shown(columns.delimiter.join(cells)),
            )
            return
        value = self._value(line, cells[columns.value])
        unit = self._named(line, "unit", cells[columns.unit])
        observer = self._named(line, "observer", cells[columns.observer])
        item = None if columns.item is None else self._named(line, "item", cells[columns.item])
        owner = None
        if columns.owner is not None:
            owner = self._named(line, self.how.owner, cells[columns.owner])
        if unit and observer and item != "" and owner != "":
            self._keep(line, unit, observer, item, value)
            if owner is not None:
                self._owned(line, unit, owner)

    def _named(self, line: int, column: str, cell: str) -> str:
        """The tidy text of a cell that must not be empty; empty after a fault."""
        text = tidy(cell)
        if not text:
            self.found.fault(line, f"The {column} is empty.", f"Write the {column} of this rating.")
        elif len(text) > LONGEST:
            self.found.fault(line, *_too_long(column, text), shown(text))
            return ""
        return text

    def _value(self, line: int, cell: str) -> str | None:
        judged = self.judged.get(cell)
        if judged is None:
            judged = self.judged[cell] = self._judge(self._tidy(cell))
        if judged.wrong:
            self.found.fault(line, *judged.wrong, shown(cell.strip()))
        return judged.value

    def _tidy(self, cell: str) -> str:
        """A value as it is compared; empty where it is missing."""
        text = tidy(cell)
        if self.how.decimal_comma and DECIMAL_COMMA.fullmatch(text):
            text = text.replace(",", ".")
        text = text if self.numbers else tidy_value(text)
        return "" if text in MISSING and text not in self.categories else text

    def _judge(self, text: str) -> _Judged:
        wrong = self._wrong(text) if text else None
        if wrong or not text:
            return _Judged(None, wrong)
        return _Judged(plain_number(text) if self.numbers else text, None)

    def _wrong(self, text: str) -> tuple[str, str] | None:
        """What is wrong with a value, and the remedy; None if nothing is."""
        if len(text) > LONGEST:
            return _too_long("value", text)
        if NOT_A_RESULT.match(text) and text not in self.categories:
            return (
                f"“{shown(text)}” is a spreadsheet formula or its error, not a rating.",
                "Save the sheet again as values.",
            )
        if self.numbers and not MEASURED.fullmatch(text):
            comma = DECIMAL_COMMA.fullmatch(text)
            point = f"Write {text.replace(',', '.')}" if comma else "Write numbers like 57.5"
            return (
                f"“{shown(text)}” is not a number.",
                f"{point}; leave the cell empty if it is missing.",
            )
        if self._is_declared(text):
            return None
        return f"“{shown(text)}” is not a declared category.", self._remedy(text)

    def _is_declared(self, text: str) -> bool:
        if not self.categories or text in self.categories:
            return True
        return self.numbers and plain_number(text) in self.categories

    def _owned(self, line: int, unit: str, owner: str) -> None:
        """Keep whose a unit is; a fault if it was somebody else's before."""
        before = self.found.owners.setdefault(unit, owner)
        if before != owner:
            self.found.fault(
                line,
                f"Unit {shown(unit)} is {shown(owner)}'s here and {shown(before)}'s above.",
                "Give each unit one owner; name units of several learners apart.",
            )

    def _remedy(self, text: str) -> str:
        folded = {category.casefold(): category for category in self.categories[:MOST_COMPARED]}
        close = get_close_matches(text.casefold(), folded, n=1)
        if close:
            return f"Did you mean “{shown(folded[close[0]])}”?"
        listed = ", ".join(shown(category) for category in self.categories[:10])
        rest = " and more" if len(self.categories) > 10 else ""
        return f"Use {listed}{rest}; leave the cell empty if it is missing."

    def _keep(
        self, line: int, unit: str, observer: str, item: str | None, value: str | None
    ) -> None:
        ids = self.ids
        key = ids.setdefault(item or "", len(ids))
        key = key << 24 | ids.setdefault(unit, len(ids))
        key = key << 24 | ids.setdefault(observer, len(ids))
        first = self.seen.setdefault(key, line)
        if first != line:
            of_item = f" for {shown(item)}" if item else ""
            self.found.fault(
                line,
                f"{shown(observer)} rated unit {shown(unit)}{of_item} already on line {first}.",
                "Keep one of the two; name repeated attempts as units of their own.",
            )
            return
        self.observers.add(observer)
        self.found.items.setdefault(item, []).append((unit, observer, value))

    def finished(self, where: str) -> RatingsFile:
        """The file as read. Raises BadInput if there is nothing to compare."""
        if self.found.faults:
            return self.found
        if not self.seen:
            raise BadInput(
                "There is no rating below the first line.",
                where=where,
                remedy="Write one line per unit and observer.",
            )
        if len(self.observers) < 2:
            raise BadInput(
                f"All ratings are by one observer, {shown(min(self.observers))}.",
                where=where,
                remedy="Agreement needs two observers; add the lines of the second.",
            )
        if not self.categories and not self.numbers:
            self._doubt_values(where)
        return self.found

    def _doubt_values(self, where: str) -> None:
        """Say what may be an oversight among categories that nobody declared.

        Raises BadInput for so many that they cannot be the categories of a form.
        """
        values = dict.fromkeys(one.value for one in self.judged.values() if one.value)
        if len(values) > MOST_UNDECLARED:
            raise BadInput(
                f"There are more than {MOST_UNDECLARED:,} different values.",
                where=where,
                remedy="For measured numbers choose the interval scale; else declare categories.",
            )
        spelt: dict[str, str] = {}
        for text in values:
            other = spelt.setdefault(text.casefold(), text)
            if other != text:
                self.found.notices.append(
                    f"“{shown(other)}” and “{shown(text)}” are counted as two categories."
                )
            if text.casefold() in MEANT_MISSING:
                self.found.notices.append(
                    f"“{shown(text)}” is counted as a category; leave cells empty for missing."
                )
