"""Which sheets left, read from the logbook: revisions, later signatures, what became of each.

A sheet's file is known by the digest of its bytes, its content by the digest of its record,
whose first digits are the code that is printed on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from observe.domain.canonical import digest
from observe.domain.events import Event
from observe.domain.troubles import BadInput
from observe.domain.workshop import Seat, Workshop

if TYPE_CHECKING:
    from observe.work.logbooks import Logbook

CODE = 12
"""Hexadecimal digits of a record's digest that are its code."""
ISSUED, COUNTERSIGNED = "sheet-issued", "sheet-countersigned"
ACKNOWLEDGED, HANDLED = "sheet-acknowledged", "sheet-handled"
KINDS = (ISSUED, COUNTERSIGNED, ACKNOWLEDGED, HANDLED)


class Handled(StrEnum):
    """What became of a sheet."""

    PRINTED = "printed"
    HANDED_OVER = "handed over"


@dataclass(frozen=True, slots=True)
class Issued:
    """One revision of an attempt's sheet.

    record: digest of its record; empty for one of an early version. upto, rests_on: the events it
    rests on, as `state_of` has them. files: digests of the file as
    it was issued and after each later signature, in turn. signed: in what parts it was signed
    later, by whom. printed, handed, acknowledged: when it was; empty if not. event: its id.
    """

    workshop: str
    attempt: str
    revision: int
    record: str
    files: tuple[str, ...]
    by: str
    at: str
    event: str
    upto: Mapping[str, int] = field(default_factory=dict)
    rests_on: str = ""
    signed: tuple[tuple[str, str], ...] = ()
    printed: str = ""
    handed: str = ""
    acknowledged: str = ""

    @property
    def code(self) -> str:
        """The code that is printed on it; empty where its record's digest was not kept."""
        from observe.sheets.record import code_of

        return code_of(self.record)


def issued(logbook: Logbook, attempt: str = "") -> tuple[Issued, ...]:
    """Every revision of every sheet, or of one attempt's, oldest first."""
    found: dict[tuple[str, int], Issued] = {}
    for event in logbook.log.read(attempt=attempt or None, kinds=KINDS):
        key = (event.attempt, int(event.body["revision"]))
        if event.kind == ISSUED:
            found[key] = _first(event)
        elif key in found:
            found[key] = _later(found[key], event)
    return tuple(found.values())


def _first(event: Event) -> Issued:
    body = event.body
    return Issued(
        workshop=event.workshop,
        attempt=event.attempt,
        revision=int(body["revision"]),
        record=str(body.get("record", "")),
        files=(str(body["sha256"]),),
        by=event.by,
        at=event.stamp.at,
        event=event.id,
        upto=dict(body.get("upto", {})),
        rests_on=str(body.get("rests_on", "")),
    )


def _later(sheet: Issued, event: Event) -> Issued:
    at = event.stamp.at
    if event.kind == COUNTERSIGNED:
        files = (*sheet.files, str(event.body["sha256"]))
        signed = (*sheet.signed, (str(event.body["part"]), event.by))
        return replace(sheet, files=files, signed=signed)
    if event.kind == ACKNOWLEDGED:
        return replace(sheet, acknowledged=sheet.acknowledged or at)
    if event.body.get("way") == Handled.PRINTED.value:
        return replace(sheet, printed=sheet.printed or at)
    return replace(sheet, handed=sheet.handed or at)


def latest(sheets: Iterable[Issued]) -> Mapping[str, Issued]:
    """By attempt the newest revision."""
    found: dict[str, Issued] = {}
    for one in sheets:
        if one.attempt not in found or found[one.attempt].revision <= one.revision:
            found[one.attempt] = one
    return found


def find_code(logbook: Logbook, typed: str) -> Issued:
    """The sheet that a code is printed on, typed in any case and with any gaps.

    Raises BadInput for what is no code, and where no sheet of this logbook has it.
    """
    digits = "".join(typed.lower().split()).replace("-", "")
    if len(digits) < CODE or any(one not in "0123456789abcdef" for one in digits):
        raise BadInput(
            "This is no code of a sheet.",
            where=typed,
            remedy=f"A code has {CODE} figures and letters a to f; it is at the foot of each page.",
        )
    found = [one for one in issued(logbook) if one.record.startswith(digits)]
    if not found:
        raise BadInput(
            "No sheet that this logbook knows has this code.",
            where=typed,
            remedy="Check the digits; or ask where the sheet was made.",
        )
    return found[-1]


