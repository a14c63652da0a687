"""Severity as a table: every figure of every observer."""

from __future__ import annotations

from collections.abc import Mapping

from observe.work.file_severity import SeverityStudy
from observe.work.severity_logbook import Habits

HEADS = (
    "observer",
    "effect",
    "se",
    "fixed",
    "fixed_se",
    "low",
    "high",
    "shrinkage",
    "scores",
    "learners",
    "shared",
    "drift",
    "drift_se",
    "contrast",
    "contrast_se",
    "records",
    "straight",
    "late",
)


def severity_table(study: SeverityStudy, habits: Mapping[str, Habits]) -> list[tuple[str, ...]]:
    """One row for each observer, heads first; an empty cell where there is no figure."""
    rows: list[tuple[str, ...]] = [HEADS]
    for one in study.observers:
        effect, habit = one.effect, habits.get(one.effect.observer)
        figures = (
            effect.effect,
            effect.se,
            effect.fixed,
            effect.fixed_se,
            effect.low,
            effect.high,
            effect.shrinkage,
            effect.scores,
            effect.learners,
            effect.shared,
            one.drift.value,
            one.drift.se,
            one.contrast.value,
            one.contrast.se,
            *((habit.records, habit.straight, habit.late) if habit else (None, None, None)),
        )
        rows.append(
            (effect.observer, *("" if figure is None else repr(figure) for figure in figures))
        )
    return rows
