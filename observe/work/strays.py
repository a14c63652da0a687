"""Records by somebody who does not watch the attempt in the plan: kept, shown, not counted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from observe.domain.words import counted
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook


@dataclass(frozen=True, slots=True)
class Stray:
    """An observation that no seat counts. seat: None for an attempt that is not planned here.

    marks: how many were set. given_up: whether it is the second look that was given up.
    """

    attempt: str
    seat: Seat | None
    observer: str
    marks: int
    given_up: bool

    def sentence(self, name: str) -> str:
        """What lies there, and why it does not count. name: the observer's."""
        where = f"seat {self.seat.number}" if self.seat else "an attempt that is not planned here"
        why = (
            "whose second look was given up"
            if self.given_up
            else "who does not watch it in the plan"
        )
        return f"{name}, {why}, set {counted(self.marks, 'mark')} at {where}: they do not count."


def strays(logbook: Logbook, workshop: Workshop) -> Iterator[Stray]:
    """The observations with marks that no seat of a workshop counts, in the order of events."""
    kept = {seat.observation_of(one) for seat in workshop.seats for one in seat.observers}
    seats = {attempt: seat for seat in workshop.seats for attempt in seat.attempts}
    read = logbook.log.read(workshop=workshop.id, kinds=("observation-opened",))
    left = {one.observation: one for one in read if one.observation not in kept}
    for id_, event in left.items():
        if event.body.get("role", "faculty") != "faculty":
            continue
        marks = sum(one.kind == "mark-set" for one in logbook.log.read(observation=id_))
        seat = seats.get(event.attempt)
        if marks:
            gone = seat is not None and seat.dropped == event.by
            yield Stray(event.attempt, seat, event.by, marks, gone)
