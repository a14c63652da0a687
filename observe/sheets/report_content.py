"""What a director's report prints: sections of sentences, tables and intervals; no learner."""

from __future__ import annotations

from dataclasses import dataclass

from observe.sheets.content import Signer

FIELD = "reported"
"""The name of a report's place for a signature."""


@dataclass(frozen=True, slots=True)
class Bar:
    """An interval drawn beside a row, in thousandths of the scale. value: None if there is none."""

    low: int
    value: int | None
    high: int


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under heads. words: how many columns from the left hold words; the rest are figures.

    bars: one for each row, drawn in a column of its own, or none at all; ticks: of their axis,
    in thousandths, from its least to its greatest.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    words: int = 1
    bars: tuple[Bar, ...] = ()
    ticks: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the report under its heading: sentences, then tables."""

    title: str
    texts: tuple[str, ...]
    tables: tuple[Table, ...] = ()


@dataclass(frozen=True, slots=True)
class ReportContent:
    """All that the pages say. facts: lines under the title. engine: version of the program."""

    title: str
    facts: tuple[str, ...]
    sections: tuple[Section, ...]
    caution: str
    signer: Signer
    engine: str
