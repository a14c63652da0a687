"""One number for all that a logbook comes to, alike on every machine that knows the same."""

from __future__ import annotations

from typing import Any

from observe.domain.canonical import digest
from observe.domain.turns import JUMPING
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import attempt_result, result_digest
from observe.work.logbooks import Logbook

BOOKKEEPING = JUMPING | {"packet-sent"}
"""What each machine notes of its own packets."""


def state_digest(logbook: Logbook) -> str:
    """SHA-256 over everything that follows from the log, and over what it follows from.

    Left out is only what each machine notes of its own packets. Two logbooks with the same
    number show the same workshops, names, marks, decisions and forks.
    """
    events = [
        [event.id, event.hash] for event in logbook.log.read() if event.kind not in BOOKKEEPING
    ]
    forks = logbook.log.forks()
    return digest(
        {
            "events": events,
            "names": dict(logbook.names()),
            "forms": [one.digest for one in sorted(logbook.log.forms())],
            "forks": [[one.device, one.seq, list(one.hashes), one.adopted] for one in forks],
            "workshops": {
                id_: _workshop(logbook, one) for id_, one in sorted(logbook.workshops().items())
            },
        }
    )


def _workshop(logbook: Logbook, workshop: Workshop) -> dict[str, Any]:
    seats = {seat.attempt: _seat(logbook, workshop, seat) for seat in workshop.seats}
    return {"title": workshop.title, "observers": list(workshop.observers), "seats": seats}


def _seat(logbook: Logbook, workshop: Workshop, seat: Seat) -> dict[str, Any]:
    return {
        "place": [seat.room, seat.number],
        "watches": [list(watch) for watch in seat.watches],
        "absent": seat.absent,
        "result": result_digest(attempt_result(logbook, workshop, seat)),
    }
