"""The tables of a logbook, and the guards that let them only grow, are those the program made."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from observe.domain.troubles import Doubtful
from observe.store.upgrade import STEPS

_OWN = "SELECT type, name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite~_%' ESCAPE '~'"


def require_schema(connection: sqlite3.Connection, path: Path) -> None:
    """Raise `Doubtful` unless tables, indexes and triggers of an open file are as they were made.

    A table that is not there would only fail; a guard that is not there, or a trigger
    of somebody else, would let the log change without a word.
    """
    found, made = _schema(connection), _as_made()
    if found == made:
        return
    names = sorted({str(name) for _, name, _ in found ^ made})
    raise Doubtful(
        "The tables of this logbook, or their guards, are not as Observe made them "
        f"({', '.join(names)}).",
        where=str(path),
        remedy="Keep this file as it is, and go on with the newest backup.",
    )


def _schema(connection: sqlite3.Connection) -> set[tuple[str, str, str]]:
    return set(connection.execute(_OWN))


def _as_made() -> set[tuple[str, str, str]]:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as memory:
        for step in STEPS:
            step.take(memory, at="")
        return _schema(memory)
