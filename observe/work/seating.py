"""A workshop that changes on the day: seats, rooms, absence, and who comes late.

Every function reads the workshop anew, keeps one gesture in the logbook, and answers
with the workshop as it is now. Marks belong to the attempt, so they stay with the
learner wherever they sit. A new arrangement undoes an old one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from observe.domain.arrangement import (
    NOWHERE,
    ROOMS,
    Spot,
    Spots,
    arranged,
    fitting,
    free_numbers,
    record,
    require_sound,
    rooms_swapped,
    swapped,
)
from observe.domain.canonical import digest
from observe.domain.events import Draft, Event
from observe.domain.observation import fold
from observe.domain.planned import form_record, seat_record, station_record
from observe.domain.troubles import Refused
from observe.domain.workshop import NOT_SET, Seat, Station, Workshop, attempt_id
from observe.work.again import attempts_so_far
from observe.work.logbooks import Logbook
from observe.work.planning import FormPlan, Person, form_in_use, require_variant


@dataclass(frozen=True, slots=True)
class FreePlace:
    """A place that may be taken. absent: the attempt of who is absent from it, if any."""

    spot: Spot
    absent: str = ""


@dataclass(frozen=True, slots=True)
class Late:
    """A learner who was not planned.

    learner: an empty id means somebody this logbook does not know yet. variant: as the
    form has them. spot: None is the first free place of room 1, else of room 2. form: whole
    digest; empty is the workshop's first.
    """

    learner: Person
    variant: str
    spot: Spot | None = None
    form: str = ""
    station: Station = NOT_SET


# reading


def free_places(workshop: Workshop, room: int) -> tuple[FreePlace, ...]:
    """The places of a room that nobody sits at, by number, up to twelve seats in all.

    Those of absent learners are among them; whoever takes one, takes it from them.
    """
    away = [FreePlace(seat.spot, seat.attempt) for seat in workshop.in_room(room) if seat.absent]
    numbers = free_numbers(workshop.spots, dict(workshop.vacated), room)
    free = [FreePlace(Spot(room, number)) for number in numbers]
    return tuple(sorted([*away, *free], key=lambda one: one.spot))


def first_free(workshop: Workshop) -> Spot:
    """The first place that belongs to nobody, room 1 before room 2.

    Raises Refused if there is none.
    """
    spot = fitting(workshop.spots, dict(workshop.vacated), Spot(ROOMS[0], 0))
    if spot == NOWHERE:
        raise Refused("Both rooms are full.", remedy="Give away the place of an absent learner.")
    return spot


# seats and rooms


def swap(logbook: Logbook, workshop: Workshop, one: str, other: str, *, by: str) -> Workshop:
    """Two learners exchange their places, in one room or across both. one, other: attempts.

    Raises Refused for one and the same, or for a learner without a place.
    """
    now = _now(logbook, workshop)
    seats = [_seat(now, one), _seat(now, other)]
    if one == other:
        raise Refused("That is the same learner twice.", remedy="Choose two learners.")
    for seat in seats:
        if seat.spot == NOWHERE:
            raise Refused(
                f"{_name(logbook, seat)} is absent and has no place.",
                remedy="Note that they have arrived, or choose another learner.",
            )
    return _arrange(logbook, now, swapped(now.spots, one, other), by)


def swap_rooms(logbook: Logbook, workshop: Workshop, *, by: str) -> Workshop:
    """All learners of each room go to the other one, in the order in which they sit."""
    now = _now(logbook, workshop)
    return _arrange(logbook, now, rooms_swapped(now.spots), by)


def move(logbook: Logbook, workshop: Workshop, attempt: str, spot: Spot, *, by: str) -> Workshop:
    """A learner goes to a free place, also of the other room.

    From an absent learner the place is taken: they get the mover's old one. Raises
    Refused if somebody sits there, if the room is full, or if the learner is there already.
    """
    now = _now(logbook, workshop)
    if _seat(now, attempt).spot == spot:
        raise Refused(
            f"{_name(logbook, _seat(now, attempt))} sits there already.",
            where=f"seat {spot.number}",
            remedy="Choose another place.",
        )
    return _arrange(logbook, now, {attempt: spot}, by)


def arrange(logbook: Logbook, workshop: Workshop, places: Spots, *, by: str) -> Workshop:
    """Some or all learners sit as the room is. places: attempt to its place.

    A place may be taken from an absent learner, as by `move`.
    Raises Refused for two learners at one number, for more than twelve in a room,
    and for an unknown attempt; nothing is kept then.
    """
    return _arrange(logbook, _now(logbook, workshop), places, by)


def _arrange(logbook: Logbook, now: Workshop, asked: Spots, by: str) -> Workshop:
    moves = _taking(now, asked)
    spots = arranged(now.spots, moves, absent=_absent(now))
    changed = {attempt: spot for attempt, spot in moves.items() if now.spots[attempt] != spot}
    if not changed or spots == now.spots:
        raise Refused("Everybody sits there already.", remedy="Choose another arrangement.")
    return _keep(logbook, now, [Draft("seats-arranged", record(changed), now.id, by=by)])


# who is here


def note_absent(logbook: Logbook, workshop: Workshop, attempt: str, *, by: str) -> Workshop:
    """Note that a learner is not here; their place is free, with their name.

    Raises Refused while anything is kept of the attempt: they were here then.
    """
    now = _now(logbook, workshop)
    seat = _seat(now, attempt)
    if seat.absent:
        raise Refused(f"{_name(logbook, seat)} is noted absent already.", remedy="Go on.")
    newest = _require_not_begun(logbook, now, seat)
    return _keep(logbook, now, [_absence(now, seat, by, absent=True)], newest)


def note_arrived(
    logbook: Logbook, workshop: Workshop, attempt: str, *, by: str, spot: Spot | None = None
) -> Workshop:
    """Note that an absent learner is here, at their place, or at another.

    spot: None is their own place, or the first free one if it was given away. Raises
    Refused if they were not absent, or if the place is taken.
    """
    now = _now(logbook, workshop)
    seat = _seat(now, attempt)
    if not seat.absent:
        raise Refused(f"{_name(logbook, seat)} is not noted absent.", remedy="Mark as usual.")
    wanted = spot or (first_free(now) if seat.spot == NOWHERE else seat.spot)
    moves = _taking(now, {attempt: wanted})
    arranged(now.spots, moves, absent=set(_absent(now)) - {attempt})
    drafts = []
    if wanted != seat.spot:
        drafts.append(Draft("seats-arranged", record(moves), now.id, by=by))
    return _keep(logbook, now, [*drafts, _absence(now, seat, by, absent=False)])


def add_late(logbook: Logbook, workshop: Workshop, late: Late, *, by: str) -> Workshop:
    """Plan an attempt on the day for a learner who was not planned, at a free place.

    Who adds them observes them; there is no second look, since those are drawn before
    the day (rule T4). Raises Refused for a learner who has a seat, somebody who does not
    observe in this workshop, an unknown form or variant, and a place that is taken.
    """
    now = _now(logbook, workshop)
    learner = _learner(logbook, late)
    seat = _late_seat(logbook, now, late, learner, by)
    moves = _taking(now, {seat.attempt: seat.spot})
    require_sound({**now.spots, **moves})
    given = {one: spot for one, spot in moves.items() if one != seat.attempt}
    drafts = [
        Draft(
            "person-named",
            {"person": learner.id, "role": "learner"},
            by=by,
            texts={"name": learner.name},
        )
    ]
    if given:
        drafts.append(Draft("seats-arranged", record(given), now.id, by=by))
    drafts.append(Draft("attempt-planned", seat_record(seat), now.id, seat.attempt, by=by))
    if late.station != NOT_SET:
        card = station_record(late.station)
        drafts.append(Draft("station-recorded", card, now.id, seat.attempt, by=by))
    return _keep(logbook, now, drafts)


def add_form(logbook: Logbook, workshop: Workshop, plan: FormPlan, *, by: str) -> Workshop:
    """Add a form to a workshop, for learners who come late.

    Raises Refused for a form that it has, or a profile that rule W1 forbids.
    """
    now = _now(logbook, workshop)
    if any(one.form == plan.form for one in now.forms):
        raise Refused("The workshop has this form already.", remedy="Choose it for the learner.")
    form = form_in_use(logbook, plan, now.mode)
    return _keep(logbook, now, [Draft("form-added", form_record(form), now.id, by=by)])


# inside


def _now(logbook: Logbook, workshop: Workshop) -> Workshop:
    return logbook.workshop(workshop.id)


def _keep(
    logbook: Logbook,
    workshop: Workshop,
    drafts: Sequence[Draft],
    newest: Mapping[str, str] | None = None,
) -> Workshop:
    logbook.append(drafts, newest=newest)
    return _now(logbook, workshop)


def _name(logbook: Logbook, seat: Seat) -> str:
    return logbook.names().get(seat.learner, seat.learner)


def _absent(workshop: Workshop) -> list[str]:
    return [seat.attempt for seat in workshop.seats if seat.absent]


def _absence(workshop: Workshop, seat: Seat, by: str, *, absent: bool) -> Draft:
    return Draft("absence-noted", {"absent": absent}, workshop.id, seat.attempt, by=by)


def _seat(workshop: Workshop, attempt: str) -> Seat:
    if attempt not in workshop.spots:
        raise Refused(
            "This workshop has no such attempt.", where=attempt, remedy="Add the learner first."
        )
    return workshop.seat_of(attempt)


def _taking(workshop: Workshop, moves: Spots) -> dict[str, Spot]:
    """These moves, and those of absent learners whose places are taken by them.

    Such a learner gets the old place of who took theirs; nowhere if that is not free.
    """
    found = dict(moves)
    for seat in workshop.seats:
        if not seat.absent or seat.attempt in moves or seat.spot == NOWHERE:
            continue
        taker = next((one for one, to in moves.items() if to.number == seat.number), None)
        if taker is None:
            continue
        old = workshop.spots.get(taker, NOWHERE)
        others = {**workshop.spots, **found}
        del others[seat.attempt]
        free = fitting(others, dict(workshop.vacated), old) == old
        found[seat.attempt] = old if free else NOWHERE
    return found


def _require_not_begun(logbook: Logbook, workshop: Workshop, seat: Seat) -> dict[str, str]:
    """The newest event of each observation of an attempt of which nothing is kept.

    Empty for one that is not opened; a mark in another window is then not overlooked.
    """
    newest = {seat.observation_of(one): "" for one in seat.observers}
    for events in _observations(logbook, seat):
        observation = fold(events, logbook.ground(workshop, seat))
        newest[observation.id] = events[-1].id
        if observation.clock.is_running:
            raise Refused(
                f"The clock of {_name(logbook, seat)} runs.",
                where=f"seat {seat.number}",
                remedy="Pause it first; if they were here, leave it at the pause.",
            )
        left = observation.sealed or observation.void or observation.handed
        if observation.entries or observation.stopped or left:
            raise Refused(
                f"Marks of {_name(logbook, seat)} are kept, so they were here.",
                where=f"seat {seat.number}",
                remedy="Pause their clock, or hand the learner over; the marks stay.",
            )
    return newest


def _observations(logbook: Logbook, seat: Seat) -> list[list[Event]]:
    opened = logbook.log.read(attempt=seat.attempt, kinds=("observation-opened",))
    return [logbook.observation(event.observation) for event in opened]


def _learner(logbook: Logbook, late: Late) -> Person:
    name = late.learner.name.strip()
    if not name:
        raise Refused("A learner needs a name.", remedy="Write the name.")
    made = "learner-" + digest([name, logbook.machine.gesture()])[:20]
    return Person(late.learner.id or made, name)


def _late_seat(logbook: Logbook, workshop: Workshop, late: Late, learner: Person, by: str) -> Seat:
    if by not in workshop.observers:
        raise Refused(
            "The observer is not on the list of this workshop.",
            remedy="One of its observers adds the learner.",
        )
    form = late.form or workshop.forms[0].form
    if all(one.form != form for one in workshop.forms):
        raise Refused("The form is not one of this workshop.", remedy="Add the form first.")
    id = logbook.form(form).id
    require_variant(logbook.form(form), late.variant, f"seat of {learner.name}")
    for seat in workshop.seats:
        if seat.learner == learner.id and logbook.form(workshop.form_of(seat)).id == id:
            raise Refused(
                f"{learner.name} is planned already, at seat {seat.number}."
                if seat.number
                else f"{learner.name} is planned already, and absent.",
                remedy="Note that they have arrived." if seat.absent else "Mark them there.",
            )
    ordinal = attempts_so_far(logbook).get((learner.id, form), 0) + 1
    spot = late.spot or first_free(workshop)
    return Seat(
        number=spot.number,
        attempt=attempt_id(workshop.id, learner.id, id, ordinal),
        learner=learner.id,
        ordinal=ordinal,
        variant=late.variant,
        first=by,
        second="",
        station=late.station,
        form=form,
        room=spot.room,
    )
