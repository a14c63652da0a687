"""Attempts over time as tables: every attempt with both charts' values, and the cohort's curve."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from observe.work.file_progress import LearnerProgress, Progress
from observe.work.progress_logbook import SealedAttempt

Told = Mapping[tuple[str, str], Sequence[SealedAttempt]]
"""By learner and form what is told of each attempt, in the order of the series."""
HEADS = (
    "learner",
    "form",
    "date",
    "score",
    "decision",
    "step",
    "passed",
    "cusum",
    "lc_cusum",
    "no_step_because",
    "shown_again",
    "result",
)
COHORT_HEADS = ("attempt", "trying", "reached", "share", "se", "low", "high")


def progress_table(found: Progress, told: Told) -> list[tuple[str, ...]]:
    """One row for each attempt, by date, heads first.

    step: its number in the charts, empty for one that is none. shown_again: the day agreed.
    result: of the learner, in words.
    """
    rows: list[tuple[str, ...]] = [HEADS]
    for one in found.learners:
        rows += _rows(one, told.get((one.series.learner, one.series.form), ()))
    return rows


def _rows(one: LearnerProgress, told: Sequence[SealedAttempt]) -> Iterator[tuple[str, ...]]:
    from observe.standards.retest import in_order

    steps = {place: number for number, place in enumerate(one.result.counted)}
    for place in in_order(one.series.attempts):
        attempt = one.series.attempts[place]
        more = told[place] if told else None
        step = steps.get(place)
        yield (
            one.series.learner,
            one.series.form,
            attempt.date,
            _figure(more.score if more else None),
            more.decision if more else "",
            "" if step is None else str(step + 1),
            "" if attempt.passed is None else str(int(attempt.passed)),
            "" if step is None else repr(one.chart.values[step]),
            "" if step is None else repr(one.shown.values[step]),
            one.result.reasons.get(place, ""),
            more.again.day if more and more.again else "",
            one.result.sentence,
        )


def cohort_table(found: Progress) -> list[tuple[str, ...]]:
    """One row for each attempt of the cohort, heads first; empty cells where no interval is."""
    rows: list[tuple[str, ...]] = [COHORT_HEADS]
    for one in found.mastery:
        counts = (str(one.attempt), str(one.trying), str(one.reached))
        figures = (_figure(figure) for figure in (one.share, one.se, one.low, one.high))
        rows.append((*counts, *figures))
    return rows


def _figure(value: float | None) -> str:
    return "" if value is None else repr(value)
