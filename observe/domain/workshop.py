"""A workshop as its events planned it: who, where, with which form, watched by whom."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from observe.domain.canonical import digest
from observe.domain.events import Event, lifted
from observe.domain.form import Mode
from observe.domain.profile import Departure, Doing, Profile


@dataclass(frozen=True, slots=True)
class Station:
    """The station card, hidden from the learner (rule W2). Empty where not set."""

    trainer: str = ""
    insert: str = ""
    position: str = ""
    depth: str = ""


NOT_SET = Station()


@dataclass(frozen=True, slots=True)
class Seat:
    """One planned attempt in its place in the room.

    number: from 1, up the left side, across the back, down the right. first and
    second are observer ids; second is empty where no second look was drawn.
    """

    number: int
    attempt: str
    learner: str
    ordinal: int
    variant: str
    first: str
    second: str
    station: Station = NOT_SET

    @property
    def observers(self) -> tuple[str, ...]:
        return (self.first, self.second) if self.second else (self.first,)


@dataclass(frozen=True)
class Workshop:
    """One occasion. Build it with `workshops`. form: whole digest; scoring: scoring digest."""

    id: str
    title: str
    place: str
    date: str
    mode: Mode
    form: str
    scoring: str
    profile: Profile
    seed: str
    observers: tuple[str, ...]
    seats: tuple[Seat, ...] = ()

    def seat_of(self, attempt: str) -> Seat:
        """The seat of an attempt. Raises KeyError if none was planned."""
        for seat in self.seats:
            if seat.attempt == attempt:
                return seat
        raise KeyError(attempt)


def attempt_id(workshop: str, learner: str, form_id: str, ordinal: int) -> str:
    """The id every machine derives for a planned attempt (rule E7)."""
    return "a-" + digest([workshop, learner, form_id, ordinal])[:20]


def observation_id(attempt: str, observer: str) -> str:
    """The id of one observer's observation of one attempt."""
    return "o-" + digest([attempt, observer])[:20]


def plan_record(workshop: Workshop) -> dict[str, Any]:
    """The body of the event that plans a workshop; its seats have events of their own."""
    return {
        "title": workshop.title,
        "place": workshop.place,
        "date": workshop.date,
        "mode": workshop.mode.value,
        "form": workshop.form,
        "scoring": workshop.scoring,
        "profile": [Profile.record(one) for one in workshop.profile.departures],
        "profile_digest": workshop.profile.digest,
        "seed": workshop.seed,
        "observers": list(workshop.observers),
    }


def seat_record(seat: Seat) -> dict[str, Any]:
    """The body of the event that plans one attempt."""
    return {
        "seat": seat.number,
        "learner": seat.learner,
        "ordinal": seat.ordinal,
        "variant": seat.variant,
        "first": seat.first,
        "second": seat.second,
    }


def station_record(station: Station) -> dict[str, Any]:
    """The body of the event that records a station card."""
    return {
        "trainer": station.trainer,
        "insert": station.insert,
        "position": station.position,
        "depth": station.depth,
    }


def workshops(events: Iterable[Event]) -> Mapping[str, Workshop]:
    """All workshops that some events plan, by id, in the order in which they were planned."""
    found: dict[str, Workshop] = {}
    for event in events:
        if event.kind == "workshop-planned":
            found[event.workshop] = _planned(event)
        elif event.workshop in found and event.kind == "attempt-planned":
            known = found[event.workshop]
            seats = sorted((*known.seats, _seat(event)), key=lambda seat: seat.number)
            found[event.workshop] = replace(known, seats=tuple(seats))
        elif event.workshop in found and event.kind == "station-recorded":
            found[event.workshop] = _with_station(found[event.workshop], event)
    return found


def _planned(event: Event) -> Workshop:
    body = lifted(event)
    departures = tuple(
        Departure(one["step"], Doing(one["doing"]), one["reason"], one.get("variant", ""))
        for one in body["profile"]
    )
    return Workshop(
        id=event.workshop,
        title=body["title"],
        place=body["place"],
        date=body["date"],
        mode=Mode(body["mode"]),
        form=body["form"],
        scoring=body["scoring"],
        profile=Profile(body["form"], departures),
        seed=body["seed"],
        observers=tuple(body["observers"]),
    )


def _seat(event: Event) -> Seat:
    body = lifted(event)
    return Seat(
        number=body["seat"],
        attempt=event.attempt,
        learner=body["learner"],
        ordinal=body["ordinal"],
        variant=body["variant"],
        first=body["first"],
        second=body["second"],
    )


def _with_station(workshop: Workshop, event: Event) -> Workshop:
    station = Station(**lifted(event))
    seats = tuple(
        replace(seat, station=station) if seat.attempt == event.attempt else seat
        for seat in workshop.seats
    )
    return replace(workshop, seats=seats)
