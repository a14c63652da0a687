"""A second look that will not be sealed: given up by a named person, or taken back in (rule T2).

Without it an attempt whose second observer fell ill would wait for good. Marks that were set stay
in the record, uncounted and unseen. Agreement then rests on fewer looks; nothing else changes.
"""

from __future__ import annotations

from collections.abc import Iterator

from observe.domain.events import Draft
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook
from observe.work.seals import is_sealed, told_sealed


def droppable(logbook: Logbook, seat: Seat) -> str:
    """Whose look at an attempt with two may be given up: not sealed, as far as is known here.

    The second one; of an attempt that two machines planned alike either, since which of them
    stands first is chance. Empty where none may.
    """
    looks = [(seat.second, seat.after_second)]
    if seat.is_planned_twice:
        looks.append((seat.first, seat.after_first))
    for observer, after in looks:
        if seat.second and observer and not after and not _is_done(logbook, seat, observer):
            return observer
    return ""


def held_up(logbook: Logbook, workshop: Workshop) -> Iterator[tuple[Seat, str]]:
    """Attempts that wait for nothing but one look that may be given up, with whose it is."""
    for seat in workshop.seats:
        observer = droppable(logbook, seat)
        others = [one for one in seat.observers if one != observer]
        if observer and all(_is_done(logbook, seat, one) for one in others):
            yield seat, observer


def _is_done(logbook: Logbook, seat: Seat, observer: str) -> bool:
    id_ = seat.observation_of(observer)
    return is_sealed(logbook, id_) or id_ in told_sealed(logbook)


def drop_look(logbook: Logbook, workshop: Workshop, seat: Seat, *, reason: str, by: str) -> None:
    """Give up a look at an attempt, which is then decided by its one other observer.

    Raises Refused without a person and a reason, by the learner, and where the look is sealed.
    """
    _require(workshop, reason, by)
    now = logbook.workshop(workshop.id).seat_of(seat.attempt)
    observer = droppable(logbook, now)
    if not observer:
        raise Refused(
            "There is no second look here that could be given up.",
            where=f"seat {now.number}",
            remedy="What is sealed counts, and what was handed on is sealed by who goes on.",
        )
    _keep(logbook, workshop, now, observer, reason=reason, by=by, dropped=True)


def restore_look(logbook: Logbook, workshop: Workshop, seat: Seat, *, reason: str, by: str) -> None:
    """Take a second look back in that was given up, as when its record comes after all.

    Agreement leaves it out from then on. Raises Refused without a person and a reason, where none
    was given up, and where it was begun on this machine, is not sealed, and the other's marks are
    known here: who went on would know them (rule T3).
    """
    _require(workshop, reason, by)
    now = logbook.workshop(workshop.id).seat_of(seat.attempt)
    if not now.dropped or now.second:
        raise Refused(
            "No second look was given up here.",
            where=f"seat {now.number}",
            remedy="Choose an attempt of which it was.",
        )
    if _would_know(logbook, now, by):
        raise Refused(
            "What the other observer saw is known here, so this look would not be their own.",
            where=f"seat {now.number}",
            remedy="Leave it given up; its marks stay in the record, uncounted.",
        )
    _keep(logbook, workshop, now, now.dropped, reason=reason, by=by, dropped=False)


def _would_know(logbook: Logbook, seat: Seat, by: str) -> bool:
    """Whether whoever took a look up again here would know what the other saw."""
    id_ = seat.observation_of(seat.dropped)
    if _is_done(logbook, seat, seat.dropped):
        return False
    own = logbook.log.devices()
    begun_here = any(one.device in own for one in logbook.log.read(observation=id_))
    shown = all(is_sealed(logbook, seat.observation_of(one)) for one in seat.observers)
    return shown and (begun_here or by == seat.dropped)


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
