"""The day on which a learner shows the procedure again after remediation, as it was agreed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from observe.domain.decision import Outcome
from observe.domain.events import Draft
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import AttemptResult
from observe.work.logbooks import Logbook

KIND = "retest-agreed"
LONGEST = 120


@dataclass(frozen=True, slots=True)
class Retest:
    """day: ISO. where: time and place in words; empty if none were kept, or they were erased."""

    day: str
    where: str
    by: str


def agree(
    logbook: Logbook, workshop: Workshop, result: AttemptResult, day: str, where: str, *, by: str
) -> Retest:
    """Keep the day that was agreed with a learner; a later one takes the place of an earlier.

    day: ISO. where: time and place, as they are to stand on the sheet. Raises Refused where
    nothing was decided for remediation, for what is no day, and for one before the attempt.
    """
    if result.outcome is not Outcome.REMEDIATE:
        raise Refused(
            "A day is agreed after remediation alone.", remedy="This attempt was decided otherwise."
        )
    written, said = day.strip(), " ".join(where.split())
    try:
        same = date.fromisoformat(written).isoformat() == written
    except ValueError:
        same = False
    if not same:
        raise Refused(f"“{written}” is no day.", remedy="Write it as 2026-03-26.")
    if written < workshop.date:
        raise Refused(
            f"That day is before the attempt, which was on {workshop.date}.",
            remedy="Name a later one.",
        )
    if len(said) > LONGEST:
        raise Refused(
            f"Time and place take more than {LONGEST} letters.", remedy="Say it in fewer."
        )
    texts = {"where": said} if said else {}
    draft = Draft(KIND, {"day": written}, workshop.id, result.seat.attempt, by=by, texts=texts)
    logbook.append([draft])
    return Retest(written, said, by)


def agreed(logbook: Logbook, seat: Seat) -> Retest | None:
    """What was agreed last; None if nothing was."""
    events = [
        one for name in seat.attempts for one in logbook.log.read(attempt=name, kinds=(KIND,))
    ]
    if not events:
        return None
    last = events[-1]
    where = logbook.log.text(last.id, "where") or ""
    return Retest(str(last.body["day"]), where, last.by)
