"""Two sealed attempts whose learners were mistaken for each other (rule E3)."""

from __future__ import annotations

from observe.domain.events import Draft
from observe.domain.observation import fold
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook


def reattribute(
    logbook: Logbook, workshop: Workshop, one: Seat, other: Seat, *, reason: str, by: str
) -> Workshop:
    """Keep that each of two attempts was made by the other one's learner; the workshop then.

    What was recorded stays with the attempt. Decisions have to be signed anew, and sheets that
    were issued are superseded, both of them. Raises Refused without a reason or a person who is
    no learner, for one and the same attempt, and while anybody who watched has not sealed: before
    the seal marks are moved, one by one.
    """
    now = logbook.workshop(workshop.id)
    seats = now.seat_of(one.attempt), now.seat_of(other.attempt)
    if not by or by in {seat.learner for seat in now.seats}:
        raise Refused(
            "A named person who is no learner says whose attempt it was.", remedy="Say who."
        )
    if not reason.strip():
        raise Refused("This needs its reason.", remedy="Say in a sentence how it came to light.")
    if seats[0] is seats[1] or seats[0].learner == seats[1].learner:
        raise Refused("That is the same learner twice.", remedy="Choose two learners.")
    for seat in seats:
        _require_done(logbook, now, seat)
    (first, second), why = seats, {"reason": reason.strip()}
    drafts = [
        Draft("reattributed", _record(first, second), now.id, first.attempt, by=by, texts=why),
        Draft("reattributed", _record(second, first), now.id, second.attempt, by=by, texts=why),
    ]
    logbook.append(drafts)
    return logbook.workshop(now.id)


def _record(one: Seat, other: Seat) -> dict[str, str]:
    return {"with": other.attempt, "was": one.learner, "is": other.learner}


def _require_done(logbook: Logbook, workshop: Workshop, seat: Seat) -> None:
    ground = logbook.ground(workshop, seat)
    for observer in seat.observers:
        events = logbook.observation(seat.observation_of(observer))
        if events and not fold(events, ground).sealed:
            raise Refused(
                "An attempt is given to another learner once all who watched have sealed.",
                where=f"seat {seat.number}",
                remedy="Before that, move the marks, or the learners to other seats.",
            )
