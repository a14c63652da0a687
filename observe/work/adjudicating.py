"""Adjudication: which attempts wait for a third person, and keeping what they rule (rule T1)."""

from __future__ import annotations

from dataclasses import replace

from observe.domain.adjudication import Ruling, require_complete, require_may_adjudicate
from observe.domain.choices import OVER
from observe.domain.events import Draft, Event
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import AttemptResult, attempt_result, facts_digest
from observe.work.logbooks import Logbook
from observe.work.rulings import concerned, standing_rulings


def waiting(logbook: Logbook, workshop: Workshop) -> tuple[AttemptResult, ...]:
    """The attempts on which a third person has to decide, in seat order."""
    results = (attempt_result(logbook, workshop, seat) for seat in workshop.seats if seat.second)
    return tuple(one for one in results if needs_adjudication(one))


def needs_adjudication(result: AttemptResult) -> bool:
    """Whether a third person has to decide on an attempt."""
    return result.pairing is not None and result.pairing.needs_adjudication


def adjudicate(
    logbook: Logbook,
    workshop: Workshop,
    seat: Seat,
    ruling: Ruling,
    *,
    reason: str,
    no_conflict: bool,
) -> Event:
    """Keep what a third person rules on an attempt as it is now, with the reason.

    ruling: by whom, and what; it comes to rest on the facts as they are. no_conflict: whether
    they declare that no interest is in the way. Raises Refused for who may not, without a
    reason, and for a ruling that leaves open what it has to decide.
    """
    result = attempt_result(logbook, workshop, seat)
    require_may_adjudicate(
        result.pairing, concerned(workshop, seat), ruling.by, no_conflict=no_conflict
    )
    if not reason.strip():
        raise Refused(
            "A ruling needs its reason.", remedy="Say in a sentence what decided it; it is kept."
        )
    first, second = (one.evidence for one in result.reveals)
    if result.pairing is not None:
        require_complete(result.pairing, first, second, ruling)
    facts = facts_digest(result.reveals)
    body = replace(ruling, rests_on=facts).as_record()
    known = [one.event for one in standing_rulings(logbook, workshop, seat, facts)]
    draft = Draft(
        "adjudicated",
        {**body, OVER: known} if known else body,
        workshop=workshop.id,
        attempt=seat.attempt,
        by=ruling.by,
        texts={"reason": reason.strip()},
    )
    return logbook.append([draft])[0]
