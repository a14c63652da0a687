"""Plans after remediation followed up: which are open, what was shown since, how they ended."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from operator import itemgetter

from observe.domain.decision import Outcome
from observe.domain.events import Draft
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import attempt_result
from observe.work.logbooks import Logbook
from observe.work.retest import CLOSED, KIND, Ending, Retest, agreed, numbers_of, plan_sentence


@dataclass(frozen=True, slots=True)
class Shown:
    """A later attempt of the learner that was decided."""

    attempt: str
    outcome: Outcome


@dataclass(frozen=True, slots=True)
class OpenPlan:
    """A plan that nobody closed. shown: what the learner showed since; None for nothing yet."""

    workshop: Workshop
    seat: Seat
    agreed: Retest
    shown: Shown | None

    def is_due(self, today: str) -> bool:
        """Whether it waits for a person: it can be closed, or its day is past."""
        return self.shown is not None or self.is_overdue(today)

    def is_overdue(self, today: str) -> bool:
        """Whether its day is past and nothing was shown."""
        return self.shown is None and self.agreed.day < today


def close(
    logbook: Logbook, workshop: Workshop, seat: Seat, ending: Ending, reason: str, *, by: str
) -> None:
    """Keep what became of a plan, with the attempt in which it was shown, if there is one.

    Raises Refused where none was agreed, and where it was not held without a reason.
    """
    plan = agreed(logbook, seat)
    if plan is None:
        raise Refused("No plan was agreed.", remedy="Agree on a day first.")
    said = " ".join(reason.split())
    if ending is Ending.NOT_HELD and not said:
        raise Refused("A plan that was not held has a reason.", remedy="Write it.")
    texts = {"reason": said} if said else {}
    shown = None if ending is Ending.NOT_HELD else _shown_since(logbook, workshop, seat)
    body = {"outcome": ending.value, "plan": plan.event}
    if shown is not None:
        body["shown"] = shown.attempt
    logbook.append([Draft(CLOSED, body, workshop.id, seat.attempt, by=by, texts=texts)])


def open_plans(logbook: Logbook) -> tuple[OpenPlan, ...]:
    """Plans that nobody closed, the one whose day is first before all."""
    return tuple(sorted(_open(logbook), key=lambda one: (one.agreed.day, one.seat.learner)))


def due_plans(logbook: Logbook) -> tuple[OpenPlan, ...]:
    """Open plans that wait for a person now: their day is past, or it was shown since."""
    today = logbook.machine.stamp().at[:10]
    return tuple(one for one in open_plans(logbook) if one.is_due(today))


def _open(logbook: Logbook) -> Iterator[OpenPlan]:
    planned = {one.attempt for one in logbook.log.read(kinds=(KIND,))}
    for workshop in logbook.workshops().values():
        for seat in workshop.seats:
            plan = None if planned.isdisjoint(seat.attempts) else agreed(logbook, seat)
            if plan is not None and plan.closed is None:
                yield OpenPlan(workshop, seat, plan, _shown_since(logbook, workshop, seat))


def _shown_since(logbook: Logbook, workshop: Workshop, seat: Seat) -> Shown | None:
    """The learner's next attempt with the same scoring that was decided; None without one."""
    learner = dict(workshop.aliases).get(seat.learner, seat.learner)
    scoring, known = workshop.in_use(seat).scoring, logbook.workshops()
    places = {id_: place for place, id_ in enumerate(known)}
    found = [
        ((other.date, one.ordinal, places[other.id]), other, one)
        for other in known.values()
        for one in other.seats
        if dict(other.aliases).get(one.learner, one.learner) == learner
        and other.in_use(one).scoring == scoring
    ]
    this = (workshop.date, seat.ordinal, places[workshop.id])
    for _, other, one in sorted((each for each in found if each[0] > this), key=itemgetter(0)):
        outcome = attempt_result(logbook, other, one).outcome
        if outcome in (Outcome.PASS, Outcome.REMEDIATE):
            return Shown(one.attempt, outcome)
    return None


@dataclass(frozen=True, slots=True)
class PlanLine:
    """An open plan as it is listed. due: ISO day. shown: the decision since; empty without one.

    said: what was agreed, and what has to be done about it.
    """

    learner: str
    due: str
    overdue: bool
    shown: str
    said: str

    @property
    def sentence(self) -> str:
        """The same with the learner's name before it."""
        return f"{self.learner}. {self.said}"

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
    return tuple(plan_line(logbook, one) for one in open_plans(logbook))


def plan_line(logbook: Logbook, plan: OpenPlan) -> PlanLine:
    """An open plan as it is listed."""
    today, names = logbook.machine.stamp().at[:10], logbook.names()
    name = names.get(plan.seat.learner, plan.seat.learner)
    said = plan_sentence(plan.agreed, numbers_of(logbook, plan.workshop, plan.seat))
    overdue = plan.is_overdue(today)
    after = f" Shown since: {plan.shown.outcome}; close it." if plan.shown else ""
    after = " Overdue: its day is past, and nothing was shown." if overdue else after
    shown = plan.shown.outcome.value if plan.shown else ""
    return PlanLine(name, plan.agreed.day, overdue, shown, f"{said}{after}")
