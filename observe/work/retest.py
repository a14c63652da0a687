"""The plan after remediation: steps to practise, the day to show it again, what became of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from observe.domain.decision import Outcome
from observe.domain.events import Draft, Event
from observe.domain.troubles import Refused
from observe.domain.words import listed
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import AttemptResult, attempt_result
from observe.work.logbooks import Logbook

KIND, CLOSED = "retest-agreed", "remediation-closed"
LONGEST = 120


class Ending(StrEnum):
    """What became of a plan."""

    MET = "met"
    NOT_MET = "not met"
    NOT_HELD = "not held"


@dataclass(frozen=True, slots=True)
class Closing:
    """How a plan ended. reason: in words; empty if none was kept, or it was erased."""

    ending: Ending
    reason: str
    by: str


@dataclass(frozen=True, slots=True)
class Retest:
    """What was agreed.

    day: ISO. where: time and place in words; empty if none were kept, or they were erased. steps:
    ids of steps to practise; empty for those that the decision names. closed: None while it is
    open.
    """

    day: str
    where: str
    by: str
    steps: tuple[str, ...] = ()
    closed: Closing | None = None


@dataclass(frozen=True, slots=True)
class OpenPlan:
    """A plan that nobody closed. shown: whether the learner was decided on again since."""

    workshop: Workshop
    seat: Seat
    agreed: Retest
    shown: Outcome | None

    def is_overdue(self, today: str) -> bool:
        """Whether its day is past and nothing was shown."""
        return self.shown is None and self.agreed.day < today


def agree(
    logbook: Logbook,
    workshop: Workshop,
    result: AttemptResult,
    day: str,
    where: str,
    *,
    by: str,
    steps: Sequence[str] = (),
) -> Retest:
    """Keep what was agreed with a learner; a later plan takes the place of an earlier.

    day: ISO. where: time and place, as they are to stand on the sheet. steps: ids of those to
    practise; none for those that the decision names. Raises Refused where nothing was decided for
    remediation, for what is no day, for one before the attempt, and for a step of another form.
    """
    if result.outcome is not Outcome.REMEDIATE:
        raise Refused(
            "A day is agreed after remediation alone.", remedy="This attempt was decided otherwise."
        )
    written, said = day.strip(), " ".join(where.split())
    _require_day(written, workshop)
    if len(said) > LONGEST:
        raise Refused(
            f"Time and place take more than {LONGEST} letters.", remedy="Say it in fewer."
        )
    strange = [one for one in steps if one not in numbers_of(logbook, workshop, result.seat)]
    if strange:
        raise Refused(
            f"“{strange[0]}” is no step of this form.", remedy="Name steps that the learner did."
        )
    texts = {"where": said} if said else {}
    kept = tuple(dict.fromkeys(steps))
    body = {"day": written, **({"steps": list(kept)} if kept else {})}
    logbook.append([Draft(KIND, body, workshop.id, result.seat.attempt, by=by, texts=texts)])
    return Retest(written, said, by, kept)


def _require_day(written: str, workshop: Workshop) -> None:
    try:
        same = date.fromisoformat(written).isoformat() == written
    except ValueError:
        same = False
    if not same:
        raise Refused(f"“{written}” is no day.", remedy="Write it as 2026-03-26.")
    if written < workshop.date:
        raise Refused(
            f"That day is before the attempt, which was on {workshop.date}.",
            remedy="Name a later one.",
        )


def steps_named(typed: str, logbook: Logbook, workshop: Workshop, seat: Seat) -> tuple[str, ...]:
    """Ids of steps that a person typed by number, such as "3, 15". Raises Refused for others."""
    known = {str(number): step for step, number in numbers_of(logbook, workshop, seat).items()}
    words = [word for word in typed.replace(",", " ").split() if word]
    strange = [word for word in words if word not in known]
    if strange:
        raise Refused(
            f"There is no step “{strange[0]}”.", remedy="Write numbers of steps, such as 3, 15."
        )
    return tuple(known[word] for word in words)


def numbers_of(logbook: Logbook, workshop: Workshop, seat: Seat) -> dict[str, int]:
    """The number of each step of what a learner did, by id."""
    form = logbook.form(workshop.form_of(seat))
    return dict(form.numbers_of(seat.variant))


def close(
    logbook: Logbook, workshop: Workshop, seat: Seat, ending: Ending, reason: str, *, by: str
) -> None:
    """Keep what became of a plan.

    Raises Refused where none was agreed, and where it was not held without a reason.
    """
    if agreed(logbook, seat) is None:
        raise Refused("No plan was agreed.", remedy="Agree on a day first.")
    said = " ".join(reason.split())
    if ending is Ending.NOT_HELD and not said:
        raise Refused("A plan that was not held has a reason.", remedy="Write it.")
    texts = {"reason": said} if said else {}
    body = {"outcome": ending.value}
    logbook.append([Draft(CLOSED, body, workshop.id, seat.attempt, by=by, texts=texts)])


def agreed(logbook: Logbook, seat: Seat) -> Retest | None:
    """What was agreed last, and whether it was closed since; None if nothing was."""
    events = [
        one
        for name in seat.attempts
        for one in logbook.log.read(attempt=name, kinds=(KIND, CLOSED))
    ]
    plans = [place for place, one in enumerate(events) if one.kind == KIND]
    if not plans:
        return None
    last, later = events[plans[-1]], events[plans[-1] + 1 :]
    steps = last.body.get("steps")
    return Retest(
        str(last.body["day"]),
        logbook.log.text(last.id, "where") or "",
        last.by,
        tuple(map(str, steps)) if isinstance(steps, list | tuple) else (),
        _closing(logbook, later[-1]) if later else None,
    )


def _closing(logbook: Logbook, event: Event) -> Closing:
    reason = logbook.log.text(event.id, "reason") or ""
    return Closing(Ending(str(event.body["outcome"])), reason, event.by)


def open_plans(logbook: Logbook) -> tuple[OpenPlan, ...]:
    """Plans that nobody closed, the one whose day is first before all."""
    return tuple(sorted(_open(logbook), key=lambda one: (one.agreed.day, one.seat.learner)))


def _open(logbook: Logbook) -> Iterator[OpenPlan]:
    for workshop in logbook.workshops().values():
        for seat in workshop.seats:
            plan = agreed(logbook, seat)
            if plan is not None and plan.closed is None:
                yield OpenPlan(workshop, seat, plan, _shown_since(logbook, workshop, seat))


def _shown_since(logbook: Logbook, workshop: Workshop, seat: Seat) -> Outcome | None:
    """The decision on the same learner's next attempt with the same scoring; None without one."""
    learner = dict(workshop.aliases).get(seat.learner, seat.learner)
    scoring = workshop.in_use(seat).scoring
    later = [
        (other, one)
        for other in logbook.workshops().values()
        for one in other.seats
        if (other.date, one.ordinal) > (workshop.date, seat.ordinal)
        and dict(other.aliases).get(one.learner, one.learner) == learner
        and other.in_use(one).scoring == scoring
    ]
    for other, one in sorted(later, key=lambda pair: (pair[0].date, pair[1].ordinal)):
        outcome = attempt_result(logbook, other, one).outcome
        if outcome in (Outcome.PASS, Outcome.REMEDIATE):
            return outcome
    return None


