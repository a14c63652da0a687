"""Observations as plain dicts, in the words of the reference: from the disk, or as shown."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from observe.domain.observation import Observation, fold
from observe.work.logbooks import Logbook, open_logbook
from observe.work.session import Room

Seen = dict[tuple[str, str], dict[str, Any]]


def plain(logbook: Logbook, state: Observation) -> dict[str, Any]:
    """One observation, without anything of the program's own."""
    marks = {step: state.mark(step) for step in state.board.placed}
    board = state.board

    def text(event: str, field: str) -> str:
        return logbook.log.text(event, field) or ""

    return {
        "marks": {id: (one.state.value, one.prompt, one.voiced) for id, one in marks.items()},
        "front": board.front,
        "at": board.at,
        "claims": set(board.claims),
        "criticals": [
            (one.item, one.verdict.value if one.verdict else None) for one in state.occurrences
        ],
        "reasons": {step: text(event, "reason") for step, event in state.reasons.items()},
        "texts": {slot: text(event, "text") for slot, event in state.texts.items()},
        "overall": state.overall,
        "running": state.clock.is_running,
        "stopped": state.stopped is not None,
        "void": bool(state.void),
        "sealed": state.sealed is not None,
        "handed": state.handed is not None,
    }


def on_disk(path: Path, observers: tuple[str, ...]) -> tuple[Seen, dict[str, int], set[str]]:
    """Every observation folded anew, every seat by number, and who is not here."""
    seen: Seen = {}
    with open_logbook(path) as logbook:
        (workshop,) = logbook.workshops().values()
        names = logbook.names()
        for observer in observers:
            for session in Room(logbook, workshop, observer).every:
                events = logbook.observation(session.state.id)
                state = fold(events, logbook.ground(workshop, session.seat))
                seen[observer, names[session.seat.learner]] = plain(logbook, state)
        seats = {names[seat.learner]: seat.number for seat in workshop.seats}
        absent = {names[seat.learner] for seat in workshop.seats if seat.absent}
    return seen, seats, absent


def live_and_folded(room: Room) -> tuple[list[Observation], list[Observation]]:
    """The state of each session as it is held, and as it folds from what is on the disk."""
    logbook = room.logbook
    held = [session.state for session in room.every]
    folded = [
        fold(logbook.observation(one.state.id), logbook.ground(one.workshop, one.seat))
        for one in room.every
    ]
    return held, folded
