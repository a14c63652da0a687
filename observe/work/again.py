"""Planning a workshop anew for the same learners: the next attempt, on another day."""

from __future__ import annotations

from datetime import datetime

from observe.domain.workshop import Workshop
from observe.work.logbooks import Logbook
from observe.work.planning import Person, Place, Plan, plan_workshop


def plan_again(logbook: Logbook, workshop: Workshop) -> Workshop:
    """Plan the next attempt of a workshop's learners, today, with the same form and people.

    Seats, variants, first observers, mode and departures stay; no second looks are
    drawn, and no station is set. Raises Refused if the plan breaks a rule.
    """
    names = logbook.names()
    today = datetime.fromisoformat(logbook.machine.stamp().at).astimezone()
    attempts = _attempts_so_far(logbook, workshop.form)
    return plan_workshop(
        logbook,
        Plan(
            title=workshop.title,
            place=workshop.place,
            date=today.date().isoformat(),
            mode=workshop.mode,
            form=workshop.form,
            departures=workshop.profile.departures,
            observers=tuple(Person(one, names.get(one, one)) for one in workshop.observers),
            places=tuple(
                Place(
                    Person(seat.learner, names.get(seat.learner, seat.learner)),
                    seat.variant,
                    seat.first,
                    ordinal=attempts.get(seat.learner, seat.ordinal) + 1,
                )
                for seat in workshop.seats
            ),
            looks=0,
            seed=logbook.machine.gesture(),
        ),
    )


def _attempts_so_far(logbook: Logbook, form: str) -> dict[str, int]:
    """The highest ordinal planned for each learner with a form."""
    highest: dict[str, int] = {}
    for workshop in logbook.workshops().values():
        if workshop.form != form:
            continue
        for seat in workshop.seats:
            highest[seat.learner] = max(highest.get(seat.learner, 0), seat.ordinal)
    return highest
