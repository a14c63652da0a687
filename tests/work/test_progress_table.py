"""Attempts over time as a table: every step of a chart with its values."""

from __future__ import annotations

from observe.standards.retest import Attempt
from observe.work.file_progress import Asked, Series, progress
from observe.work.progress_table import HEADS, progress_table

SERIES = [
    Series(
        "Ada",
        "lp",
        (
            Attempt("2026-03-02", passed=False),
            Attempt("2026-03-09", passed=None),
            Attempt("2026-03-16", passed=True),
        ),
    ),
    Series("Bo", "lp", (Attempt("2026-03-02", passed=True, void=True),)),
]


def test_only_attempts_that_count_are_rows() -> None:
    found = progress(SERIES, Asked())
    heads, *rows = progress_table(found)
    assert heads == HEADS
    ada = found.learners[0]
    assert [(row[2], row[3], row[4]) for row in rows] == [
        ("1", "2026-03-02", "0"),
        ("2", "2026-03-16", "1"),
    ]
    assert [float(row[5]) for row in rows] == list(ada.chart.values)
    assert {row[7] for row in rows} == {ada.result.sentence}
