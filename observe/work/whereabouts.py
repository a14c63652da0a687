"""Whether a logbook is the one that this machine wrote last, or a copy of it (rule E5).

A copied, moved or restored logbook goes on under a new device id, so that what is written in it
and in the one it came from never has the same place. Which logbooks are this machine's own, where
they are and how far they were written is noted in a file beside the person's data; a copy on
another machine finds no note of it there.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe import places
from observe.domain.events import Draft
from observe.work.machine import Machine
from observe.work.whole_file import write_whole

if TYPE_CHECKING:
    from observe.store.log import Head, Log

NAME = "logbooks.json"


def settle(log: Log, machine: Machine) -> str:
    """Go on under a new device id if this is a copy; the new id, or empty.

    The first event under it names the head that it follows. Where notes can be neither read
    nor kept, nothing is done: a fork is then found when packets are taken in.
    """
    try:
        notes = _read()
    except OSError:
        return ""
    head = log.head()
    renewed = "" if _is_known(log, head, notes) else _renew(log, machine)
    note(log)
    return renewed


def note(log: Log) -> None:
    """Note where a logbook is and how far it was written; in vain where that cannot be kept."""
    head = log.head()
    found = {"path": str(log.path.absolute()), "file": _file_id(log.path)}
    here = {**found, "seq": head.seq, "hash": head.hash}
    try:
        notes = _read()
        if notes.get(head.device) != here:
            place = places.data() / NAME
            place.parent.mkdir(parents=True, exist_ok=True)
            write_whole(place, json.dumps({**notes, head.device: here}, indent=1).encode())
    except OSError:
        return


def _is_known(log: Log, head: Head, notes: Mapping[str, Any]) -> bool:
    """Whether this is the very file that was noted, and it holds all that was noted of it."""
    if head.seq == 0:
        return True
    known = notes.get(head.device)
    if not isinstance(known, dict):
        return False
    same = (known.get("path"), known.get("file")) == (
        str(log.path.absolute()),
        _file_id(log.path),
    )
    seq = known.get("seq")
    return same and isinstance(seq, int) and log.holds(head.device, seq, str(known.get("hash")))


def _renew(log: Log, machine: Machine) -> str:
    from observe.store.merging import taking_in

    renewed = secrets.token_hex(8)
    with taking_in(log) as taking:
        left = taking.renew_device(renewed, at=machine.stamp().at)
        follows = {"device": left.device, "seq": left.seq, "hash": left.hash}
        draft = Draft("device-named", {"follows": follows, "turn": taking.turn})
        stamp, gesture = machine.stamp(), machine.gesture()
        taking.add([draft], gesture=gesture, stamp=stamp, salts=machine.salt)
    return renewed


def _file_id(path: Path) -> str:
    """Which file this is on its disk; another one for a copy."""
    found = path.stat()
    return f"{found.st_dev}:{found.st_ino}"


def _read() -> dict[str, Any]:
    try:
        held = json.loads((places.data() / NAME).read_bytes())
    except (FileNotFoundError, ValueError):
        return {}
    return held if isinstance(held, dict) else {}
