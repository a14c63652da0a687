"""Planning a workshop: form, profile, people, seats and second looks, in one gesture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from observe.domain.canonical import digest
from observe.domain.events import Draft
from observe.domain.form import Mode
from observe.domain.profile import Departure, frozen
from observe.domain.troubles import Refused
from observe.domain.workshop import (
    NOT_SET,
    Seat,
    Station,
    Workshop,
    attempt_id,
    plan_record,
    seat_record,
    station_record,
)
from observe.planning.second_looks import second_looks
from observe.work.logbooks import Logbook

MOST_SEATS = 12


@dataclass(frozen=True, slots=True)
class Person:
    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Place:
    """A learner's place: who, with which variant, watched first by whom, on which station."""

    learner: Person
    variant: str
    first: str
    station: Station = NOT_SET
    ordinal: int = 1


@dataclass(frozen=True, slots=True)
class Plan:
    """What a lead decides before the day. places: in seat order. looks: second looks to draw."""

    title: str
    place: str
    date: str
    mode: Mode
    form: str
    departures: tuple[Departure, ...]
    observers: tuple[Person, ...]
    places: tuple[Place, ...]
    looks: int
    seed: str


def plan_workshop(logbook: Logbook, plan: Plan) -> Workshop:
    """Check a plan, draw the second looks, and keep it all in the logbook.

    Raises Refused if the plan breaks a rule; nothing is kept then.
    """
    _require_people(plan)
    form = logbook.form(plan.form)
    profile = frozen(form, plan.mode, plan.departures)
    variants = {variant.id for variant in form.variants} or {""}
    for place in plan.places:
        if place.variant not in variants:
            raise Refused(
                "The form has no such variant.",
                where=f"seat of {place.learner.name}",
                remedy=f"Choose one of: {', '.join(sorted(variants))}.",
            )
    workshop = "w-" + digest([plan.title, plan.place, plan.date, plan.seed, plan.form])[:20]
    seats = _seats(plan, workshop, form.id)
    planned = Workshop(
        id=workshop,
        title=plan.title,
        place=plan.place,
        date=plan.date,
        mode=plan.mode,
        form=form.whole_digest,
        scoring=form.scoring_digest,
        profile=profile,
        seed=plan.seed,
        observers=tuple(one.id for one in plan.observers),
        seats=seats,
    )
    logbook.append(_drafts(plan, planned))
    return planned


def _require_people(plan: Plan) -> None:
    if not plan.places:
        raise Refused("No learner is seated.", remedy="Seat at least one learner.")
    if len(plan.places) > MOST_SEATS:
        raise Refused(
            f"{MOST_SEATS} seats are the most that can be seen at once.",
            remedy="Make two tables.",
        )
    known = {one.id for one in plan.observers}
    for place in plan.places:
        if place.first not in known:
            raise Refused(
                "The observer is not on the list of this workshop.",
                where=f"seat of {place.learner.name}",
                remedy="Add the observer, or choose another one.",
            )


def _seats(plan: Plan, workshop: str, form_id: str) -> tuple[Seat, ...]:
    ids = [attempt_id(workshop, one.learner.id, form_id, one.ordinal) for one in plan.places]
    if len(set(ids)) < len(ids):
        raise Refused(
            "A learner is seated twice for the same attempt.",
            remedy="Seat each learner once, or count the attempts.",
        )
    firsts = {id: place.first for id, place in zip(ids, plan.places, strict=True)}
    observers = [one.id for one in plan.observers]
    if plan.looks and len(observers) < 2:
        raise Refused("A second look needs a second observer.", remedy="Add one, or plan none.")
    drawn: Mapping[str, str] = second_looks(firsts, observers, count=plan.looks, seed=plan.seed)
    return tuple(
        Seat(
            number=number,
            attempt=id,
            learner=place.learner.id,
            ordinal=place.ordinal,
            variant=place.variant,
            first=place.first,
            second=drawn.get(id, ""),
            station=place.station,
        )
        for number, (id, place) in enumerate(zip(ids, plan.places, strict=True), start=1)
    )


def _drafts(plan: Plan, workshop: Workshop) -> Sequence[Draft]:
    people = [(one, "observer") for one in plan.observers]
    people += [(one.learner, "learner") for one in plan.places]
    drafts = [
        Draft("person-named", {"person": one.id, "role": role}, texts={"name": one.name})
        for one, role in people
    ]
    drafts.append(Draft("workshop-planned", plan_record(workshop), workshop=workshop.id))
    for seat in workshop.seats:
        drafts.append(Draft("attempt-planned", seat_record(seat), workshop.id, seat.attempt))
        if seat.station != NOT_SET:
            card = station_record(seat.station)
            drafts.append(Draft("station-recorded", card, workshop.id, seat.attempt))
    return drafts
