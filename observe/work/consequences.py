"""What new events change in what was decided, and in what was issued already (rules T1, D4).

Nothing that was signed or issued is reversed in silence: the signed decision and the sheet stay
what they are, and it is said that they rest on what is otherwise now.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from observe.domain.decision import Outcome
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import AttemptResult, attempt_result, result_digest
from observe.work.logbooks import Logbook


@dataclass(frozen=True, slots=True)
class Signed:
    """A decision that somebody signed, of which the facts are otherwise now.

    was: as it was signed. issued: revision of the sheet that was issued last; 0 for none.
    """

    by: str
    was: str
    at: str
    issued: int


@dataclass(frozen=True, slots=True)
class Consequence:
    """What an attempt comes to now, where that is otherwise than it was.

    before: its outcome; empty for an attempt without one. signed: what stands signed
    otherwise; None where nothing does.
    """

    seat: Seat
    title: str
    before: str
    now: str
    sentence: str
    signed: Signed | None

    @property
    def sentences(self) -> tuple[str, ...]:
        """What changed, and what a person has to do about it."""
        was = f"was {self.before}, " if self.before else ""
        found = [f"Seat {self.seat.number}: {was}now {self.now or 'no decision'}. {self.sentence}"]
        if self.signed is not None:
            sheet = f" Its sheet, revision {self.signed.issued}, stays as it is." * bool(
                self.signed.issued
            )
            found.append(
                f"Seat {self.seat.number} was signed as {self.signed.was} on what is otherwise "
                f"now.{sheet} Look at it in Debrief: sign it anew, or let a person overrule it."
            )
        return tuple(found)

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        return {
            "attempt": self.seat.attempt,
            "before": self.before or None,
            "now": self.now or None,
            "sentence": self.sentence,
            "signed_as": self.signed.was if self.signed else None,
            "sheet": self.signed.issued if self.signed and self.signed.issued else None,
        }


Results = Mapping[str, tuple[Workshop, AttemptResult]]


def results(logbook: Logbook, workshops: Iterable[Workshop]) -> Results:
    """What every attempt comes to now, by its id."""
    return {
        seat.attempt: (workshop, attempt_result(logbook, workshop, seat))
        for workshop in workshops
        for seat in workshop.seats
    }


def consequences(
    logbook: Logbook,
    before: Results,
    after: Results,
) -> tuple[Consequence, ...]:
    """The attempts that come to something else after new events, in the order of `after`."""
    found = []
    for attempt, (workshop, result) in after.items():
        was = before[attempt][1] if attempt in before else None
        same = was is not None and result_digest(was) == result_digest(result)
        if same or (was is None and not result.reveals):
            continue
        found.append(
            Consequence(
                seat=result.seat,
                title=workshop.title,
                before=_said(was.outcome if was else None),
                now=_said(result.outcome),
                sentence=result.sentence,
                signed=signed_otherwise(logbook, result),
            )
        )
    return tuple(found)


def signed_otherwise(logbook: Logbook, result: AttemptResult) -> Signed | None:
    """What stands signed of an attempt on facts that are otherwise now; None if nothing does."""
    attempt = result.seat.attempt
    events = logbook.log.read(attempt=attempt, kinds=("decision-signed", "sheet-issued"))
    signed = [one for one in events if one.kind == "decision-signed"]
    if not signed or signed[-1].body.get("trace") == result_digest(result):
        return None
    last = signed[-1]
    issued = [int(one.body["revision"]) for one in events if one.kind == "sheet-issued"]
    return Signed(last.by, str(last.body["outcome"]), last.stamp.at, max(issued, default=0))


def _said(outcome: Outcome | None) -> str:
    return "" if outcome is None else outcome.value
