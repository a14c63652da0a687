"""Attempts over time as tables: every attempt, its step in the charts or why it is none."""

from __future__ import annotations

from observe.standards.retest import Attempt
from observe.work.file_progress import Asked, Series, progress
from observe.work.progress_logbook import SealedAttempt
from observe.work.progress_table import COHORT_HEADS, HEADS, cohort_table, progress_table
from observe.work.retest import Retest

SERIES = [
    Series(
        "Ada",
        "lp",
        (
            Attempt("2026-03-16", passed=True),
            Attempt("2026-03-09", passed=None),
            Attempt("2026-03-02", passed=False),
        ),
    ),
    Series("Bo", "lp", (Attempt("2026-03-02", passed=True, void=True),)),
]
ADA = [
    SealedAttempt("Ada", "lp", SERIES[0].attempts[0], 92.5, "Pass", None),
    SealedAttempt("Ada", "lp", SERIES[0].attempts[1], 70.0, "Undecided", None),
    SealedAttempt(
        "Ada", "lp", SERIES[0].attempts[2], 40.0, "Remediate", Retest("2026-03-09", "", "o1")
    ),
]


def test_every_attempt_is_a_row_by_date_with_its_step_or_why_not() -> None:
    found = progress(SERIES, Asked())
    heads, *rows = progress_table(found, {("Ada", "lp"): ADA})
    assert heads == HEADS
    told = [dict(zip(heads, row, strict=True)) for row in rows]
    assert [(row["date"], row["score"], row["step"]) for row in told] == [
        ("2026-03-02", "40.0", "1"),
        ("2026-03-09", "70.0", ""),
        ("2026-03-16", "92.5", "2"),
        ("2026-03-02", "", ""),
    ]
    assert [row["no_step_because"] for row in told] == ["", "no decision", "", "void"]
    assert [row["shown_again"] for row in told] == ["2026-03-09", "", "", ""]
    ada = found.learners[0]
    assert [float(row["cusum"]) for row in told if row["cusum"]] == list(ada.chart.values)
    assert [float(row["lc_cusum"]) for row in told if row["cusum"]] == list(ada.shown.values)
    assert {row["result"] for row in told[:3]} == {ada.result.sentence}


def test_the_cohort_has_a_row_for_each_attempt() -> None:
    found = progress([*SERIES, Series("Cy", "lp", (Attempt("2026-03-02", passed=True),))], Asked())
    heads, first, second = cohort_table(found)
    assert heads == COHORT_HEADS
    assert first[:4] == ("1", "2", "1", "0.5")
    assert float(first[5]) < 0.5 < float(first[6])
    assert (second[3], second[5], second[6]) == ("1.0", "", "")
