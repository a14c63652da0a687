"""A second look that will not be taken: given up by a named person, or taken back in (rule T2).

Without it an attempt whose second observer fell ill would wait for good. Agreement then rests
on fewer looks; nothing else changes.
"""

from __future__ import annotations

from collections.abc import Iterator

from observe.domain.events import Draft
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook
from observe.work.seals import is_sealed, told_sealed


def may_drop(logbook: Logbook, seat: Seat) -> bool:
    """Whether a second look may be given up: drawn, and nothing of it is known here."""
    if not seat.is_second_planned or seat.after_second:
        return False
    id_ = seat.observation_of(seat.second)
    marks = any(one.kind != "observation-opened" for one in logbook.observation(id_))
    return not marks and id_ not in told_sealed(logbook)


def held_up(logbook: Logbook, workshop: Workshop) -> Iterator[Seat]:
    """Attempts that wait for nothing but a second look that was not begun."""
    for seat in workshop.seats:
        firsts = [seat.observation_of(one) for one in seat.watches[0]]
        if may_drop(logbook, seat) and all(is_sealed(logbook, one) for one in firsts):
            yield seat


def drop_look(logbook: Logbook, workshop: Workshop, seat: Seat, *, reason: str, by: str) -> None:
    """Give up the second look at an attempt, which is then decided by its one observer.

    Raises Refused without a person and a reason, by the learner, and where the look was begun.
    """
    _require(workshop, reason, by)
    now = logbook.workshops()[workshop.id].seat_of(seat.attempt)
    if not may_drop(logbook, now):
        raise Refused(
            "There is no second look here that was not begun.",
            where=f"seat {now.number}",
            remedy="What was begun is sealed, or handed over to somebody else.",
        )
    _keep(logbook, workshop, now, now.second, reason=reason, by=by, dropped=True)


def restore_look(logbook: Logbook, workshop: Workshop, seat: Seat, *, reason: str, by: str) -> None:
    """Take a second look back in that was given up, as when its record comes after all.

    Raises Refused without a person and a reason, and where none was given up.
    """
    _require(workshop, reason, by)
    now = logbook.workshops()[workshop.id].seat_of(seat.attempt)
    if not now.dropped or now.second:
        raise Refused(
            "No second look was given up here.",
            where=f"seat {now.number}",
            remedy="Choose an attempt of which it was.",
        )
    _keep(logbook, workshop, now, now.dropped, reason=reason, by=by, dropped=False)


def _require(workshop: Workshop, reason: str, by: str) -> None:
    if not by or by in {seat.learner for seat in workshop.seats}:
        raise Refused(
            "A second look is given up by a named person who is no learner.",
            remedy="Say who decides.",
        )
    if not reason.strip():
        raise Refused("This needs its reason.", remedy="Say in a sentence why; it is kept.")


def _keep(
    logbook: Logbook,
    workshop: Workshop,
    seat: Seat,
    observer: str,
    *,
    reason: str,
    by: str,
    dropped: bool,
) -> None:
    draft = Draft(
        "look-dropped",
        {"observer": observer, "dropped": dropped},
        workshop.id,
        seat.attempt,
        by=by,
        texts={"reason": reason.strip()},
    )
    logbook.append([draft])
