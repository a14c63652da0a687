"""Attempts over time as a table: every attempt that counts, with both charts' values."""

from __future__ import annotations

from observe.work.file_progress import Progress

HEADS = ("learner", "form", "attempt", "date", "passed", "cusum", "lc_cusum", "result")


def progress_table(found: Progress) -> list[tuple[str, ...]]:
    """One row for each step of a chart, heads first; result: of the learner, in words."""
    rows: list[tuple[str, ...]] = [HEADS]
    for one in found.learners:
        values = zip(one.steps, one.chart.values, one.shown.values, strict=True)
        rows += [
            (
                one.series.learner,
                one.series.form,
                str(number),
                step.date,
                "1" if step.passed else "0",
                repr(chart),
                repr(shown),
                one.result.sentence,
            )
            for number, (step, chart, shown) in enumerate(values, start=1)
        ]
    return rows
