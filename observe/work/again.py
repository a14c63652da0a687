"""Planning a workshop anew for the same learners: the next attempt, on another day."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import datetime

from observe.domain.arrangement import MOST_SEATS, NOWHERE, ROOMS
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook
from observe.work.planning import FormPlan, Person, Place, Plan, plan_workshop


def plan_again(logbook: Logbook, workshop: Workshop) -> Workshop:
    """Plan the next attempt of a workshop's learners, today, with the same forms and people.

    Rooms, variants, first observers, mode and departures stay, and the order of the
    seats; no second looks are drawn, and no station is set. Who was absent is planned
    for the attempt they missed. Raises Refused if the plan breaks a rule.
    """
    names = logbook.names()
    today = datetime.fromisoformat(logbook.machine.stamp().at).astimezone()
    attempts = attempts_so_far(logbook)
    first, *further = workshop.forms
    return plan_workshop(
        logbook,
        Plan(
            title=workshop.title,
            place=workshop.place,
            date=today.date().isoformat(),
            mode=workshop.mode,
            form=first.form,
            departures=first.profile.departures,
            observers=tuple(Person(one, names.get(one, one)) for one in workshop.observers),
            places=tuple(
                Place(
                    Person(seat.learner, names.get(seat.learner, seat.learner)),
                    seat.variant,
                    seat.first,
                    ordinal=attempts.get((seat.learner, workshop.form_of(seat)), 0) + 1,
                    form=workshop.form_of(seat),
                    room=room,
                )
                for seat, room in _rooms(workshop)
            ),
            looks=0,
            seed=logbook.machine.gesture(),
            further=tuple(FormPlan(one.form, one.profile.departures) for one in further),
        ),
    )


def _rooms(workshop: Workshop) -> Iterator[tuple[Seat, int]]:
    """Each seat with its room; who has no place now goes where there still is one."""
    filled = Counter(seat.room for seat in workshop.seats)
    for seat in workshop.seats:
        room = seat.room
        if seat.spot == NOWHERE:
            room = min(ROOMS, key=lambda one: (filled[one] >= MOST_SEATS, one))
            filled[room] += 1
        yield seat, room


def attempts_so_far(logbook: Logbook) -> dict[tuple[str, str], int]:
    """The highest ordinal planned for each learner with each form, absences left out."""
    highest: dict[tuple[str, str], int] = {}
    for workshop in logbook.workshops().values():
        for seat in workshop.seats:
            if not seat.absent:
                key = (seat.learner, workshop.form_of(seat))
                highest[key] = max(highest.get(key, 0), seat.ordinal)
    return highest
