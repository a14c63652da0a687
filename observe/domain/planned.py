"""Workshops as events planned them: what is written, and read back (rules E1, E3, E7)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import replace
from typing import Any

from observe.domain.arrangement import NOWHERE, Spot, arranged, fitting, from_record
from observe.domain.events import Event, is_newer, lifted
from observe.domain.form import Mode
from observe.domain.profile import Departure, Doing, Profile
from observe.domain.troubles import Doubtful, Refused
from observe.domain.workshop import (
    Contrary,
    FormInUse,
    Seat,
    Station,
    Unheard,
    Workshop,
)


def plan_record(workshop: Workshop) -> dict[str, Any]:
    """The body of the event that plans a workshop with its first form.

    Further forms, and the seats, have events of their own; how many attempts there are to be is
    said, so that a machine knows which did not come.
    """
    return {
        "title": workshop.title,
        "place": workshop.place,
        "date": workshop.date,
        "mode": workshop.mode.value,
        **form_record(workshop.forms[0]),
        "seed": workshop.seed,
        "observers": list(workshop.observers),
        "attempts": len(workshop.seats),
    }


def form_record(form: FormInUse) -> dict[str, Any]:
    """The body of the event that adds a form to a workshop."""
    return {
        "form": form.form,
        "scoring": form.scoring,
        "profile": [Profile.record(one) for one in form.profile.departures],
        "profile_digest": form.profile.digest,
    }


def seat_record(seat: Seat) -> dict[str, Any]:
    """The body of the event that plans one attempt."""
    kept = {
        "seat": seat.number,
        "learner": seat.learner,
        "ordinal": seat.ordinal,
        "variant": seat.variant,
        "first": seat.first,
        "second": seat.second,
        "room": seat.room,
    }
    return {**kept, "form": seat.form} if seat.form else kept


def station_record(station: Station) -> dict[str, Any]:
    """The body of the event that records a station card."""
    return {
        "trainer": station.trainer,
        "insert": station.insert,
        "position": station.position,
        "depth": station.depth,
    }


def workshops(events: Iterable[Event]) -> Mapping[str, Workshop]:
    """All workshops that some events plan, by id, in the order in which they were planned.

    What cannot apply, or cannot be read, changes nothing. A workshop or attempt that is
    planned again stays as it is (rules W1, W3), and no seat is ever lost, even where two
    machines gave the same place away.
    """
    found: dict[str, Workshop] = {}
    for event in events:
        with suppress(*_UNREADABLE):
            _take_in(found, event)
    return found


_UNREADABLE = (KeyError, TypeError, ValueError, AttributeError, Doubtful)
"""What the body of an event raises that does not say what its kind needs (rule E1)."""


def _take_in(found: dict[str, Workshop], event: Event) -> None:
    if is_newer(event):
        return
    if event.kind == "workshop-planned":
        found.setdefault(event.workshop, _planned(event))
    elif event.workshop in found and event.kind in _CHANGES:
        found[event.workshop] = _CHANGES[event.kind](found[event.workshop], event)


def placed(workshop: Workshop, spots: Mapping[str, Spot]) -> Workshop:
    """A workshop with its seats at these places, in seat order."""
    seats = [
        replace(seat, room=spots[seat.attempt].room, number=spots[seat.attempt].number)
        for seat in workshop.seats
    ]
    seats.sort(key=lambda seat: (seat.spot == NOWHERE, seat.number))
    known = dict(workshop.vacated) | {seat.number: seat.room for seat in workshop.seats}
    taken = {seat.number for seat in seats} | {NOWHERE.number}
    left = sorted((number, room) for number, room in known.items() if number not in taken)
    return replace(workshop, seats=tuple(seats), vacated=tuple(left))


def _planned(event: Event) -> Workshop:
    body = lifted(event)
    return Workshop(
        id=event.workshop,
        title=body["title"],
        place=body["place"],
        date=body["date"],
        mode=Mode(body["mode"]),
        forms=(_form(body),),
        seed=body["seed"],
        observers=tuple(body["observers"]),
    )


def _form(body: Mapping[str, Any]) -> FormInUse:
    departures = tuple(
        Departure(one["step"], Doing(one["doing"]), one["reason"], one.get("variant", ""))
        for one in body["profile"]
    )
    return FormInUse(body["form"], body["scoring"], Profile(body["form"], departures))


def _form_added(workshop: Workshop, event: Event) -> Workshop:
    form = _form(lifted(event))
    if any(one.form == form.form for one in workshop.forms):
        return workshop
    return replace(workshop, forms=(*workshop.forms, form))


def _attempt_planned(workshop: Workshop, event: Event) -> Workshop:
    """With one more seat, at its place, or at a free one if that is taken."""
    body = lifted(event)
    for seat in workshop.seats:
        if event.attempt in seat.attempts:
            twice = _planned_twice(workshop, seat, body["first"])
            same = seat.variant == body["variant"]
            return twice if same else _unheard(twice, Unheard.VARIANT, event)
    wanted = Spot(body.get("room", 1), body["seat"])
    spot = fitting(workshop.spots, dict(workshop.vacated), wanted)
    seat = Seat(
        number=spot.number,
        attempt=event.attempt,
        learner=str(dict(workshop.aliases).get(body["learner"], body["learner"])),
        ordinal=body["ordinal"],
        variant=body["variant"],
        first=body["first"],
        second=body["second"],
        form=body.get("form") or workshop.forms[0].form,
        room=spot.room,
    )
    fuller = replace(workshop, seats=(*workshop.seats, seat))
    return placed(fuller, fuller.spots)


def _planned_twice(workshop: Workshop, seat: Seat, by: str) -> Workshop:
    """With one attempt where two machines that had not met planned the same one (rule E7).

    Ids follow from workshop, learner, form and count, so it is one attempt: who planned it on the
    second machine took a second look at it, which was not drawn before the day.
    """
    if by in seat.observers or seat.second or seat.dropped:
        return workshop
    linked = (*seat.linked, (by, seat.attempt))
    return _with_seat(workshop, seat.attempt, second=by, linked=linked)


def _look_dropped(workshop: Workshop, event: Event) -> Workshop:
    """With a second look given up that will not be sealed, or taken back in (rule T2)."""
    body = lifted(event)
    observer, seat = body["observer"], workshop.seat_of(event.attempt)
    if body["dropped"] and seat.second == observer and not seat.after_second:
        return _with_seat(workshop, seat.attempt, second="", dropped=observer)
    planned_first = seat.is_planned_twice and seat.first == observer and not seat.after_first
    if body["dropped"] and planned_first and seat.second:
        rest = {"first": seat.second, "after_first": seat.after_second, "after_second": ()}
        return _with_seat(workshop, seat.attempt, **rest, second="", dropped=observer)
    if not body["dropped"] and seat.dropped == observer and not seat.second:
        return _with_seat(workshop, seat.attempt, second=observer, dropped="", restored=True)
    return workshop


def _reattributed(workshop: Workshop, event: Event) -> Workshop:
    """With the learners of two attempts exchanged; told twice, once (rule E3)."""
    body = lifted(event)
    one, other = workshop.seat_of(event.attempt), workshop.seat_of(body["with"])
    now = (one.learner, other.learner)
    if one is other or now == (body["is"], body["was"]):
        return workshop
    if now != (body["was"], body["is"]):
        return _unheard(workshop, Unheard.EXCHANGE, event)
    mine = {"learner": other.learner, "ordinal": other.ordinal, "reattributed": True}
    theirs = {"learner": one.learner, "ordinal": one.ordinal, "reattributed": True}
    return _with_seat(_with_seat(workshop, one.attempt, **mine), other.attempt, **theirs)


def _seats_arranged(workshop: Workshop, event: Event) -> Workshop:
    absent = [seat.attempt for seat in workshop.seats if seat.absent]
    try:
        spots = arranged(workshop.spots, from_record(lifted(event)), absent=absent)
    except Refused:
        return workshop
    return placed(workshop, spots)


def _absence_noted(workshop: Workshop, event: Event) -> Workshop:
    """Absent or here; who comes back to a place that was given away gets a free one."""
    absent = bool(lifted(event)["absent"])
    changed = _with_seat(workshop, event.attempt, absent=absent)
    spots = dict(changed.spots)
    if absent or spots.get(event.attempt) != NOWHERE:
        return changed
    spots[event.attempt] = fitting(spots, dict(changed.vacated), NOWHERE)
    return placed(changed, spots)


def _station_recorded(workshop: Workshop, event: Event) -> Workshop:
    return _with_seat(workshop, event.attempt, station=Station(**lifted(event)))


def _handed_over(workshop: Workshop, event: Event) -> Workshop:
    """With another observer at a seat (rule T5).

    One who takes over what was begun watches after the one who leaves; what was not
    begun, which names no observation, is watched by the other from the start.
    """
    seat = next((one for one in workshop.seats if one.attempt == event.attempt), None)
    to = lifted(event).get("to")
    if seat is None or not isinstance(to, str) or not to or to in seat.observers:
        return workshop
    watching = tuple(dict.fromkeys((*workshop.observers, to)))
    place = next((n for n, one in enumerate(seat.watches) if one[-1] == event.by), None)
    if place is None:
        return workshop
    watch = seat.watches[place]
    changed = (*watch, to) if event.observation else (*watch[:-1], to)
    first, *rest = changed
    fields: dict[str, Any] = (
        {"first": first, "after_first": tuple(rest)}
        if place == 0
        else {"second": first, "after_second": tuple(rest)}
    )
    return replace(_with_seat(workshop, event.attempt, **fields), observers=watching)


def _same_learner(workshop: Workshop, event: Event) -> Workshop:
    """With one person where two were planned; their attempts are counted on (rule E7)."""
    body = lifted(event)
    one, other = body["learner"], body["same_as"]
    attempts = [seat for seat in workshop.seats if seat.learner == other]
    known = dict(workshop.aliases)
    if one == other or known.get(one) == other:
        return workshop
    if one in known or one in known.values() or not attempts:
        return _unheard(workshop, Unheard.LEARNER, event)
    before = max(seat.ordinal for seat in attempts)
    seats = tuple(
        replace(seat, learner=other, ordinal=seat.ordinal + before) if seat.learner == one else seat
        for seat in workshop.seats
    )
    return replace(workshop, seats=seats, aliases=(*workshop.aliases, (one, other)))


def may_be_same(workshop: Workshop, one: Seat, other: Seat) -> bool:
    """Whether two seats may be one attempt, watched by different people: one look in each."""
    apart = not {*one.observers} & {*other.observers}
    same = one.learner == other.learner and workshop.form_of(one) == workshop.form_of(other)
    once = not (one.second or other.second or one.linked or other.linked)
    return one.attempt != other.attempt and apart and same and once


def _same_attempt(workshop: Workshop, event: Event) -> Workshop:
    """With one attempt where two machines planned one each; the other is its second look (E7)."""
    body = lifted(event)
    one = workshop.seat_of(event.attempt)
    kept = workshop.seat_of(body["same_as"])
    if not may_be_same(workshop, one, kept):
        return workshop
    first, *rest = one.watches[0]
    joined = replace(
        kept,
        second=first,
        after_second=tuple(rest),
        ordinal=min(one.ordinal, kept.ordinal),
        linked=tuple((observer, one.attempt) for observer in one.observers),
    )
    seats = tuple(joined if seat is kept else seat for seat in workshop.seats if seat is not one)
    vacated = (*workshop.vacated, *([(one.number, one.room)] if one.spot != NOWHERE else []))
    fewer = replace(workshop, seats=seats, vacated=vacated)
    return placed(fewer, fewer.spots)


def _unheard(workshop: Workshop, kind: Unheard, event: Event) -> Workshop:
    said = Contrary(kind, event.id, event.attempt, event.by)
    return replace(workshop, contrary=(*workshop.contrary, said))


def _with_seat(workshop: Workshop, attempt: str, **changed: Any) -> Workshop:  # noqa: ANN401 - any field of a seat
    seats = tuple(
        replace(seat, **changed) if seat.attempt == attempt else seat for seat in workshop.seats
    )
    return replace(workshop, seats=seats)


_CHANGES: Mapping[str, Callable[[Workshop, Event], Workshop]] = {
    "form-added": _form_added,
    "attempt-planned": _attempt_planned,
    "station-recorded": _station_recorded,
    "seats-arranged": _seats_arranged,
    "absence-noted": _absence_noted,
    "handed-over": _handed_over,
    "look-dropped": _look_dropped,
    "reattributed": _reattributed,
    "same-learner": _same_learner,
    "same-attempt": _same_attempt,
}

PLAN_KINDS = ("workshop-planned", *_CHANGES)
"""The kinds of event from which `workshops` makes a workshop."""
