"""The tables of a logbook, and the guards that let them only grow, are those the program made."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from observe.domain.troubles import Doubtful
from observe.store.upgrade import STEPS

_OWN = "SELECT type, name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite~_%' ESCAPE '~'"


def require_schema(connection: sqlite3.Connection, path: Path, *, to_write: bool) -> None:
    """Raise `Doubtful` unless the tables of an open file are as they were made.

    to_write: so must the guards be, for a guard that is not there, or a trigger of
    somebody else, would let the log change without a word. Reading does without them.
    """
    names = changed_schema(connection) if to_write else _names_changed(connection, "table")
    if names:
        raise Doubtful(
            "The tables of this logbook, or their guards, are not as Observe made them "
            f"({', '.join(names)}).",
            where=str(path),
            remedy="Keep this file as it is, and go on with the newest backup.",
        )


def changed_schema(connection: sqlite3.Connection) -> tuple[str, ...]:
    """The names of tables, indexes and guards that are missing, added or not as they were made."""
    return _names_changed(connection, "table", "index", "trigger", "view")


def _names_changed(connection: sqlite3.Connection, *kinds: str) -> tuple[str, ...]:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as memory:
        for step in STEPS:
            step.take(memory, at="")
        differing = set(connection.execute(_OWN)) ^ set(memory.execute(_OWN))
    return tuple(sorted({str(name) for kind, name, _ in differing if kind in kinds}))
