"""PINs of those who share one tablet: they keep marks apart, they do not encrypt (rule K1).

They are beside the logbook on this machine, never in its log: a copy of a logbook, a packet
or a sheet holds none. Whoever can read the file of the logbook can read the marks without one.
"""

from __future__ import annotations

import contextlib
import hashlib
import hmac
import json
import os
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from observe.domain.clock import between_ns
from observe.domain.events import Stamp
from observe.domain.troubles import Refused, Surroundings
from observe.domain.words import counted
from observe.work import disk
from observe.work.machine import Machine

LEAST_DIGITS, MOST_DIGITS = 4, 6
HONEST = "A PIN keeps marks apart on a shared tablet. It is not encryption."
WAITS_S = (0, 0, 5, 15, 30, 60, 120, 300)
"""Seconds to wait after the first, second, ... wrong PIN; the last one from then on."""
FORMAT = 1

COST = 2**13
"""scrypt's N; with r 8 and p 1 one check takes 8 MB and some tens of milliseconds (RFC 7914)."""
_BLOCK, _PARALLEL, _BYTES = 8, 1, 32
_MEMORY = 64 * 2**20
_MOST_COST = 2**15
NS = 1_000_000_000


@dataclass(frozen=True, slots=True)
class Kept:
    """What is kept of one PIN. digits: how many it has; wrong: failed tries since the last good."""

    salt: str
    hash: str
    cost: int
    digits: int
    wrong: int = 0
    last_wrong: Stamp | None = None


def pins_path(logbook: Path) -> Path:
    """Where the PINs for a logbook are: beside it, in a file of their own."""
    return logbook.with_name(f"{logbook.name}.pins")


class Pins:
    """The PINs for one logbook on this machine. Every call reads the file anew."""

    def __init__(self, path: Path, machine: Machine) -> None:
        self.path = path
        self.machine = machine
        self.asked: set[str] = set()

    def digits(self, person: str) -> int:
        """How many digits a person's PIN has; 0 where none is set.

        Raises Surroundings if the file cannot be read.
        """
        kept = self._read().get(person)
        return kept.digits if kept else 0

    def has(self, person: str) -> bool:
        """Whether a person has set a PIN. Raises Surroundings if the file cannot be read."""
        return self.digits(person) > 0

    def should_ask(self, person: str, observers: int) -> bool:
        """Whether to ask a person, once while the program runs, to set a PIN.

        observers: how many share the logbook's workshop; one alone is not asked.
        """
        return observers > 1 and person not in self.asked and not self.has(person)

    def wait_s(self, person: str) -> int:
        """Whole seconds until the next try is heard; 0 for now."""
        kept = self._read().get(person)
        return _wait_s(kept, self.machine.stamp()) if kept else 0

    def choose(self, person: str, pin: str, again: str) -> None:
        """Set a person's first PIN. Raises Refused if it does not fit, or if there is one."""
        require_fit(pin)
        if pin != again:
            raise Refused("The two are not the same.", remedy="Choose a PIN again.")
        kept = self._read()
        if person in kept:
            raise Refused("There is a PIN already.", remedy="Enter it, or have it removed.")
        salt = secrets.token_hex(16)
        self._write({**kept, person: Kept(salt, _hash(pin, salt, COST), COST, len(pin))})

    def enter(self, person: str, pin: str) -> None:
        """Let a person in by their PIN; anybody without one is let in.

        Raises Refused for a wrong one, and while the wait after wrong ones lasts.
        """
        every = self._read()
        kept = every.get(person)
        if kept is None:
            return
        now = self.machine.stamp()
        self._require_patience(kept, now)
        if hmac.compare_digest(_hash(pin, kept.salt, kept.cost), kept.hash):
            if kept.wrong:
                good = replace(kept, wrong=0, last_wrong=None)
                self._write({**every, person: good})
            return
        failed = replace(kept, wrong=kept.wrong + 1, last_wrong=now)
        self._write({**every, person: failed})
        raise Refused("That is not the PIN.", remedy=_next_try(_wait_s(failed, now)))

    @staticmethod
    def _require_patience(kept: Kept, now: Stamp) -> None:
        wait = _wait_s(kept, now)
        if wait:
            raise Refused("Too many wrong PINs.", remedy=_next_try(wait))

    def vouchers(self, person: str) -> tuple[str, ...]:
        """Those whose own PIN may remove a forgotten one, by id."""
        return tuple(one for one in self._read() if one != person)

    def remove(self, person: str, *, by: str, pin: str) -> None:
        """Remove a forgotten PIN, on another observer's own one.

        Raises Refused if that other one is nobody else, has none, or enters it wrongly.
        """
        if by == person or not self.has(by):
            raise Refused(
                "Another observer with a PIN has to do this.", remedy="Ask one of them to come."
            )
        self.enter(by, pin)
        self._write({one: kept for one, kept in self._read().items() if one != person})

    def set_aside(self) -> Path:
        """Move a damaged file out of the way; every PIN is then set anew. Returns where it is."""
        place = self.path.with_name(f"{self.path.name}.damaged-{secrets.token_hex(4)}")
        try:
            self.path.replace(place)
        except OSError as error:
            raise self._in_the_way(error) from error
        return place

    # the file

    def _read(self) -> Mapping[str, Kept]:
        try:
            data = self.path.read_bytes()
        except FileNotFoundError:
            return {}
        except OSError as error:
            raise self._in_the_way(error) from error
        try:
            held = json.loads(data)
            newer = held["format"] > FORMAT
            found = {} if newer else {str(one): _kept(row) for one, row in held["people"].items()}
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
            raise Surroundings(
                "The file of the PINs is damaged. No mark is touched by that.",
                where=str(self.path),
                remedy="Set the file aside; every observer then sets a PIN anew.",
            ) from error
        if newer:
            raise Surroundings(
                "The PINs were set by a newer version of Observe.",
                where=str(self.path),
                remedy="Open the logbook with that version.",
            )
        return found

    def _write(self, people: Mapping[str, Kept]) -> None:
        held = {"format": FORMAT, "people": {one: _row(kept) for one, kept in people.items()}}
        try:
            _replace(self.path, json.dumps(held, indent=1).encode())
        except OSError as error:
            raise self._in_the_way(error) from error

    def _in_the_way(self, error: OSError) -> Surroundings:
        reason, remedy = disk.refusal(error)
        return Surroundings(
            f"The PINs could not be read or kept: {reason}.", where=str(self.path), remedy=remedy
        )


