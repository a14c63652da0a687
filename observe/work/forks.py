"""What two machines wrote in one place: seen, and put into force by a person (rules E5, T5)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from observe.domain.choices import OVER, Answer, answer_in, contrary, standing
from observe.domain.events import Draft, Event
from observe.domain.forks import Fork
from observe.domain.troubles import BadInput, Refused
from observe.domain.words import counted, listed
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook

SHORTEST = 8
"""Digits of a hash, at least, by which a tail is named."""


@dataclass(frozen=True)
class ForkTail:
    """One of the tails of a fork. events: all of it, by number, whether in force or not.

    by: the names of who adopted it, while others adopted another tail of this fork.
    """

    fork: Fork
    hash: str
    events: tuple[Event, ...]
    by: tuple[str, ...] = ()

    @property
    def is_adopted(self) -> bool:
        return self.fork.adopted == self.hash

    @property
    def sentence(self) -> str:
        """What it holds, to choose by."""
        marks = sum(one.kind == "mark-set" for one in self.events)
        seats = {one.attempt for one in self.events if one.kind == "mark-set"}
        times = sorted(one.stamp.at for one in self.events)
        first, last = (at[:16].replace("T", " ") for at in (times[0], times[-1]))
        span = f"{first} to {last} UTC by its clock"
        adopted = "; in force" if self.is_adopted else ""
        attempts = counted(len(seats), "attempt")
        whose = f"; adopted by {listed(self.by)}, and another one by others" if self.by else ""
        return (
            f"{self.hash[:SHORTEST]}: {counted(len(self.events), 'event')}, "
            f"{counted(marks, 'mark')} in {attempts}, {span}{adopted}{whose}."
        )


def tails(logbook: Logbook) -> tuple[ForkTail, ...]:
    """The tails of every fork, by device, number and hash."""
    log = logbook.log
    return tuple(
        ForkTail(fork, hash_, log.tail(fork, hash_), _who_adopted(logbook, fork, hash_))
        for fork in log.forks()
        for hash_ in fork.hashes
    )


def _who_adopted(logbook: Logbook, fork: Fork, hash_: str) -> tuple[str, ...]:
    if hash_ not in fork.rivals:
        return ()
    names = logbook.names()
    known = _answers(logbook, "fork-adopted", {"device": fork.device, "seq": fork.seq}, "hash")
    who = dict.fromkeys(one.by for one in standing(known) if one.said == hash_)
    return tuple(names.get(one, one) for one in who)


def adopt(logbook: Logbook, named: str, *, by: str) -> ForkTail:
    """Put one tail of a fork into force, as a named person decides (rule E5).

    named: the hash of its first event, or its first digits. Where several persons adopted tails
    of this fork against each other, this chooses between them. Raises BadInput where that is no
    tail or several, Refused without a person, or where one of this fork is in force already.
    """
    wanted = named.strip().lower()
    found = [
        one for one in tails(logbook) if len(wanted) >= SHORTEST and one.hash.startswith(wanted)
    ]
    if len(found) != 1:
        known = listed([one.hash[:SHORTEST] for one in tails(logbook) if not one.fork.adopted])
        raise BadInput(
            "No single tail of a fork has this hash.",
            where=named,
            remedy=f"Those that wait for a person: {known}." if known else "No fork waits here.",
        )
    (tail,) = found
    if not by:
        raise Refused("A tail is adopted by a named person.", remedy="Say who decides.")
    if tail.fork.adopted:
        raise Refused(
            "A tail of this fork is in force already, and what was adopted stays.",
            where=tail.fork.adopted[:SHORTEST],
            remedy="What the other tail holds can be read, and entered anew.",
        )
    place = {"device": tail.fork.device, "seq": tail.fork.seq}
    answers = _answers(logbook, "fork-adopted", place, "hash")
    logbook.append([Draft("fork-adopted", {**place, "hash": tail.hash, **_over(answers)}, by=by)])
    return next(one for one in tails(logbook) if one.hash == tail.hash)


@dataclass(frozen=True, slots=True)
class Divided:
    """An observation that two machines wrote at once.

    devices: under which they did; marks: how many each set. rivals: for each device the names of
    who chose it, while others chose another.
    """

    seat: Seat
    observer: str
    observation: str
    devices: tuple[str, ...]
    marks: tuple[int, ...]
    rivals: tuple[tuple[str, ...], ...] = ()

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        return {
            "attempt": self.seat.attempt,
            "observer": self.observer,
            "devices": list(self.devices),
        }


def divided(logbook: Logbook, workshop: Workshop) -> Iterator[Divided]:
    """The observations that two machines wrote at once, and of which nobody chose one yet."""
    for seat in workshop.seats:
        for observer in seat.observers:
            id_ = seat.observation_of(observer)
            if logbook.is_divided(id_):
                found = logbook.writers(id_)
                events = logbook.log.read(observation=id_)
                held = [
                    sum(one.holds(event) and event.kind == "mark-set" for event in events)
                    for one in found
                ]
                devices = tuple(one.device for one in found)
                rivals = _who_chose(logbook, id_, devices)
                yield Divided(seat, observer, id_, devices, tuple(held), rivals)


def _who_chose(
    logbook: Logbook, observation: str, devices: Iterable[str]
) -> tuple[tuple[str, ...], ...]:
    names = logbook.names()
    known = _answers(logbook, "writer-chosen", {"observation": observation}, "device")
    against = contrary(known)
    return tuple(
        tuple(dict.fromkeys(names.get(one.by, one.by) for one in against if one.said == device))
        for device in devices
    )


def choose_writer(logbook: Logbook, observation: str, device: str, *, by: str) -> None:
    """Keep whose marks of a divided observation count, as a named person decides (rule T5).

    Raises Refused without a person, BadInput for a machine that did not write it.
    """
    if not by:
        raise Refused("Which marks count is chosen by a named person.", remedy="Say who decides.")
    if device not in {one.device for one in logbook.writers(observation)}:
        raise BadInput(
            "This machine did not write the observation.",
            where=device,
            remedy="Choose one of those that did.",
        )
    about = {"observation": observation}
    known = _answers(logbook, "writer-chosen", about, "device")
    body = {**about, "device": device, **_over(known)}
    logbook.append([Draft("writer-chosen", body, by=by)])


def _answers(logbook: Logbook, kind: str, about: Mapping[str, Any], said: str) -> list[Answer]:
    """What persons answered so far. about: what the body of such an event says of the question."""
    return [
        answer_in(event, str(event.body.get(said)))
        for event in logbook.log.read(kinds=(kind,))
        if about.items() <= event.body.items()
    ]


def _over(known: Iterable[Answer]) -> dict[str, list[str]]:
    """What a new answer says of those that stand."""
    left = [one.event for one in standing(known)]
    return {OVER: left} if left else {}
