"""Passphrases on the command line: asked for, or read from a file; never an argument."""

from __future__ import annotations

import getpass
import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.foreign import seen, shown_path
from observe.domain.troubles import BadInput, Refused

if TYPE_CHECKING:
    from observe.work.logbooks import Logbook


def passphrase_from(file: Path | None, prompt: str) -> str:
    """A passphrase from the first line of a file, or asked for at the terminal.

    It is never an argument, which others could read. Raises Refused where there is neither.
    """
    if file is not None:
        lines = file.read_text(encoding="utf-8").splitlines()
        if lines and lines[0]:
            return lines[0]
        raise BadInput("The file holds no passphrase.", where=str(file), remedy="Write one in it.")
    if not sys.stdin.isatty():
        raise Refused(
            "A passphrase is needed, and nobody can be asked for it here.",
            remedy="Name a file that holds it with --passphrase-file.",
        )
    return getpass.getpass(prompt)


def open_key(logbook: Logbook, person: str, file: Path | None) -> None:
    """Open a person's signing key for today, asking for its passphrase only if it is closed."""
    at = datetime.now().astimezone()
    if logbook.keys.needs_passphrase(person, at):
        name = logbook.names().get(person, person)
        logbook.keys.unlock(
            person, passphrase_from(file, f"Passphrase of the key of {seen(name)}: "), at
        )


def to_open(packet: Path, file: Path | None) -> str:
    """The passphrase for a packet, asked for only if it is closed."""
    from observe.work.looking_into import needs_passphrase

    if not needs_passphrase(packet):
        return ""
    return passphrase_from(file, f"Passphrase of {shown_path(str(packet))}: ")
