"""What a packet says of itself; it is what is signed."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from observe.domain.canonical import canonical

FORMAT = 1
"""The version of the format that this program writes, and the newest that it reads."""
KINDS = ("plan", "record")
SCOPES = ("workshop", "observer", "learner")
LOG = "log.jsonl"
FORM = re.compile(r"forms/([0-9a-f]{64})\.toml")


@dataclass(frozen=True, slots=True)
class Member:
    """A file in a packet: its length in bytes and its SHA-256."""

    bytes: int
    sha256: str


@dataclass(frozen=True)
class Manifest:
    """What a packet says of itself.

    kind: "plan" or "record". workshops: their ids. scope: "workshop", "observer" or
    "learner", and of whom. made_at: UTC, ISO 8601, as its maker's clock said. by: the id
    of the person who made it, name: theirs. device: on which. members: the files that it holds
    besides, by name. withheld: how many attempts have marks that stay behind until all who
    watched have sealed.
    """

    kind: str
    workshops: tuple[str, ...]
    scope: str
    of: str
    made_at: str
    by: str
    name: str
    device: str
    withheld: int
    members: Mapping[str, Member] = field(default_factory=dict)

    def as_bytes(self) -> bytes:
        """Canonical JSON (RFC 8785)."""
        return canonical(
            {
                "format": FORMAT,
                "kind": self.kind,
                "workshops": list(self.workshops),
                "scope": {"kind": self.scope, "of": self.of},
                "made": {
                    "at": self.made_at,
                    "by": self.by,
                    "name": self.name,
                    "device": self.device,
                },
                "withheld": self.withheld,
                "members": {
                    name: {"bytes": one.bytes, "sha256": one.sha256}
                    for name, one in self.members.items()
                },
            }
        )


class NewerFormatError(ValueError):
    """A packet of a later version of the format."""


def read_manifest(data: bytes) -> Manifest:
    """A manifest from its bytes.

    Raises `NewerFormatError` for a later format, ValueError where it is not written in the one
    way in which it can be.
    """
    held = json.loads(data.decode("utf-8"), parse_float=_no_fraction, parse_constant=_no_fraction)
    if not isinstance(held, dict):
        raise ValueError("it is no object")  # noqa: TRY004 - one error for all
    version = held.get("format")
    if type(version) is int and version > FORMAT:
        raise NewerFormatError(str(version))
    try:
        found = _manifest(held)
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError("a part of it is missing") from error
    if version != FORMAT or found.as_bytes() != data:
        raise ValueError("it is not written in the one way it can be")
    return found


def _manifest(held: Mapping[str, Any]) -> Manifest:
    made, scope = held["made"], held["scope"]
    members = {
        _name(name): Member(_count(one["bytes"]), _text(one["sha256"]))
        for name, one in held["members"].items()
    }
    if held["kind"] not in KINDS or scope["kind"] not in SCOPES:
        raise ValueError("it is of no kind that a packet can be")
    if datetime.fromisoformat(made["at"]).tzinfo is None:
        raise ValueError("its time has no offset")
    return Manifest(
        kind=held["kind"],
        workshops=tuple(_text(one) for one in held["workshops"]),
        scope=_text(scope["kind"]),
        of=_text(scope["of"]),
        made_at=_text(made["at"]),
        by=_text(made["by"]),
        name=_text(made["name"]),
        device=_text(made["device"]),
        withheld=_count(held["withheld"]),
        members=members,
    )


def _name(name: str) -> str:
    if name != LOG and not FORM.fullmatch(name):
        raise ValueError("it names a file that no packet holds")
    return name


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError("a text is none")
    return value


def _count(value: object) -> int:
    if type(value) is not int or value < 0:
        raise TypeError("a count is none")
    return value


def _no_fraction(text: str) -> object:
    raise ValueError(f"{text} is no number that a packet holds")
