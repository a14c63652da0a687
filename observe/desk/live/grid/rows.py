"""The rows of the Grid: every step that any learner may do, in the order of its form.

Learners of other variants share the common steps (rule F5); a step that a learner's
variant or today's profile lacks is still a row if somebody else has it. Several forms
stand one below the other. Pure: no Qt.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from observe.domain.form import Form, Step
from observe.domain.observation import Observation
from observe.domain.printing import points


@dataclass(frozen=True, slots=True)
class GridRow:
    """One step. form: its whole digest; number: as its learners know it, "22/23" if they differ.

    title: of the form, where the room has several; empty else. new_form: a form begins here.
    """

    form: str
    step: str
    number: str
    label: str
    phase: str
    weight: str
    title: str = ""
    new_form: bool = False

    @property
    def note(self) -> str:
        """The second line under the label: "Position · weight 3"."""
        words = (self.title, self.phase, self.weight)
        return " · ".join(one for one in words if one)


@dataclass(frozen=True, slots=True)
class Run:
    """Thin rows that share one label: first and last are indices, words name their phases."""

    first: int
    last: int
    numbers: str
    words: str


def grid_rows(observations: Sequence[Observation]) -> tuple[GridRow, ...]:
    """Every row of a room, from its learners in seat order."""
    forms: dict[str, list[Observation]] = {}
    for one in observations:
        forms.setdefault(one.ground.form.whole_digest, []).append(one)
    found: list[GridRow] = []
    for digest, theirs in forms.items():
        form = theirs[0].ground.form
        title = (form.short or form.title) if len(forms) > 1 else ""
        found.extend(_rows_of(form, digest, theirs, title))
    return tuple(found)


def _rows_of(
    form: Form, digest: str, observations: Sequence[Observation], title: str
) -> Iterable[GridRow]:
    phases = {one.id: one.label for one in form.phases}
    numbers: dict[str, set[int]] = {}
    for one in observations:
        known = one.numbers
        for step in one.steps:
            numbers.setdefault(step.id, set()).add(known[step.id])
    first = True
    for step in form.steps:
        if step.id in numbers:
            yield GridRow(
                form=digest,
                step=step.id,
                number="/".join(str(number) for number in sorted(numbers[step.id])),
                label=step.label,
                phase=phases.get(step.phase, step.phase),
                weight=_weight(step),
                title=title,
                new_form=first,
            )
            first = False


def _weight(step: Step) -> str:
    return f"weight {points(step.weight)}" if step.scored else "not scored"


def runs(
    rows: Sequence[GridRow], heights: Sequence[int], first: int, end: int, least: float
) -> tuple[Run, ...]:
    """Labels beside thin rows from `first` to before `end`: one for each phase.

    Phases too low for a line of text (`least` px) share the label of their neighbours,
    but never over the border of a form.
    """
    found: list[list[int]] = []
    for _, places in groupby(range(first, end), key=lambda place: _home(rows[place])):
        found.append(list(places))
    merged: list[list[int]] = []
    for run in found:
        low = merged and _height(heights, merged[-1]) < least
        if low and rows[merged[-1][0]].form == rows[run[0]].form:
            merged[-1] = merged[-1] + run
        else:
            merged.append(run)
    if len(merged) > 1 and _height(heights, merged[-1]) < least:
        last = merged.pop()
        if rows[merged[-1][0]].form == rows[last[0]].form:
            merged[-1] = merged[-1] + last
        else:
            merged.append(last)
    return tuple(_run(rows, places) for places in merged)


def _home(row: GridRow) -> tuple[str, str]:
    return (row.form, row.phase)


def _height(heights: Sequence[int], places: Sequence[int]) -> int:
    return sum(heights[place] for place in places)


def _run(rows: Sequence[GridRow], places: Sequence[int]) -> Run:
    first, last = rows[places[0]], rows[places[-1]]
    begin, end = first.number.partition("/")[0], last.number.rpartition("/")[2]
    phases = list(dict.fromkeys(rows[place].phase for place in places))
    words = ", ".join(phases)
    if first.title and first.new_form:
        words = f"{first.title}: {words}"
    return Run(places[0], places[-1], begin if begin == end else f"{begin}–{end}", words)
