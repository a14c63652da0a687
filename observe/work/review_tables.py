"""A review as tables: its ratings as the command line reads them, and every figure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from observe.work.reviewing import Review, decision_rows, grade_rows, step_rows

if TYPE_CHECKING:
    from observe.agreement.estimate import Estimate


def ratings_table(made: Review) -> list[tuple[str, str, str, str, str]]:
    """Unit, observer, value, item and learner: what `observe agreement` reads, heads first."""
    pairs, form = made.gathered.planned, made.gathered.condition.form
    learners = {pair.unit: pair.learner for pair in pairs}
    rows = [("unit", "observer", "value", "item", "learner")]
    for step in form.common_steps():
        rows += [
            (unit, observer, str(value), step.id, learners[unit])
            for unit, observer, value in step_rows(step, form, pairs)
        ]
    for item, found in (("decision", decision_rows(pairs)), ("overall grade", grade_rows(pairs))):
        rows += [(u, observer, str(value), item, learners[u]) for u, observer, value in found]
    return rows


def estimates_table(made: Review) -> list[tuple[str, ...]]:
    """Every figure of the review as a table, heads first."""
    heads = ("item", "coefficient", "form", "value", "low", "high", "level", "used", "undefined")
    rows: list[tuple[str, ...]] = [heads]
    for step in sorted(made.steps, key=lambda one: one.number):
        rows += [_as_row(step.step.id, one) for one in (step.percent, step.found)]
    rows += [_as_row("decision", one) for one in (made.decided, made.chance)]
    rows.append(_as_row("overall grade", made.grades))
    totals = made.totals
    rows += [
        _as_row("score on common steps", one)
        for one in (totals.reliability, totals.bias, totals.low, totals.high)
    ]
    rows += [
        _as_row(" / ".join(one.observers), one.found)
        for one in made.couples
        if one.found is not None
    ]
    return rows


def _as_row(item: str, found: Estimate) -> tuple[str, ...]:
    figures = (found.value, found.low, found.high)
    said = ("" if one is None else repr(float(one)) for one in figures)
    return (
        item,
        found.coefficient,
        found.form,
        *said,
        str(found.level),
        str(found.used),
        found.undefined or "",
    )
