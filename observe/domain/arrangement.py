"""Who sits where: numbers that are one seat each, in rooms of at most twelve. Pure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from observe.domain.troubles import Refused

ROOMS = (1, 2)
MOST_SEATS = 12
"""The most seats of one room; more cannot be seen at once."""
MOST_NUMBER = 99


class Spot(NamedTuple):
    """A place: room 1 or 2, and a number that no other place of the workshop has."""

    room: int
    number: int


NOWHERE = Spot(0, 0)
"""Where an absent learner is whose place was given to another."""

Spots = Mapping[str, Spot]
"""Attempt id to its place."""


def require_sound(spots: Spots) -> None:
    """Raises Refused for an unknown room or number, a shared number, or a full room."""
    placed = [spot for spot in spots.values() if spot != NOWHERE]
    for room, number in placed:
        if room not in ROOMS:
            raise Refused(
                "A workshop has two rooms at most.",
                where=f"room {room}",
                remedy="Choose room 1 or room 2.",
            )
        if not 1 <= number <= MOST_NUMBER:
            raise Refused(
                f"Seats are numbered from 1 to {MOST_NUMBER}.",
                where=f"seat {number}",
                remedy="Choose a free place of the room.",
            )
    for number, count in Counter(spot.number for spot in placed).items():
        if count > 1:
            raise Refused(
                "Two learners cannot sit at one seat.",
                where=f"seat {number}",
                remedy="Swap them, or choose a free place.",
            )
    for room, count in Counter(spot.room for spot in placed).items():
        if count > MOST_SEATS:
            raise Refused(
                f"{MOST_SEATS} seats are the most that can be seen at once.",
                where=f"room {room}",
                remedy="Make two tables.",
            )


def arranged(spots: Spots, moves: Spots, *, absent: Iterable[str] = ()) -> dict[str, Spot]:
    """All places after some attempts moved.

    absent: attempts that may be without a place. Raises Refused for an unknown
    attempt, for a learner left without a place who is here, and as `require_sound`.
    """
    for attempt in moves:
        if attempt not in spots:
            raise Refused(
                "This workshop has no such attempt.",
                where=attempt,
                remedy="Add the learner first.",
            )
    found = {**spots, **moves}
    away = set(absent)
    if any(found[attempt] == NOWHERE and attempt not in away for attempt in moves):
        raise Refused(
            "A learner who is here needs a place.", remedy="Choose a free place of a room."
        )
    require_sound(found)
    return found


def swapped(spots: Spots, one: str, other: str) -> dict[str, Spot]:
    """The moves by which two attempts exchange their places."""
    return {one: spots[other], other: spots[one]}


def rooms_swapped(spots: Spots) -> dict[str, Spot]:
    """The moves by which all learners of each room go to the other, with their numbers."""
    return {
        attempt: Spot(ROOMS[0] + ROOMS[1] - spot.room, spot.number)
        for attempt, spot in spots.items()
        if spot != NOWHERE
    }


def free_numbers(spots: Spots, vacated: Mapping[int, int], room: int) -> tuple[int, ...]:
    """Numbers that may still be taken in a room, up to twelve seats in all, lowest first.

    vacated: numbers that nobody has now, with the room in which they stand; a place
    that was left is offered before a new number.
    """
    taken = {spot.number for spot in spots.values()}
    left = MOST_SEATS - sum(spot.room == room for spot in spots.values())
    ranks = {number: 0 if home == room else 2 for number, home in vacated.items()}
    free = [number for number in range(1, MOST_NUMBER + 1) if number not in taken]
    free.sort(key=lambda number: (ranks.get(number, 1), number))
    return tuple(sorted(free[: max(0, left)]))


def fitting(spots: Spots, vacated: Mapping[int, int], wanted: Spot) -> Spot:
    """The place that is wanted, or, where it is taken or no place, the first free one.

    Nowhere only if both rooms are full.
    """
    taken = {spot.number for spot in spots.values()}
    here = sum(spot.room == wanted.room for spot in spots.values())
    known = wanted.room in ROOMS and 1 <= wanted.number <= MOST_NUMBER
    if known and wanted.number not in taken and here < MOST_SEATS:
        return wanted
    for room in sorted(ROOMS, key=lambda room: room != wanted.room):
        for number in free_numbers(spots, vacated, room):
            return Spot(room, number)
    return NOWHERE


def record(moves: Spots) -> dict[str, Any]:
    """The body of the event that arranges seats."""
    return {"places": [[attempt, *spot] for attempt, spot in moves.items()]}


def from_record(body: Mapping[str, Any]) -> dict[str, Spot]:
    """The moves that an event's body holds."""
    return {str(attempt): Spot(int(room), int(number)) for attempt, room, number in body["places"]}