def held_since(logbook: Logbook, sheet: Issued, digest: str) -> datetime | None:
    """Since when this machine knows of a file of a sheet, by its own clock; None if it does not.

    A sheet made elsewhere is known since the packet that told of it was taken in (rule K1).
    """
    own = logbook.log.devices()
    events = logbook.log.read(attempt=sheet.attempt, kinds=(ISSUED, COUNTERSIGNED))
    event = next((one for one in events if one.body.get("sha256") == digest), None)
    if event is None:
        return None
    if event.device in own:
        return datetime.fromisoformat(event.stamp.at)
    for note in logbook.log.read(kinds=("packet-merged",)):
        head = note.body.get("heads", {}).get(event.device)
        gaps = note.body.get("gaps", {}).get(event.device, ())
        inside = head and event.seq <= head[0] and not any(a <= event.seq <= b for a, b in gaps)
        if note.device in own and inside:
            return datetime.fromisoformat(note.stamp.at)
    return None


class Lack(StrEnum):
    """What is still to be done before a learner has their sheet."""

    SEAL = "not sealed by all"
    SIGN = "decision not signed"
    ISSUE = "no sheet yet"
    AGAIN = "sheet is of an earlier state"
    HAND = "not handed over"
    READ = "not acknowledged"
    NOTHING = "done"


def lacking(logbook: Logbook, workshop: Workshop) -> tuple[tuple[Seat, Lack], ...]:
    """For each learner who was there, in seat order, what is still to be done today."""
    newest = latest(issued(logbook))
    return tuple(
        (seat, _lack(logbook, workshop, seat, newest.get(seat.attempt)))
        for seat in workshop.seats
        if not seat.absent
    )


def _lack(logbook: Logbook, workshop: Workshop, seat: Seat, sheet: Issued | None) -> Lack:
    from observe.work.debrief import attempt_result, standing_signature

    result = attempt_result(logbook, workshop, seat)
    if not result.reveals:
        return Lack.SEAL
    if result.outcome is not None and standing_signature(logbook, result) is None:
        return Lack.SIGN
    if sheet is None:
        return Lack.ISSUE
    if changes_since(logbook, seat, sheet):
        return Lack.AGAIN
    if not sheet.handed:
        return Lack.HAND
    return Lack.NOTHING if sheet.acknowledged else Lack.READ


_CHANGES: Mapping[str, str] = {
    "amended": "what was recorded was amended after the seal",
    "adjudicated": "a third person ruled where the observers differed",
    "writer-chosen": "it was chosen which of two machines' marks count",
    "voided": "the attempt was declared void",
    "same-attempt": "another observer's record was joined to this attempt",
    "handed-over": "the watch was handed on",
    "look-dropped": "the planned second look was given up, or taken back in",
    "sealed": "another observer sealed",
    "text-written": "the observer's words were changed",
    "decision-signed": "the decision was signed anew",
    "retest-agreed": "a day to show it again was agreed",
    "overruled": "a director overruled the decision",
    "reattributed": "the record was found to be another learner's",
}


def rests_on(logbook: Logbook, seat: Seat) -> list[Event]:
    """The events that an attempt's sheet rests on.

    Incidents, what learners say on their own screen, and what became of the sheet stand on no
    sheet.
    """
    from observe.work.incidents import KIND as INCIDENT
    from observe.work.retest import CLOSED
    from observe.work.seals import KIND as SEAL_TOLD

    watched = {seat.observation_of(one) for one in seat.observers}
    left = {INCIDENT, SEAL_TOLD, CLOSED, *KINDS}
    return [
        event
        for attempt in seat.attempts
        for event in logbook.log.read(attempt=attempt)
        if event.kind not in left and event.observation in {"", *watched}
    ]


def state_of(events: Iterable[Event]) -> dict[str, Any]:
    """What a sheet's event keeps of the events it rests on; no clock orders them (rule E2)."""
    upto: dict[str, int] = {}
    hashes = []
    for event in events:
        upto[event.device] = max(upto.get(event.device, 0), event.seq)
        hashes.append(event.hash)
    return {"upto": upto, "rests_on": digest(sorted(hashes))}


def changes_since(logbook: Logbook, seat: Seat, sheet: Issued) -> tuple[str, ...]:
    """What came to an attempt since its sheet was issued, in words; empty if nothing."""
    events = rests_on(logbook, seat)
    if state_of(events)["rests_on"] == sheet.rests_on:
        return ()
    new = [event for event in events if event.seq > sheet.upto.get(event.device, 0)]
    said = dict.fromkeys(_CHANGES[one.kind] for one in new if one.kind in _CHANGES)
    if len(said) > 1:  # Signing anew follows from the rest.
        said.pop(_CHANGES["decision-signed"], None)
    return tuple(said) or ("more was recorded",)
