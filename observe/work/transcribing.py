"""Typing a paper in: the observer is who watched, each event is by who types (rule D2)."""

from __future__ import annotations

from dataclasses import replace

from observe.domain import gestures
from observe.domain.transcript import Transcript
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook
from observe.work.session import Change, Session, opening_draft


def open_transcription(
    logbook: Logbook,
    workshop: Workshop,
    seat: Seat,
    *,
    watched_by: str,
    typist: str,
    date: str = "",
    start: str = "",
) -> Session:
    """Open, or resume, the typing of an observer's paper of the attempt at a seat.

    watched_by: who marked the paper at the time. typist: who types; it may be the
    same person. date: "2026-03-02"; start: "09:40", local; empty where the paper has
    none. No clock runs; a mark has a time only where the paper has one. Raises
    Refused where the attempt was marked live or handed over, is sealed, or was
    planned for others.
    """
    _require_people(logbook, seat, watched_by, typist)
    paper = _paper(watched_by, date, start)
    observation = seat.observation_of(watched_by)
    events = logbook.observation(observation)
    if not events:
        opening = opening_draft(logbook, workshop, seat, watched_by, observation)
        typed = replace(opening, body={**opening.body, **paper.as_record()}, by=typist)
        events = list(logbook.append([typed]))
    session = Session(logbook, workshop, seat, events, typist=typist)
    if not session.state.is_typed:
        session.do(gestures.begin_transcription, paper)
    return session


def mark_live_again(typing: Session, reason: str) -> Change:
    """Open a typed observation for marking live; what was typed stays, and says so.

    Afterwards the observer's room is to be opened anew. Raises Refused without a
    reason, or where nothing is being typed.
    """
    return typing.do(gestures.mark_live_again, reason)


def _require_people(logbook: Logbook, seat: Seat, watched_by: str, typist: str) -> None:
    if watched_by not in seat.observers:
        raise Refused(
            "This attempt was planned for another observer.",
            where=f"seat {seat.number}",
            remedy="Choose who watched it, or plan it for them first.",
        )
    if typist not in logbook.names():
        raise Refused("Nobody of that name is known here.", where=typist, remedy="Add them first.")


def _paper(watched_by: str, date: str, start: str) -> Transcript:
    try:
        return Transcript(watched_by, date, start)
    except ValueError as error:
        raise Refused(
            "Date and time of the paper cannot be read.",
            where=f"{date} {start}".strip(),
            remedy="Write the date as 2026-03-02 and the time as 09:40, or leave them out.",
        ) from error
