"""A director's report to read on a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from observe.work.report_figures import Figure, FormQuality, Partition, Report

WIDTH = 88


def lines(made: Report) -> list[str]:
    """The report, its items in the order of the reporting guideline."""
    said: list[str] = []
    for item in made.items:
        said += ["", f"{item.number}. {item.title}"]
        said += _wrapped(item.text or f"Not known to the logbook. {item.wanted}")
        said += _below(made, item.number)
    said += ["", "Bear in mind"]
    for caution in made.cautions:
        said += _wrapped(caution)
    return said[1:]


def _below(made: Report, number: int) -> Iterator[str]:
    """The tables that stand under an item."""
    if number == 2:
        yield f"  {made.form.reviewed[:1].upper()}{made.form.reviewed[1:]}."
        for cut in made.cuts:
            yield f"  Cut {cut.cut} %{_of(cut.attempts)}:"
            for one in cut.said:
                yield from _wrapped(one, "    ")
    if number == 3:
        yield f"  Learners: {'ten or more' if made.learners is None else made.learners}"
    if number == 11:
        for counts in (made.attempts, made.second, *made.lines):
            yield from _counts(counts)
    if number == 13:
        yield from _agreement(made)
        yield from _quality(made.quality)


def _agreement(made: Report) -> Iterator[str]:
    yield from _counts(made.decisions)
    for one in (*made.decided, *made.limits, made.scores, made.grades):
        yield from _wrapped(f"{one.about}: {figure_text(one)}")
    for counts in made.criticals:
        yield from _counts(counts)
    yield "  Steps, full credit or not: seen by both, percent agreement, recommended coefficient"
    for step in made.steps:
        seen = f": {step.found.used} seen by both" if step.found.used else ""
        yield from _wrapped(f"{step.number} {step.label}{seen}", "    ")
        for one in (step.percent, step.found):
            yield from _wrapped(figure_text(one), "      ")


def _quality(found: FormQuality) -> Iterator[str]:
    yield f"  How good the form is, by {found.scored} first attempts, alpha by {found.learners}"
    if found.undefined:
        yield from _wrapped(found.undefined, "    ")
    if found.alpha is not None:
        yield from _wrapped(figure_text(found.alpha), "    ")
    if found.r_squared is not None:
        yield f"    R² of the score on the grade: {found.r_squared:.2f}"
    if found.between is not None:
        yield f"    Between observers: {100 * found.between:.0f} % of the variance"
    for one in found.said:
        yield from _wrapped(one, "    ")


def figure_text(one: Figure) -> str:
    """A figure with its interval and number, or why there is none."""
    if one.value is None:
        return one.undefined or f"{one.label}: not estimable."
    span = (
        "no interval"
        if one.low is None or one.high is None
        else f"{100 * one.level:g} % interval {decimal(one.low)} to {decimal(one.high)}"
    )
    return f"{one.label} {decimal(one.value)} ({span}; n = {one.used})"


def decimal(value: float) -> str:
    """A number to two decimals; never a zero with a sign."""
    text = f"{value:.2f}"
    return "0.00" if float(text) == 0 else text


def _of(attempts: int | None) -> str:
    return "" if attempts is None else f", in {attempts} decided attempts"


def _counts(counts: Partition) -> Iterator[str]:
    filled = [
        f"{kind} {'hidden' if count is None else count}"
        for kind, count in counts.cells
        if count != 0
    ]
    said = "; ".join(filled) or "none"
    total = "" if counts.total is None else f", {counts.total} in all"
    yield from _wrapped(f"{counts.title}{total}: {said}.")


def _wrapped(text: str, indent: str = "  ") -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=f"{indent}  ")
