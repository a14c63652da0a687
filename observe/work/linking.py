"""Unplanned learners and attempts of several machines, joined by a person (rule E7)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import combinations

from observe.domain.events import Draft
from observe.domain.observation import fold
from observe.domain.planned import may_be_same
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook


@dataclass(frozen=True, slots=True)
class Pair:
    """Two of which a person has to say whether they are one: learners, or attempts of one learner.

    kept: whose id stays. why: what speaks for it, in words.
    """

    other: Seat
    kept: Seat
    why: str


def learner_pairs(logbook: Logbook, workshop: Workshop) -> tuple[Pair, ...]:
    """Learners with one name and two ids, as where two machines took in the same latecomer."""
    names = logbook.names()
    first = {seat.learner: seat for seat in reversed(workshop.seats)}
    found = []
    for one, other in combinations(sorted(first.values(), key=lambda seat: seat.number), 2):
        said = names.get(one.learner, one.learner)
        if _folded(said) == _folded(names.get(other.learner, other.learner)):
            found.append(Pair(other, one, f"both are called {said}"))
    return tuple(found)


def attempt_pairs(logbook: Logbook, workshop: Workshop) -> tuple[Pair, ...]:
    """Two attempts of one learner that may be one, watched by different people at one time."""
    found = []
    for one, other in combinations(workshop.seats, 2):
        if may_be_same(workshop, other, one):
            apart = _apart_s(logbook, one, other)
            if apart is not None:
                found.append(Pair(other, one, f"their clocks started {apart:.0f} s apart"))
    return tuple(found)


def link_learners(logbook: Logbook, workshop: Workshop, other: str, kept: str, *, by: str) -> None:
    """Keep that two learners are one person; attempts are counted on. Nothing is lost by it.

    Raises Refused without a person who says so, for learners who are not of the workshop, and
    where one of them is joined already.
    """
    learners = {seat.learner for seat in workshop.seats}
    _require_person(by)
    if other == kept or not {other, kept} <= learners:
        raise Refused(
            "These are not two learners of this workshop.",
            where=f"{other}, {kept}",
            remedy="Name two of its learners.",
        )
    if other in dict(workshop.aliases).values():
        raise Refused(
            "Somebody was joined to this learner already.",
            where=other,
            remedy="Join the other way round.",
        )
    body = {"learner": other, "same_as": kept}
    logbook.append([Draft("same-learner", body, workshop=workshop.id, by=by)])


def link_attempts(
    logbook: Logbook, workshop: Workshop, other: Seat, kept: Seat, *, by: str
) -> None:
    """Keep that two attempts are one; who watched the other took a second look at it.

    Agreement does not count it, since it was not drawn before the day (rule T4). Raises Refused
    without a person who says so, before all who watched have sealed (rule T3), and for what
    cannot be one attempt.
    """
    _require_person(by)
    if not may_be_same(workshop, other, kept):
        raise Refused(
            "These two cannot be one attempt.",
            where=f"seats {other.number} and {kept.number}",
            remedy="One learner, one form, different observers, and one look at each.",
        )
    for seat in (other, kept):
        if not _all_sealed(logbook, workshop, seat):
            raise Refused(
                "Attempts are joined when all who watched have sealed.",
                where=f"seat {seat.number}",
                remedy="Until then nobody sees another's marks; take their packets in first.",
            )
    body = {"same_as": kept.attempt}
    draft = Draft("same-attempt", body, workshop=workshop.id, attempt=other.attempt, by=by)
    logbook.append([draft])


def _require_person(by: str) -> None:
    if not by:
        raise Refused("Two are joined by a named person.", remedy="Say who decides.")


def _all_sealed(logbook: Logbook, workshop: Workshop, seat: Seat) -> bool:
    ground = logbook.ground(workshop, seat)
    read = [logbook.observation(seat.observation_of(one)) for one in seat.observers]
    return all(events and fold(events, ground).sealed for events in read)


def _apart_s(logbook: Logbook, one: Seat, other: Seat) -> float | None:
    """Seconds between the starts of two attempts' clocks, by the clocks of their machines."""
    starts = [next(_starts(logbook, seat), None) for seat in (one, other)]
    if starts[0] is None or starts[1] is None:
        return None
    return abs((starts[0] - starts[1]).total_seconds())


def _starts(logbook: Logbook, seat: Seat) -> Iterator[datetime]:
    for event in logbook.log.read(attempt=seat.attempt, kinds=("clock-started",)):
        yield datetime.fromisoformat(event.stamp.at)


def _folded(name: str) -> str:
    return " ".join(name.casefold().split())
