"""Planning a workshop: form, profile, people, seats and second looks, in one gesture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from observe.domain.arrangement import require_sound
from observe.domain.canonical import digest
from observe.domain.events import Draft
from observe.domain.form import Form, Mode
from observe.domain.planned import form_record, plan_record, seat_record, station_record
from observe.domain.profile import Departure, frozen
from observe.domain.troubles import Refused
from observe.domain.workshop import NOT_SET, FormInUse, Seat, Station, Workshop, attempt_id
from observe.planning.second_looks import second_looks
from observe.work.logbooks import Logbook


@dataclass(frozen=True, slots=True)
class Person:
    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Place:
    """A learner's place: who, with which variant, watched first by whom, on which station.

    form: whole digest; empty means the plan's first form.
    """

    learner: Person
    variant: str
    first: str
    station: Station = NOT_SET
    ordinal: int = 1
    form: str = ""
    room: int = 1


@dataclass(frozen=True, slots=True)
class FormPlan:
    """A form of a workshop, by its whole digest, with what departs from it today."""

    form: str
    departures: tuple[Departure, ...] = ()


@dataclass(frozen=True, slots=True)
class Plan:
    """What a lead decides before the day.

    form and departures: of the first form; further: those beside it. places: in seat
    order over both rooms. looks: second looks to draw.
    """

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
    further: tuple[FormPlan, ...] = ()


def plan_workshop(logbook: Logbook, plan: Plan) -> Workshop:
    """Check a plan, draw the second looks, and keep it all in the logbook.

    A workshop that was planned before, with the same title, place, date, form and seed,
    stays as it is; attempts that it has not yet are added. Raises Refused if the plan
    breaks a rule; nothing is kept then.
    """
    _require_people(plan)
    asked = (FormPlan(plan.form, plan.departures), *plan.further)
    _require_once(asked)
    forms = tuple(form_in_use(logbook, one, plan.mode) for one in asked)
    for place in plan.places:
        digest_of = place.form or plan.form
        if all(digest_of != one.form for one in forms):
            raise Refused(
                "The form is not one of this workshop.",
                where=f"seat of {place.learner.name}",
                remedy="Add the form to the plan, or choose another one.",
            )
        require_variant(logbook.form(digest_of), place.variant, f"seat of {place.learner.name}")
    workshop = "w-" + digest([plan.title, plan.place, plan.date, plan.seed, plan.form])[:20]
    planned = Workshop(
        id=workshop,
        title=plan.title,
        place=plan.place,
        date=plan.date,
        mode=plan.mode,
        forms=forms,
        seed=plan.seed,
        observers=tuple(one.id for one in plan.observers),
        seats=_seats(logbook, plan, workshop),
    )
    require_sound(planned.spots)
    logbook.append(_drafts(plan, planned))
    return logbook.workshop(workshop)


def form_in_use(logbook: Logbook, plan: FormPlan, mode: Mode) -> FormInUse:
    """A form with its profile, checked (rule W1). Raises Refused as `frozen` does."""
    form = logbook.form(plan.form)
    profile = frozen(form, mode, plan.departures)
    return FormInUse(form.whole_digest, form.scoring_digest, profile)


def require_variant(form: Form, variant: str, where: str) -> None:
    """Raises Refused for a variant that a form has not."""
    known = {one.id for one in form.variants} or {""}
    if variant not in known:
        raise Refused(
            "The form has no such variant.",
            where=where,
            remedy=f"Choose one of: {', '.join(sorted(known)) or 'none'}.",
        )


def _require_once(forms: Sequence[FormPlan]) -> None:
    if len({one.form for one in forms}) < len(forms):
        raise Refused(
            "A form stands twice in the plan.", remedy="Name each form of the workshop once."
        )


def _require_people(plan: Plan) -> None:
    if not plan.places:
        raise Refused("No learner is seated.", remedy="Seat at least one learner.")
    known = {one.id for one in plan.observers}
    for place in plan.places:
        if place.first not in known:
            raise Refused(
                "The observer is not on the list of this workshop.",
                where=f"seat of {place.learner.name}",
                remedy="Add the observer, or choose another one.",
            )


def _seats(logbook: Logbook, plan: Plan, workshop: str) -> tuple[Seat, ...]:
    used = [one.form or plan.form for one in plan.places]
    ids = [
        attempt_id(workshop, place.learner.id, logbook.form(form).id, place.ordinal)
        for form, place in zip(used, plan.places, strict=True)
    ]
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
            form=form,
            room=place.room,
        )
        for number, (id, form, place) in enumerate(zip(ids, used, plan.places, strict=True), 1)
    )


def _drafts(plan: Plan, workshop: Workshop) -> Sequence[Draft]:
    people = [(one, "observer") for one in plan.observers]
    people += [(one.learner, "learner") for one in plan.places]
    drafts = [
        Draft("person-named", {"person": one.id, "role": role}, texts={"name": one.name})
        for one, role in people
    ]
    drafts.append(Draft("workshop-planned", plan_record(workshop), workshop=workshop.id))
    drafts += [Draft("form-added", form_record(one), workshop.id) for one in workshop.forms[1:]]
    for seat in workshop.seats:
        drafts.append(Draft("attempt-planned", seat_record(seat), workshop.id, seat.attempt))
        if seat.station != NOT_SET:
            card = station_record(seat.station)
            drafts.append(Draft("station-recorded", card, workshop.id, seat.attempt))
    return drafts