def require_fit(pin: str) -> None:
    """Raise Refused unless a PIN has 4 to 6 digits that are not all the same."""
    if not (LEAST_DIGITS <= len(pin) <= MOST_DIGITS and pin.isascii() and pin.isdigit()):
        raise Refused("A PIN has 4 to 6 digits.", remedy="Choose another one.")
    if len(set(pin)) == 1:
        raise Refused("All digits are the same.", remedy="Choose another one.")


def _hash(pin: str, salt: str, cost: int) -> str:
    made = hashlib.scrypt(
        pin.encode(),
        salt=bytes.fromhex(salt),
        n=cost,
        r=_BLOCK,
        p=_PARALLEL,
        maxmem=_MEMORY,
        dklen=_BYTES,
    )
    return made.hex()


def _wait_s(kept: Kept, now: Stamp) -> int:
    """A clock that is set back makes the wait longer, never shorter."""
    if not kept.wrong or kept.last_wrong is None:
        return 0
    wait = WAITS_S[min(kept.wrong, len(WAITS_S)) - 1]
    left = wait * NS - between_ns(kept.last_wrong, now)
    return max(0, -(-left // NS))


def _next_try(wait: int) -> str:
    return f"Wait {counted(wait, 'second')}." if wait else "Try again."


def _kept(row: Any) -> Kept:  # noqa: ANN401 - whatever stands in a file
    """One row of the file. Raises ValueError, KeyError or TypeError if it is none."""
    last = row["last_wrong"]
    stamp = None if last is None else Stamp(str(last["at"]), int(last["ns"]), str(last["boot"]))
    kept = Kept(
        salt=row["salt"],
        hash=row["hash"],
        cost=row["cost"],
        digits=row["digits"],
        wrong=row["wrong"],
        last_wrong=stamp,
    )
    bytes.fromhex(kept.salt)
    cost = kept.cost
    whole = all(type(one) is int for one in (cost, kept.digits, kept.wrong))
    power = whole and 2 <= cost <= _MOST_COST and cost & (cost - 1) == 0
    hashed = len(bytes.fromhex(kept.hash)) == _BYTES
    if not (power and hashed and LEAST_DIGITS <= kept.digits <= MOST_DIGITS and kept.wrong >= 0):
        raise ValueError("no row of a file of PINs")
    if stamp is not None:
        between_ns(stamp, replace(stamp, boot=f"not {stamp.boot}"))  # its time can be read
    return kept


def _row(kept: Kept) -> dict[str, Any]:
    last = kept.last_wrong
    return {
        "salt": kept.salt,
        "hash": kept.hash,
        "cost": kept.cost,
        "digits": kept.digits,
        "wrong": kept.wrong,
        "last_wrong": None
        if last is None
        else {"at": last.at, "ns": last.monotonic_ns, "boot": last.boot},
    }


def _replace(path: Path, data: bytes) -> None:
    """Write a file whole or not at all, for its owner only."""
    draft = path.with_name(f".{secrets.token_hex(8)}.new")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        draft.replace(path)
    finally:
        with contextlib.suppress(FileNotFoundError):
            draft.unlink()
