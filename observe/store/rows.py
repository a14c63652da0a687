"""An event as a row of the table, and back."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from sqlalchemy import RowMapping

from observe.domain.canonical import canonical
from observe.domain.events import Event, Stamp
from observe.domain.troubles import Doubtful


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
    """The event in a row. Raises `Doubtful` where its body is not what this program wrote."""
    try:
        return event_from(row)
    except ValueError as error:
        raise Doubtful(
            "An event in the logbook cannot be read; the file was changed by something else.",
            where=f"event {row['device']}/{row['seq']}",
            remedy="“observe verify” on the logbook says how far it is sound.",
        ) from error


def event_from(columns: Mapping[Any, Any]) -> Event:
    """The event in named columns. Raises ValueError where the body is no JSON object."""
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
