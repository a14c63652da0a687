"""The attempts of a logbook over time, each with what is told of it beside the charts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from observe.domain.decision import Outcome
from observe.domain.words import OUTCOMES
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import AttemptResult, attempt_result
from observe.work.logbooks import Logbook
from observe.work.retest import Retest, agreed

if TYPE_CHECKING:
    from observe.standards.retest import Attempt

Tick = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class SealedAttempt:
    """An attempt that all who watched have sealed.

    learner: the name, with the id where several have it. score: percent of the points seen, of
    what the outcome rests on; None where nothing was seen, and for a void one. decision: in
    words. again: the day that was agreed to show it again.
    """

    learner: str
    form: str
    attempt: Attempt
    score: float | None
    decision: str
    again: Retest | None


def sealed_attempts(logbook: Logbook, tick: Tick | None = None) -> list[SealedAttempt]:
    """Every attempt of a logbook that all who watched have sealed, as its workshops were planned.

    tick: after each seat; may raise Stopped.
    """
    names = _told_apart(logbook)
    seats = [(one, seat) for one in logbook.workshops().values() for seat in one.seats]
    found = []
    for number, (workshop, seat) in enumerate(seats, start=1):
        result = attempt_result(logbook, workshop, seat)
        if result.reveals:
            found.append(_sealed(logbook, workshop, seat, result, names))
        if tick is not None:
            tick(number, len(seats))
    return found


def by_series(attempts: Iterable[SealedAttempt]) -> dict[tuple[str, str], list[SealedAttempt]]:
    """Attempts by learner and form, in the order in which they came."""
    found: dict[tuple[str, str], list[SealedAttempt]] = {}
    for one in attempts:
        found.setdefault((one.learner, one.form), []).append(one)
    return found


def again_sentence(attempts: Sequence[SealedAttempt]) -> str:
    """Whether a learner shows it again, and when as agreed; empty after a pass.

    attempts: of one learner at one form, by date. It follows from the newest with a decision.
    """
    decided = [one for one in attempts if one.attempt.passed is not None and not one.attempt.void]
    if not decided or decided[-1].attempt.passed:
        return ""
    again = decided[-1].again
    if again is None:
        return "No day to show it again is agreed."
    ended = f" Closed, {again.closed.ending}." if again.closed else ""
    where = f", {again.where}" if again.where else ""
    return f"To show it again: {again.day}{where}, as agreed.{ended}"


def _told_apart(logbook: Logbook) -> dict[str, str]:
    """Names of learners by id; with the id where two have the same."""
    names = logbook.names()
    ids = {seat.learner for one in logbook.workshops().values() for seat in one.seats}
    count = Counter(names.get(one, one) for one in ids)
    return {
        one: name if count[name] == 1 else f"{name} ({one})"
        for one, name in ((one, names.get(one, one)) for one in ids)
    }


def _sealed(
    logbook: Logbook, workshop: Workshop, seat: Seat, result: AttemptResult, names: dict[str, str]
) -> SealedAttempt:
    from observe.standards.retest import Attempt

    used = workshop.in_use(seat)
    form = logbook.form(used.form)
    outcome = result.outcome or Outcome.UNDECIDED
    passed = {Outcome.PASS: True, Outcome.REMEDIATE: False}.get(outcome)
    return SealedAttempt(
        names[seat.learner],
        form.short or form.id,
        Attempt(workshop.date, passed, workshop.mode.value, used.scoring, void=result.is_void),
        _score(result),
        _decision(result),
        agreed(logbook, seat),
    )


def _score(result: AttemptResult) -> float | None:
    deciding = result.deciding
    value = deciding.decision.score.whole.value if deciding and not result.is_void else None
    return None if value is None else float(100 * value)


def _decision(result: AttemptResult) -> str:
    if result.is_void:
        return "Void"
    return "No decision" if result.outcome is None else OUTCOMES[result.outcome]
