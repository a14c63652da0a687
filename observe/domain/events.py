"""Events: what happened, append-only, each bound to the one before it (rules E1, E2, E4)."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from observe.domain.canonical import canonical, digest

Body = Mapping[str, Any]

FIRST = "0" * 64
"""What the first event of a device names as its predecessor."""

KINDS: Mapping[str, int] = {
    "device-named": 1,
    "person-named": 1,
    "workshop-planned": 1,
    "attempt-planned": 1,
    "station-recorded": 1,
    "form-added": 1,
    "seats-arranged": 1,
    "absence-noted": 1,
    "incident-noted": 1,
    "cue-turned": 1,
    "observation-opened": 1,
    "variant-chosen": 1,
    "clock-started": 1,
    "clock-paused": 1,
    "mark-set": 1,
    "moved-to": 1,
    "order-claimed": 1,
    "critical-recorded": 1,
    "critical-named": 1,
    "critical-classified": 1,
    "time-called": 1,
    "taken-back": 1,
    "put-back": 1,
    "reason-given": 1,
    "overall-given": 1,
    "dimension-given": 1,
    "independence-given": 1,
    "watch-attested": 1,
    "text-written": 1,
    "safety-stopped": 1,
    "safety-lifted": 1,
    "voided": 1,
    "looked": 1,
    "look-suggested": 1,
    "handed-over": 1,
    "look-dropped": 1,
    "transcription-begun": 1,
    "transcription-ended": 1,
    "time-typed": 1,
    "sealed": 1,
    "amended": 1,
    "decision-signed": 1,
    "sheet-issued": 1,
    "sheet-countersigned": 1,
    "sheet-acknowledged": 1,
    "sheet-handled": 1,
    "report-issued": 1,
    "seal-told": 1,
    "packet-sent": 1,
    "packet-merged": 1,
    "fork-adopted": 1,
    "writer-chosen": 1,
    "same-learner": 1,
    "same-attempt": 1,
    "adjudicated": 1,
    "overruled": 1,
    "retest-agreed": 1,
    "remediation-closed": 1,
    "reattributed": 1,
    "key-requested": 1,
    "key-answered": 1,
    "keys-revoked": 1,
    "standard-approved": 1,
    "standard-withdrawn": 1,
}
"""Every kind this program writes, with the newest version it reads."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """When something happened.

    at: UTC, ISO 8601 with offset, milliseconds. monotonic_ns: the machine's
    monotonic reading, good within one `boot` only.
    """

    at: str
    monotonic_ns: int
    boot: str


@dataclass(frozen=True, slots=True)
class Draft:
    """An event before the log has given it its place.

    texts: names and free text by field; they stand beside the event, which
    holds only a salted commitment to each (rule E4).
    """

    kind: str
    body: Body = field(default_factory=dict)
    workshop: str = ""
    attempt: str = ""
    observation: str = ""
    by: str = ""
    texts: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Event:
    """One event in its place.

    Key: (device, seq), seq from 1 without gaps. gesture and part: the random id
    of the tap that made it and its place within that tap; unique together, so a
    repeated tap is harmless. prev: hash of the device's previous event.
    """

    device: str
    seq: int
    kind: str
    version: int
    gesture: str
    part: int
    workshop: str
    attempt: str
    observation: str
    by: str
    stamp: Stamp
    body: Body
    prev: str
    hash: str

    @property
    def id(self) -> str:
        return f"{self.device}/{self.seq}"


def sealed_event(
    draft: Draft,
    *,
    device: str,
    seq: int,
    prev: str,
    gesture: str,
    part: int,
    stamp: Stamp,
    commitments: Mapping[str, str],
) -> Event:
    """The event a draft becomes in its place, with its hash."""
    body = dict(draft.body)
    if commitments:
        body["texts"] = dict(commitments)
    event = Event(
        device=device,
        seq=seq,
        kind=draft.kind,
        version=KINDS[draft.kind],
        gesture=gesture,
        part=part,
        workshop=draft.workshop,
        attempt=draft.attempt,
        observation=draft.observation,
        by=draft.by,
        stamp=stamp,
        body=json.loads(canonical(body)),
        prev=prev,
        hash="",
    )
    return replace(event, hash=hash_of(event))


def content(event: Event) -> dict[str, Any]:
    """What an event's hash covers: everything but the hash itself."""
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
        "by": event.by,
        "at": event.stamp.at,
        "monotonic": str(event.stamp.monotonic_ns),
        "boot": event.stamp.boot,
        "body": event.body,
        "prev": event.prev,
    }


def hash_of(event: Event) -> str:
    """SHA-256 over the canonical JSON of the event's content."""
    return digest(content(event))


def commitment(text: str, salt: str) -> str:
    """What an event holds of a text beside it: SHA-256 over salt, a zero byte and the text."""
    return hashlib.sha256(salt.encode("ascii") + b"\x00" + text.encode("utf-8")).hexdigest()


LIFTS: Mapping[tuple[str, int], Callable[[Body], Body]] = {}
"""From (kind, old version) to the body of the next version. Stored rows never change."""


def is_newer(event: Event) -> bool:
    """Whether this program cannot read the event: unknown kind or version (rule E1)."""
    return not 1 <= event.version <= KINDS.get(event.kind, 0)


def lifted(event: Event) -> Body:
    """The body of an event in the newest version this program writes."""
    body, version = event.body, event.version
    while (event.kind, version) in LIFTS:
        body = LIFTS[event.kind, version](body)
        version += 1
    return body
