"""Ratings from a file: a long table of unit, observer, value and, if wished, item.

Every fault of the file's rows is gathered in one run. Standard library only.
"""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path
from typing import TypeAlias

from observe.domain.faults import Fault
from observe.domain.troubles import BadInput
from observe.work.ratings_columns import Columns, find_columns
from observe.work.text_file import read_text

MOST_BYTES = 32 * 1024 * 1024
MOST_RATINGS = 1_000_000
MOST_FAULTS = 1000
LONGEST = 200
NUMBER = re.compile(r"[+-]?[0-9]{1,15}(\.[0-9]{1,15})?", re.ASCII)
LEADING_ZERO = re.compile(r"[+-]?0[0-9]")
DECIMAL_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
NOT_A_RESULT = re.compile(r"=|@|#(N/A|REF!|VALUE!|NAME\?|DIV/0!|NUM!|NULL!)")
MEANT_MISSING = frozenset({"na", "n/a", "nan", "null", "none", "missing", ".", "-"})

Rating: TypeAlias = tuple[str, str, str | None]


@dataclass(slots=True)
class RatingsFile:
    """What a ratings file holds.

    items: by item, in order of appearance, rows of (unit, observer, value), the value
        None where the cell is empty; one item named None if there is no item column.
    faults: in order of lines; if there is any, nothing should be computed.
    more_faults: how many were found beyond those kept.
    notices: sentences on what was read otherwise than a reader might expect.
    """

    items: dict[str | None, list[Rating]] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    more_faults: int = 0
    notices: list[str] = field(default_factory=list)

    def fault(self, line: int, sentence: str, remedy: str, entry: str = "") -> None:
        """Keep a fault, or count it once very many are kept."""
        if len(self.faults) < MOST_FAULTS:
            self.faults.append(Fault(line, sentence, remedy, entry))
        else:
            self.more_faults += 1


def read(path: Path, *, numbers: bool = False, categories: Sequence[str] = ()) -> RatingsFile:
    """Read a ratings file (UTF-8; commas, semicolons or tabs).

    numbers: whether values must be numbers (the interval scale). categories: those
    declared, as `tidy_value` writes them; empty if none were. Raises BadInput if the
    file as a whole cannot be read as a table of ratings, Surroundings if the machine
    refuses it.
    """
    text = read_text(path, MOST_BYTES, "Split it, for instance by item, and run each part.")
    lines = io.StringIO(text, newline="")
    if not text.strip():
        raise BadInput(
            "The file is empty.",
            where=str(path),
            remedy="The first line names the columns unit, observer and value.",
        )
    columns = find_columns(text, str(path))
    reader = _Reader(columns, numbers=numbers, categories=categories)
    reader.found.notices.extend(columns.notices)
    for line, cells in _rows(lines, columns.delimiter, str(path)):
        reader.row(line, cells)
        if len(reader.seen) > MOST_RATINGS:
            raise BadInput(
                f"There are more than {MOST_RATINGS:,} ratings.",
                where=str(path),
                remedy="Split the file, for instance by item, and run each part.",
            )
    return reader.finished(str(path))


def tidy_value(cell: str) -> str:
    """The one way to write a value: no outer blanks, NFC, numbers without idle zeros.

    1, 1.0 and +1 are one category; codes with a leading zero (01) stay as they are.
    """
    text = unicodedata.normalize("NFC", cell.strip())
    if not NUMBER.fullmatch(text) or LEADING_ZERO.match(text):
        return text
    return _plain_number(text)


def _plain_number(text: str) -> str:
    number = Decimal(text)
    if not number:
        return "0"
    plain = format(number, "f")
    return plain.rstrip("0").rstrip(".") if "." in plain else plain


def shown(text: str, most: int = 40) -> str:
    """A cell's text for a sentence: one line, nothing a terminal would obey, cut short."""
    clean = "".join(c if c.isprintable() else " " for c in text[: most + 1])
    return clean if len(text) <= most else clean[: most - 3] + "..."


def _rows(lines: io.StringIO, delimiter: str, where: str) -> Iterator[tuple[int, list[str]]]:
    """Rows after the header with the line each begins on; lines without content are skipped."""
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
        if any(cell.strip() for cell in cells):
            if not header:
                yield begins, cells
            header = False
        begins = reader.line_num + 1


