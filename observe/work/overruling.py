"""Keeping that a director overruled a decision, and why (rule D4)."""

from __future__ import annotations

from observe.domain.choices import OVER
from observe.domain.decision import Outcome
from observe.domain.events import Draft, Event
from observe.domain.overruling import Overruling, require_may_overrule
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import attempt_result, decided_digest
from observe.work.logbooks import Logbook
from observe.work.rulings import concerned, standing_overrulings


def overrule(
    logbook: Logbook, workshop: Workshop, seat: Seat, outcome: Outcome, *, reason: str, by: str
) -> Event:
    """Overrule the decision of an attempt as it is now. The decision has to be signed anew.

    Raises Refused for who may not, without a reason, and where there is no such decision.
    """
    result = attempt_result(logbook, workshop, seat)
    now = result.outcome if result.overruled is None else result.decided
    require_may_overrule(now, outcome, concerned(workshop, seat), by)
    if not reason.strip():
        raise Refused(
            "Overruling needs its reason.", remedy="Say in a sentence why; it is on the sheet."
        )
    rests_on = decided_digest(result)
    known = [one.event for one in standing_overrulings(logbook, workshop, seat, rests_on)]
    body = Overruling(outcome, rests_on).as_record()
    draft = Draft(
        "overruled",
        {**body, OVER: known} if known else body,
        workshop=workshop.id,
        attempt=seat.attempt,
        by=by,
        texts={"reason": reason.strip()},
    )
    return logbook.append([draft])[0]
