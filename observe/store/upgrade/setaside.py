"""The copy that is kept before a logbook is upgraded."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from itertools import count
from pathlib import Path

from observe.store.surroundings import damaged


def set_aside(path: Path, connection: sqlite3.Connection, older: int, *, date: str) -> Path:
    """Copy the logbook at `path` beside it, named by date and format; returns the copy's path.

    The copy holds the write-ahead log too and is checked before it gets its name.
    Raises sqlite3.Error or OSError where it cannot be written, and `Surroundings`
    where it does not come out sound; no half copy stays behind.
    """
    copy = _free_name(path, f"{date}.format-{older}")
    half = copy.with_name(copy.name + ".part")
    half.unlink(missing_ok=True)
    half.touch(mode=0o600)
    try:
        _copy(connection, half)
        _require_sound(half, path)
        half.replace(copy)
    finally:
        half.unlink(missing_ok=True)
    return copy


def _free_name(path: Path, note: str) -> Path:
    names = (
        path.with_name(f"{path.stem}.{note}{'' if number == 1 else f'-{number}'}{path.suffix}")
        for number in count(1)
    )
    return next(name for name in names if not name.exists())


def _copy(connection: sqlite3.Connection, target: Path) -> None:
    with closing(sqlite3.connect(target, isolation_level=None)) as copy:
        copy.execute("PRAGMA synchronous = FULL")
        connection.backup(copy)
        # One file that can be carried away: no write-ahead log beside it.
        copy.execute("PRAGMA journal_mode = DELETE")


def _require_sound(copy: Path, path: Path) -> None:
    with closing(sqlite3.connect(copy, isolation_level=None)) as reader:
        findings = reader.execute("PRAGMA quick_check").fetchall()
    if findings != [("ok",)]:
        raise damaged(path)
