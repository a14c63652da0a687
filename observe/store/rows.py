"""An event as a row of the table, and back."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from sqlalchemy import RowMapping

from observe.domain.canonical import canonical
from observe.domain.events import Event, Stamp
from observe.domain.troubles import Doubtful
from observe.store.tables import event as table

_TYPES = tuple((one.name, one.type.python_type) for one in table.c if one.name != "position")


def row_of(event: Event) -> dict[str, Any]:
    """The columns of an event; the position is the table's to give."""
    return {
        "device": event.device,
        "seq": event.seq,
        "kind": event.kind,
        "version": event.version,
        "gesture": event.gesture,
        "part": event.part,
        "workshop": event.workshop,
        "attempt": event.attempt,
        "observation": event.observation,
        "by_": event.by,
        "at": event.stamp.at,
        "monotonic_ns": event.stamp.monotonic_ns,
        "boot": event.stamp.boot,
        "body": canonical(event.body).decode("utf-8"),
        "prev": event.prev,
        "hash": event.hash,
    }


def event_of(row: RowMapping) -> Event:
    """The event in a row. Raises `Doubtful` where it is not how this program writes one."""
    try:
        return event_from(row)
    except (ValueError, RecursionError) as error:
        raise unreadable(f"event {row['device']}/{row['seq']}") from error


def event_from(columns: Mapping[Any, Any]) -> Event:
    """The event in named columns. Raises ValueError where they are no event."""
    for name, kind in _TYPES:
        if type(columns[name]) is not kind:
            raise ValueError(f"{name} is stored as something else")
    body = json.loads(columns["body"])
    if not isinstance(body, dict):
        raise ValueError("the body of an event is no object")  # noqa: TRY004 - one error for all
    return Event(
        device=columns["device"],
        seq=columns["seq"],
        kind=columns["kind"],
        version=columns["version"],
        gesture=columns["gesture"],
        part=columns["part"],
        workshop=columns["workshop"],
        attempt=columns["attempt"],
        observation=columns["observation"],
        by=columns["by_"],
        stamp=Stamp(columns["at"], columns["monotonic_ns"], columns["boot"]),
        body=body,
        prev=columns["prev"],
        hash=columns["hash"],
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
