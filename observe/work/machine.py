"""What a use case asks of the machine: the time, and ids nobody else makes.

Handed in, never reached for, so that a rehearsal can bring its own.
"""

from __future__ import annotations

import secrets
import time
import uuid
from datetime import UTC, datetime
from pathlib import Path
from typing import Protocol

from observe.domain.events import Stamp

BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


class Machine(Protocol):
    def stamp(self) -> Stamp:
        """Now."""

    def gesture(self) -> str:
        """A fresh gesture id, ordered by time."""

    def salt(self) -> str:
        """A fresh salt for a commitment, 32 hexadecimal characters."""


class ThisMachine:
    """The computer the program runs on."""

    def __init__(self) -> None:
        self._boot = _boot()

    def stamp(self) -> Stamp:
        return Stamp(iso(datetime.now(UTC)), time.monotonic_ns(), self._boot)

    def gesture(self) -> str:
        return time_ordered_id(time.time_ns() // 1_000_000, secrets.token_bytes(10))

    def salt(self) -> str:
        return secrets.token_hex(16)


def iso(moment: datetime) -> str:
    """A moment in UTC, ISO 8601 with milliseconds and offset."""
    return moment.astimezone(UTC).isoformat(timespec="milliseconds")


def time_ordered_id(milliseconds: int, noise: bytes) -> str:
    """A UUID of version 7 (RFC 9562): 48 bits of Unix time, then 10 bytes of noise."""
    value = bytearray(milliseconds.to_bytes(6, "big") + noise)
    value[6] = 0x70 | (value[6] & 0x0F)
    value[8] = 0x80 | (value[8] & 0x3F)
    return str(uuid.UUID(bytes=bytes(value)))


def _boot() -> str:
    try:
        return BOOT_ID.read_text(encoding="ascii").strip()
    except OSError:
        return f"process-{secrets.token_hex(8)}"
