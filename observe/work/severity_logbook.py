"""Severity from a logbook: what each observer's own sealed record scored (rules A4, T3)."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from observe.domain.form import Mode
from observe.domain.honesty import Kind, notes
from observe.domain.troubles import BadInput
from observe.domain.words import counted
from observe.work.debrief import attempt_result
from observe.work.file_severity import Asked, Score, SeverityStudy, severity_of
from observe.work.logbooks import Logbook


@dataclass(frozen=True, slots=True)
class Habits:
    """How an observer's sealed records were entered. records: how many; each else: in how many.

    straight: all dimensions rated alike; late: marks entered many at once after a long silence,
    as from memory.
    """

    records: int
    straight: int
    late: int


@dataclass(frozen=True)
class Gathered:
    """The scores of one way of scoring. left_out: attempts that were scored in another way."""

    scores: tuple[Score, ...]
    habits: Mapping[str, Habits]
    form: str
    left_out: int

    @property
    def notes(self) -> tuple[str, ...]:
        """What a reader has to know of them."""
        said = [f"Each observer's own sealed record of form {self.form}, in percent."]
        if self.left_out:
            said.append(
                f"{counted(self.left_out, 'attempt')} with another form, scoring or profile left "
                "out: scores made in different ways are not put together."
            )
        return tuple(said)


def gather(logbook: Logbook) -> Gathered:
    """The scores of the way of scoring with most attempts; void and practice ones left out.

    An attempt counts once all who watched it have sealed.
    """
    found: dict[object, list[Score]] = {}
    names: dict[object, str] = {}
    habits: dict[object, dict[str, list[Habits]]] = {}
    people = logbook.names()
    for way, form, score, habit in _records(logbook):
        found.setdefault(way, []).append(score)
        names[way] = form
        habits.setdefault(way, {}).setdefault(score.observer, []).append(habit)
    if not found:
        return Gathered((), {}, "", 0)
    most = max(found, key=lambda way: len(found[way]))
    rest = {one.learner for way, some in found.items() if way != most for one in some}
    by = {who: _added(some) for who, some in habits[most].items()}
    return Gathered(
        tuple(
            Score(one.learner, people.get(one.observer, one.observer), one.value, one.order)
            for one in found[most]
        ),
        {people.get(who, who): one for who, one in by.items()},
        names[most],
        len(rest),
    )


def study(
    gathered: Gathered, asked: Asked, tick: Callable[[int, int], None] | None = None
) -> SeverityStudy:
    """What the scores of a logbook come to.

    Raises BadInput where nothing is sealed, and as `severity_of`.
    """
    if not gathered.scores:
        raise BadInput(
            "No attempt is sealed by all who watched it, so there is no score to compare.",
            remedy="Take the other observers' packets in, or ask again after the workshop.",
        )
    return severity_of(gathered.scores, asked, ordered=True, notes=gathered.notes, tick=tick)


def _records(logbook: Logbook) -> Iterator[tuple[object, str, Score, Habits]]:
    for workshop in logbook.workshops().values():
        if workshop.mode is Mode.PRACTICE:
            continue
        for seat in workshop.seats:
            result = attempt_result(logbook, workshop, seat)
            if result.is_void:
                continue
            used = workshop.in_use(seat)
            way = (used.scoring, used.profile.departures)
            for shown in result.reveals:
                value = shown.decision.score.whole.value
                if value is None or len(shown.parts) > 1:  # A watch handed on is two persons'.
                    continue
                part = shown.parts[0]
                kinds = {one.kind for one in notes(part)}
                score = Score(
                    seat.attempt, part.observer, 100 * float(value), (0.0, part.opened_at)
                )
                habit = Habits(1, Kind.STRAIGHT_LINE in kinds, Kind.FROM_MEMORY in kinds)
                yield way, shown.evidence.form.short or shown.evidence.form.id, score, habit


def _added(some: list[Habits]) -> Habits:
    return Habits(
        sum(one.records for one in some),
        sum(one.straight for one in some),
        sum(one.late for one in some),
    )