class _Reader:
    """Takes rows one by one; keeps ratings and faults."""

    def __init__(self, columns: Columns, *, numbers: bool, categories: Sequence[str]) -> None:
        self.columns = columns
        self.numbers = numbers
        self.categories = tuple(categories)
        self.known = frozenset(categories)
        self.found = RatingsFile()
        self.seen: dict[int, int] = {}
        self.ids: dict[str, int] = {}
        self.observers: set[str] = set()
        self.values: dict[str, None] = {}

    def row(self, line: int, cells: list[str]) -> None:
        width = self.columns.width
        if len(cells) < width or any(cell.strip() for cell in cells[width:]):
            self.found.fault(
                line,
                f"This row has {len(cells)} cells; the first line has {width}.",
                "Give each row as many cells as the first; quote a text that holds the separator, "
                "and write decimals with a point.",
                shown(self.columns.delimiter.join(cells)),
            )
            return
        named = {
            name: self._named(line, name, cells[at]) for name, at in self.columns.names.items()
        }
        value = self._value(line, cells[self.columns.value])
        if None not in named.values():
            self._keep(line, named, value)

    def _named(self, line: int, column: str, cell: str) -> str | None:
        """The tidy text of a cell that must not be empty; None after a fault."""
        text = unicodedata.normalize("NFC", cell.strip())
        if not text:
            self.found.fault(line, f"The {column} is empty.", f"Write the {column} of this rating.")
        elif len(text) > LONGEST:
            self._too_long(line, column, text)
        else:
            return text
        return None

    def _too_long(self, line: int, column: str, text: str) -> None:
        self.found.fault(
            line,
            f"The {column} is {len(text):,} characters long; at most {LONGEST} are read.",
            "Shorten it, or look for a quotation mark that is not closed.",
            shown(text),
        )

    def _value(self, line: int, cell: str) -> str | None:
        text = tidy_value(cell)
        if not text:
            return None
        if len(text) > LONGEST:
            self._too_long(line, "value", text)
            return None
        wrong = self._wrong(text)
        if wrong:
            self.found.fault(line, *wrong, shown(text))
            return None
        self.values[text] = None
        return _plain_number(text) if self.numbers else text

    def _wrong(self, text: str) -> tuple[str, str] | None:
        """What is wrong with a value, and the remedy; None if nothing is."""
        if text in self.known:
            return None
        quoted = f"“{shown(text)}”"
        if NOT_A_RESULT.match(text):
            return (
                f"{quoted} is a spreadsheet formula or its error, not a rating.",
                "Save the sheet again as values.",
            )
        if self.numbers and not NUMBER.fullmatch(text):
            comma = DECIMAL_COMMA.fullmatch(text)
            point = f"Write {text.replace(',', '.')}" if comma else "Write numbers like 57.5"
            return f"{quoted} is not a number.", f"{point}; leave the cell empty if it is missing."
        if not self.categories:
            return None
        return f"{quoted} is not a declared category.", self._remedy(text)

    def _remedy(self, text: str) -> str:
        folded = {category.casefold(): category for category in self.categories}
        close = get_close_matches(text.casefold()[:LONGEST], folded, n=1)
        if close:
            return f"Did you mean “{shown(folded[close[0]])}”?"
        listed = ", ".join(shown(category) for category in self.categories[:10])
        rest = " and more" if len(self.categories) > 10 else ""
        return f"Use {listed}{rest}; leave the cell empty if it is missing."

    def _keep(self, line: int, named: dict[str, str | None], value: str | None) -> None:
        unit, observer, item = (named.get(name) for name in ("unit", "observer", "item"))
        if unit is None or observer is None:
            return
        key = 0
        for name in (item or "", unit, observer):
            key = key << 24 | self.ids.setdefault(name, len(self.ids))
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
            self._doubt_values()
        return self.found

    def _doubt_values(self) -> None:
        """Say what may be an oversight among categories that nobody declared."""
        spelt: dict[str, str] = {}
        for text in self.values:
            other = spelt.setdefault(text.casefold(), text)
            if other != text:
                self.found.notices.append(
                    f"“{shown(other)}” and “{shown(text)}” are counted as two categories."
                )
            if text.casefold() in MEANT_MISSING:
                self.found.notices.append(
                    f"“{shown(text)}” is counted as a category; leave cells empty for missing."
                )
