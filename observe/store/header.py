"""Is this file a logbook, and of which format? Answered from its first bytes, touching nothing."""

from __future__ import annotations

import stat
from pathlib import Path

from observe.domain.troubles import Surroundings
from observe.store.surroundings import in_words

APPLICATION_ID = 0x4F627376
"""Marks an SQLite file as a logbook: the letters "Obsv"."""

# https://www.sqlite.org/fileformat.html, "The Database Header".
_LENGTH = 100
_MAGIC = b"SQLite format 3\x00"
_USER_VERSION = slice(60, 64)
_APPLICATION_ID = slice(68, 72)


def format_of(path: Path) -> int | None:
    """The format number that a logbook's header names; None if the file is missing or empty.

    Raises `Surroundings` for a folder, a text file, another program's database, or a
    file that may not be read. A format still in the write-ahead log does not show here.
    """
    with in_words(path):
        if not path.exists():
            return None
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise _refusal(path, "This is a folder, not a logbook.")
        if not stat.S_ISREG(mode):
            raise _refusal(path, "This is not a plain file, so it is no logbook.")
        with path.open("rb") as file:
            header = file.read(_LENGTH)
    return _format_in(header, path) if header else None


def _format_in(header: bytes, path: Path) -> int:
    if len(header) < _LENGTH or not header.startswith(_MAGIC):
        raise _refusal(path, "This file is no logbook.")
    if int.from_bytes(header[_APPLICATION_ID], "big") != APPLICATION_ID:
        raise _refusal(path, "This is a database of another program, not a logbook.")
    return int.from_bytes(header[_USER_VERSION], "big")


def _refusal(path: Path, what: str) -> Surroundings:
    return Surroundings(
        what,
        where=str(path),
        remedy="Check the name; a logbook is a file that Observe made. This one was left as it is.",
    )
