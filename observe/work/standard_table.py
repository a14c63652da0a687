"""Cuts side by side as a table: every figure of every cut, and what it would do."""

from __future__ import annotations

from observe.work.standard_review import StandardReview

HEADS = (
    "method",
    "cut",
    "se",
    "low",
    "high",
    "n",
    "of",
    "passed",
    "failed",
    "newly_failing",
    "newly_passing",
    "undefined",
)


def standard_table(made: StandardReview) -> list[tuple[str, ...]]:
    """One row for each cut, in percent, heads first; an empty cell where there is no figure."""
    effects = {one.name: one for one in made.impact.effects} if made.impact else {}
    rows: list[tuple[str, ...]] = [HEADS]
    for cut in made.cuts:
        effect = effects.get(cut.label)
        does = (
            (effect.passed, effect.failed, effect.newly_failing, effect.newly_passing)
            if effect
            else (None,) * 4
        )
        figures = (cut.value, cut.se, cut.low, cut.high, cut.n, cut.of, *does)
        texts = (
            "" if one is None else one if isinstance(one, str) else repr(one) for one in figures
        )
        rows.append((cut.label, *texts, cut.undefined))
    return rows
