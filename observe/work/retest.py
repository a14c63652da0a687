"""What is agreed after remediation: steps to practise, and the day to show it again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from observe.domain.decision import Outcome
from observe.domain.events import Draft, Event
from observe.domain.troubles import Refused
from observe.domain.words import listed
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import AttemptResult
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
    """How a plan ended. reason: in words; empty if none was kept, or it was erased.

    shown: the attempt in which it was shown; empty without one.
    """

    ending: Ending
    reason: str
    by: str
    shown: str = ""


@dataclass(frozen=True, slots=True)
class Retest:
    """What was agreed.

    day: ISO. where: time and place in words; empty if none were kept, or they were erased. steps:
    ids of steps to practise; empty for those that the decision names. closed: None while it is
    open. event: which says it.
    """

    day: str
    where: str
    by: str
    steps: tuple[str, ...] = ()
    closed: Closing | None = None
    event: str = ""


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
    draft = Draft(KIND, body, workshop.id, result.seat.attempt, by=by, texts=texts)
    (event,) = logbook.append([draft])
    return Retest(written, said, by, kept, event=event.id)


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


def agreed(logbook: Logbook, seat: Seat) -> Retest | None:
    """What was agreed last, and how it was closed last; None if nothing was agreed."""
    only = seat.attempt if len(seat.attempts) == 1 else None
    found = logbook.log.read(attempt=only, kinds=(KIND, CLOSED))
    events = [one for one in found if one.attempt in seat.attempts]
    last = next((one for one in reversed(events) if one.kind == KIND), None)
    if last is None:
        return None
    endings = [one for one in events if one.kind == CLOSED and one.body["plan"] == last.id]
    steps = last.body.get("steps")
    return Retest(
        str(last.body["day"]),
        logbook.log.text(last.id, "where") or "",
        last.by,
        tuple(map(str, steps)) if isinstance(steps, list | tuple) else (),
        _closing(logbook, endings[-1]) if endings else None,
        last.id,
    )


def _closing(logbook: Logbook, event: Event) -> Closing:
    reason = logbook.log.text(event.id, "reason") or ""
    ending, shown = Ending(str(event.body["outcome"])), str(event.body.get("shown", ""))
    return Closing(ending, reason, event.by, shown)


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
