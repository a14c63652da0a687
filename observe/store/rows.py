"""An event as a row of the table, and back."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from observe.domain.canonical import canonical
from observe.domain.events import Event, Stamp
from observe.domain.troubles import Doubtful

_KINDS: dict[str, type] = {
    "device": str,
    "seq": int,
    "kind": str,
    "version": int,
    "gesture": str,
    "part": int,
    "workshop": str,
    "attempt": str,
    "observation": str,
    "by_": str,
    "at": str,
    "monotonic_ns": int,
    "boot": str,
    "body": str,
    "prev": str,
    "hash": str,
}
COLUMNS = tuple(_KINDS)
"""What a row says of its event, in order."""

TYPES = tuple(_KINDS.values())
"""What each column holds."""


def row_of(one: Event) -> dict[str, Any]:
    """The columns of an event; the position is the table's to give."""
    return {
        "device": one.device,
        "seq": one.seq,
        "kind": one.kind,
        "version": one.version,
        "gesture": one.gesture,
        "part": one.part,
        "workshop": one.workshop,
        "attempt": one.attempt,
        "observation": one.observation,
        "by_": one.by,
        "at": one.stamp.at,
        "monotonic_ns": one.stamp.monotonic_ns,
        "boot": one.stamp.boot,
        "body": canonical(one.body).decode("utf-8"),
        "prev": one.prev,
        "hash": one.hash,
    }


def event_of(row: Sequence[Any]) -> Event:
    """The event in a row of `COLUMNS`. Raises `Doubtful` where the program wrote no such row."""
    try:
        return event_from(row)
    except (ValueError, RecursionError) as error:
        raise unreadable(f"event {row[0]}/{row[1]}") from error


def event_from(columns: Sequence[Any]) -> Event:
    """The event in the values of `COLUMNS`. Raises ValueError where they are no event."""
    if tuple(map(type, columns)) != TYPES:
        raise ValueError("a column is stored as something else")
    device, seq, kind, version, gesture, part, workshop, attempt, observation, by = columns[:10]
    at, monotonic_ns, boot, written, prev, hash_ = columns[10:]
    body = json.loads(written)
    if not isinstance(body, dict):
        raise ValueError("the body of an event is no object")  # noqa: TRY004 - one error for all
    return Event(
        device=device,
        seq=seq,
        kind=kind,
        version=version,
        gesture=gesture,
        part=part,
        workshop=workshop,
        attempt=attempt,
        observation=observation,
        by=by,
        stamp=Stamp(at, monotonic_ns, boot),
        body=body,
        prev=prev,
        hash=hash_,
    )


def text_of(stored: object, where: str) -> str:
    """A stored text. Raises `Doubtful` where the file holds something else in its place."""
    if not isinstance(stored, str):
        raise unreadable(where)
    return stored


def unreadable(where: str) -> Doubtful:
    """What is said of a row that the program cannot have written."""
    return Doubtful(
        "A part of the logbook cannot be read; something else has changed the file.",
        where=where,
        remedy="“observe verify” on the logbook says how far it is sound.",
    )