def plan_sentence(plan: Retest, numbers: dict[str, int]) -> str:
    """A plan in a sentence. numbers: of the form's steps, by id."""
    steps = listed([str(numbers[one]) for one in plan.steps if one in numbers])
    practises = f"Practises step{'s' if len(plan.steps) > 1 else ''} {steps}; s" if steps else "S"
    where = f", {plan.where}" if plan.where else ""
    said = f"{practises}hows it again on {plan.day}{where}."
    if plan.closed is None:
        return said
    reason = f": {plan.closed.reason}" if plan.closed.reason else ""
    return f"{said} Closed, {plan.closed.ending}{reason.rstrip('.')}."


@dataclass(frozen=True, slots=True)
class PlanLine:
    """An open plan as it is listed. due: ISO day. shown: the decision since; empty without one."""

    learner: str
    due: str
    overdue: bool
    shown: str
    sentence: str

    def as_record(self) -> dict[str, str | bool | None]:
        """The same for a program."""
        return {
            "learner": self.learner,
            "due": self.due,
            "overdue": self.overdue,
            "shown": self.shown or None,
            "sentence": self.sentence,
        }


def plan_lines(logbook: Logbook) -> tuple[PlanLine, ...]:
    """The open plans of a logbook for whoever follows them up, the first due before all."""
    today, names = logbook.machine.stamp().at[:10], logbook.names()
    found = []
    for one in open_plans(logbook):
        name = names.get(one.seat.learner, one.seat.learner)
        said = plan_sentence(one.agreed, numbers_of(logbook, one.workshop, one.seat))
        overdue = one.is_overdue(today)
        after = f" Shown since: {one.shown}; close it." if one.shown else ""
        after = " Overdue: its day is past, and nothing was shown." if overdue else after
        shown = one.shown.value if one.shown else ""
        found.append(PlanLine(name, one.agreed.day, overdue, shown, f"{name}. {said}{after}"))
    return tuple(found)
