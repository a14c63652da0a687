"""Incidents of a workshop: what happened that belongs to no score, decision or sheet."""

from __future__ import annotations

from dataclasses import dataclass

from observe.domain.events import Draft
from observe.domain.troubles import Refused
from observe.domain.workshop import Workshop
from observe.work.logbooks import Logbook

KIND = "incident-noted"


@dataclass(frozen=True, slots=True)
class Incident:
    """One incident. at: ISO 8601. by: who noted it. attempt: empty if it concerns none.

    text: None where it was erased.
    """

    event: str
    at: str
    by: str
    attempt: str
    text: str | None


def note_incident(
    logbook: Logbook, workshop: Workshop, by: str, text: str, *, attempt: str = ""
) -> Incident:
    """Keep a note of an incident, apart from every observation; its text stands beside it.

    attempt: which one it concerns, if any; also one that is sealed. Raises Refused for an
    empty note and for an attempt that is not in the workshop.
    """
    written = text.strip()
    if not written:
        raise Refused("An incident needs words.", remedy="Say what happened.")
    if attempt and attempt not in {seat.attempt for seat in workshop.seats}:
        raise Refused(
            "This workshop has no such attempt.",
            remedy="Choose one of its learners, or note it for the workshop.",
        )
    draft = Draft(KIND, workshop=workshop.id, attempt=attempt, by=by, texts={"text": written})
    (event,) = logbook.append([draft])
    return Incident(event.id, event.stamp.at, by, attempt, written)


def incidents(logbook: Logbook, workshop: Workshop) -> tuple[Incident, ...]:
    """The incidents noted in a workshop, oldest first."""
    events = logbook.log.read(workshop=workshop.id, kinds=(KIND,))
    texts = logbook.log.texts(events)
    return tuple(
        Incident(one.id, one.stamp.at, one.by, one.attempt, texts.get((one.id, "text")))
        for one in events
    )
