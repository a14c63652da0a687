"""Tables of counts as published, turned into ratings unit by unit; random tables."""

from collections.abc import Sequence

from hypothesis import strategies as st

from observe.agreement import Ratings
from observe.agreement.ratings import Value

Table = Sequence[Sequence[int]]


def ratings_of(
    table: Table, *, scale: str = "nominal", categories: Sequence[Value] | None = None
) -> Ratings:
    """Two observers' ratings whose cross table this is, the first observer in rows."""
    names = list(range(len(table))) if categories is None else list(categories)
    rows = [
        [names[i], names[j]]
        for i, row in enumerate(table)
        for j, count in enumerate(row)
        for _ in range(count)
    ]
    return Ratings.from_table(rows, scale=scale, categories=names)


def ratings_of_counts(counts: Table) -> Ratings:
    """Ratings whose units have these counts per category; order within a unit is of no meaning."""
    rows = [[place for place, count in enumerate(row) for _ in range(count)] for row in counts]
    return Ratings.from_table(rows, categories=list(range(len(counts[0]))))


# Gwet KL (2014), Handbook of Inter-Rater Reliability, 4th ed.: 12 units, 4 observers, with gaps.
GWET_FOUR: list[list[Value | None]] = [
    [1, 1, None, 1],
    [2, 2, 3, 2],
    [3, 3, 3, 3],
    [3, 3, 3, 3],
    [2, 2, 2, 2],
    [1, 2, 3, 4],
    [4, 4, 4, 4],
    [1, 1, 2, 1],
    [2, 2, 2, 2],
    [None, 5, 5, 5],
    [None, None, 1, 1],
    [None, 3, None, None],
]

# Gwet KL (2021), Handbook of Inter-Rater Reliability, Vol. 1, 5th ed.: two units rated once.
GWET_TWO: list[list[Value | None]] = [
    ["A", "A"],
    ["A", "A"],
    ["A", "A"],
    ["B", "B"],
    ["B", "B"],
    ["C", "C"],
    ["C", "C"],
    ["C", "A"],
    ["C", None],
    ["B", "B"],
    [None, "C"],
    ["A", "B"],
]


def gwet_four(scale: str = "nominal") -> Ratings:
    return Ratings.from_table(GWET_FOUR, categories=[1, 2, 3, 4, 5], scale=scale)


def gwet_two() -> Ratings:
    return Ratings.from_table(GWET_TWO, categories=["A", "B", "C"])


@st.composite
def any_table(draw: st.DrawFn, smallest: int = 2, largest: int = 4) -> list[list[int]]:
    """A square cross table with at least one pair."""
    q = draw(st.integers(smallest, largest))
    cells = draw(
        st.lists(st.integers(0, 9), min_size=q * q, max_size=q * q).filter(lambda row: sum(row) > 0)
    )
    return [cells[start : start + q] for start in range(0, q * q, q)]


@st.composite
def gappy(draw: st.DrawFn) -> list[list[int | None]]:
    """Units by observers over three categories, with gaps; at least one unit rated twice."""
    width = draw(st.integers(2, 4))
    row = st.lists(st.sampled_from([0, 1, 2, None]), min_size=width, max_size=width)
    return draw(
        st.lists(row, min_size=1, max_size=20).filter(
            lambda rows: any(sum(v is not None for v in row) >= 2 for row in rows)
        )
    )
