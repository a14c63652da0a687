"""Where the rows and columns of the Grid stand: thin rows, and the open ones of the lens.

Pure geometry in whole screen px: no Qt, no painting. When the height is short the lens
gives first, down to `LENS_LEAST` rows; then the rows scroll, with the lens in sight.
When there is more than enough, more rows open.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import ceil

LENS_ROWS = 5
LENS_LEAST = 3
OPEN_MOST = 1.5
"""An open row grows to this many times its height where no thin row asks for the rest."""
LABEL_SHARE = 0.27
"""Share of the width that the labels of the steps take."""


@dataclass(frozen=True, slots=True)
class RowMeasure:
    """Heights in px. open: a row of the lens; thin: any other, as wanted and at the least.

    The least need not be whole px: thin rows then differ by one.
    """

    open: int
    thin: float
    thin_least: float


@dataclass(frozen=True, slots=True)
class ColumnMeasure:
    """Widths in px. label: least and most; column: least and most of one learner."""

    label: tuple[int, int]
    column: tuple[int, int]


def open_rows(rows: int, height: int, measure: RowMeasure) -> int:
    """How many rows the lens opens.

    As many as leave every other row its wanted height, if that is five or more; else
    from five down to three, the first that leaves them their least.
    """
    if rows <= LENS_LEAST:
        return rows
    spare = height - rows * measure.thin
    wanted = int(spare // (measure.open - measure.thin))
    if wanted >= LENS_ROWS:
        return min(rows, wanted)
    for count in range(min(LENS_ROWS, rows), LENS_LEAST, -1):
        if count * measure.open + (rows - count) * measure.thin_least <= height:
            return count
    return LENS_LEAST


def lens_top(rows: int, count: int, row: int) -> int:
    """The first open row when the lens is centred on one."""
    return max(0, min(row - count // 2, rows - count))


def lens_reaching(rows: int, count: int, top: int, row: int) -> int:
    """The first open row when the lens moves no more than it must to open a row."""
    least = max(top, row - count + 1)
    return max(0, min(least, row, rows - count))


def row_heights(rows: int, height: int, top: int, count: int, measure: RowMeasure) -> list[int]:
    """The height of every row; together `height`, or more if not even thin rows fit."""
    thin = rows - count
    if not thin:
        most = int(measure.open * OPEN_MOST)
        return _shared(min(height, rows * most), rows) if rows else []
    rest = max(height - count * measure.open, ceil(thin * measure.thin_least))
    shared = _shared(rest, thin)
    return [*shared[:top], *[measure.open] * count, *shared[top:]]


def blended(start: Sequence[int], end: Sequence[int], share: float) -> list[int]:
    """Heights between two sets of them; their edges move evenly. share: 0 to 1."""
    before, after = accumulate(start), accumulate(end)
    edges = [0, *(round(a + (b - a) * share) for a, b in zip(before, after, strict=True))]
    return [max(0, low - high) for high, low in pairwise(edges)]


def scrolled(heights: Sequence[int], top: int, count: int, view: int, offset: int) -> int:
    """Where the rows scroll to so that the lens is in sight, moving as little as can be."""
    start = sum(heights[:top])
    end = start + sum(heights[top : top + count])
    offset = max(offset, end - view)
    offset = min(offset, start)
    return max(0, min(offset, sum(heights) - view))


def column_widths(width: int, columns: int, measure: ColumnMeasure) -> tuple[int, list[int]]:
    """Width of the labels, and of every learner; equal to a pixel, together `width`.

    Labels give before the learners go under their least width.
    """
    if not columns:
        return width, []
    least, most = measure.label
    label = max(least, min(round(width * LABEL_SHARE), most))
    label = max(min(label, width - columns * measure.column[0]), least)
    rest = min(width - label, columns * measure.column[1])
    return width - rest, _shared(max(rest, columns), columns)


def key_widths(widths: Sequence[int], least: int, full: int, gap: int) -> tuple[int, ...]:
    """Widths of the critical keys under the columns; none where a column is under `least`.

    Two keys stand `gap` apart where columns are so wide, less where a key would go under
    `full`; in a column narrower than that the key takes all of it and only outlines part
    two keys. A slip there is another critical event, seen at once and taken back; it
    never is a mark.
    """
    if not widths or min(widths) < least:
        return ()
    spare = max(0, min(gap, min(widths) - full))
    return tuple(width - spare for width in widths)


def _shared(length: int, parts: int) -> list[int]:
    """A length in whole px, in parts that differ by one at most."""
    edges = [round(length * place / parts) for place in range(parts + 1)]
    return [after - before for before, after in pairwise(edges)]
