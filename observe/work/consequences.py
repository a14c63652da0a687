"""What new events change in what was decided, and in what was issued already (rules T1, D4).

Nothing that was signed or issued is reversed in silence: the signed decision and the sheet stay
what they are, and it is said that they rest on what is otherwise now.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
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

    title: of the workshop; learner: the name. before: its outcome; empty for an attempt without
    one. signed: what stands signed otherwise.
    """

    seat: Seat
    title: str
    learner: str
    before: str
    now: str
    sentence: str
    signed: tuple[Signed, ...] = ()

    @property
    def sentences(self) -> tuple[str, ...]:
        """What changed, and what a person has to do about it."""
        was = f"was {self.before}, " if self.before else ""
        place = f"{self.title}, seat {self.seat.number}, {self.learner}"
        found = [f"{place}: {was}now {self.now or 'no decision'}. {self.sentence}"]
        for one in self.signed:
            sheet = f" Its sheet, revision {one.issued}, stays as it is." if one.issued else ""
            found.append(
                f"{place}: signed as {one.was} on what is otherwise now.{sheet} Look at it in "
                "Debrief: sign it anew, or let a person overrule it."
            )
        return tuple(found)

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        return {
            "attempt": self.seat.attempt,
            "before": self.before or None,
            "now": self.now or None,
            "sentence": self.sentence,
            "signed": [
                {"by": one.by, "as": one.was, "sheet": one.issued or None} for one in self.signed
            ],
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
    names: Mapping[str, str],
) -> tuple[Consequence, ...]:
    """The attempts that come to something else after new events, in the order of `after`.

    Those that only a tail of a fork plans now come last.
    """
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
                learner=names.get(result.seat.learner, result.seat.learner),
                before=_said(was.outcome if was else None),
                now=_said(result.outcome),
                sentence=result.sentence,
                signed=signed_otherwise(logbook, result),
            )
        )
    return (*found, *_gone(before, after, names))


def _gone(before: Results, after: Results, names: Mapping[str, str]) -> Iterator[Consequence]:
    """Attempts that only a tail of a fork plans now (rule E5)."""
    known = {attempt for _, result in after.values() for attempt in result.seat.attempts}
    for attempt, (workshop, was) in before.items():
        if attempt not in known:
            yield Consequence(
                seat=was.seat,
                title=workshop.title,
                learner=names.get(was.seat.learner, was.seat.learner),
                before=_said(was.outcome),
                now="",
                sentence=_APART,
            )


_APART = "Only a tail of a fork plans it: nothing of it counts until a person adopts that tail."


def signed_otherwise(logbook: Logbook, result: AttemptResult) -> tuple[Signed, ...]:
    """What stands signed of an attempt on facts that are otherwise now; nothing if it was renewed.

    More than one where an attempt that was joined to it had been signed by itself.
    """
    now = result_digest(result)
    found = []
    for attempt in result.seat.attempts:
        events = logbook.log.read(attempt=attempt, kinds=("decision-signed", "sheet-issued"))
        signed = [one for one in events if one.kind == "decision-signed"]
        if not signed:
            continue
        last = signed[-1]
        if last.body.get("trace") == now:
            return ()
        issued = [int(one.body["revision"]) for one in events if one.kind == "sheet-issued"]
        outcome = str(last.body["outcome"])
        found.append(Signed(last.by, outcome, last.stamp.at, max(issued, default=0)))
    return tuple(found)


def _said(outcome: Outcome | None) -> str:
    return "" if outcome is None else outcome.value
