"""A logbook's file: made, recognised, refused, brought up to date."""

from __future__ import annotations

import os
import secrets
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path

from observe.domain.troubles import Surroundings
from observe.store.header import APPLICATION_ID, format_of
from observe.store.schema import require_schema
from observe.store.surroundings import damaged, in_words, not_written
from observe.store.transaction import transaction
from observe.store.upgrade import NEWEST, OLDEST, STEPS, format_now, upgrade
from observe.store.upgrade.setaside import set_aside

PATIENCE_S = 2.0
"""How long a write waits for another program before it is refused."""


def ready(path: Path, *, create: bool = False, read_only: bool = False) -> sqlite3.Connection:
    """An open connection to the logbook at `path`, in the newest format.

    create: make the logbook where there is none yet, or an empty file. read_only:
    change nothing; an older format is then upgraded in memory. Without it, an older
    file is upgraded after a copy of it was set aside in the same folder.
    Raises `Surroundings`, or `Doubtful` where somebody changed its tables or guards, and
    leaves the file as it is where it cannot be used.
    """
    found = _settled_format(path)
    if found is None and (read_only or not create):
        raise _nothing_there(path)
    if found is not None:
        _refuse_other(path, found)
    with in_words(path):
        if found is None:
            _make(path)
        return _reader(path) if read_only else _writer(path)


def copied(path: Path) -> sqlite3.Connection:
    """A connection to a copy in memory of the logbook at `path`; raises as `ready` to read only."""
    with closing(ready(path, read_only=True)) as stored, in_words(path):
        copy = sqlite3.connect(":memory:", isolation_level=None)
        with _closed_on_error(copy):
            stored.backup(copy)
            copy.execute("PRAGMA foreign_keys = ON")
    return copy


def _settled_format(path: Path) -> int | None:
    """The format of what is there; a logbook that was killed while it was made is nothing.

    Its rollback journal still stands beside it then, and SQLite takes the half back.
    """
    found = format_of(path)
    journal = path.with_name(path.name + "-journal")
    if found is not None and journal.exists():
        with in_words(path), closing(_connect(path, mode="rw")) as connection:
            connection.execute("SELECT 1 FROM sqlite_master").fetchone()
        found = format_of(path)
    return found


def _nothing_there(path: Path) -> Surroundings:
    empty = path.exists()
    return Surroundings(
        "This file is empty, so it is no logbook." if empty else "There is no logbook here.",
        where=str(path),
        remedy="Check the name, or open your newest backup.",
    )


def _refuse_other(path: Path, found: int) -> None:
    """Refuse a format that this version does not know."""
    if found < OLDEST:
        raise damaged(path)
    if found > NEWEST:
        raise Surroundings(
            f"This logbook was written by a newer version of Observe (format {found}; "
            f"this version reads up to {NEWEST}).",
            where=str(path),
            remedy="Open it with that version, or install it here. The file was left as it is.",
        )


def _connect(path: Path, *, mode: str) -> sqlite3.Connection:
    """mode: "rw", "rwc" or "ro", or "ro&immutable=1" (https://www.sqlite.org/uri.html)."""
    return sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}",
        uri=True,
        timeout=PATIENCE_S,
        isolation_level=None,
    )


def now() -> str:
    """The wall clock as records hold it: UTC with offset, milliseconds."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def _make(path: Path) -> None:
    """Turn nothing, or an empty file, into a logbook in one transaction.

    Before the write-ahead log is switched on, so that the header says from the first
    moment what the file is; killed half-way, the file is empty again. The lock is kept
    until after the switch: two programs that switch at once would not wait for each other.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    path.touch(mode=0o600)  # It will hold names. What stands beside it gets the same mode.
    with closing(_connect(path, mode="rwc")) as connection:
        with transaction(connection):
            if format_now(connection):
                return  # Another program made it in this very moment.
            connection.execute("PRAGMA locking_mode = EXCLUSIVE")
            _write_empty_log(connection)
        connection.execute("PRAGMA journal_mode = WAL")


def _write_empty_log(connection: sqlite3.Connection) -> None:
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    for step in STEPS:
        step.take(connection, at=now())
    made = (secrets.token_hex(8), now())
    connection.execute("INSERT INTO device (id, made_at) VALUES (?, ?)", made)


def _writer(path: Path) -> sqlite3.Connection:
    # SQLite would open such a file all the same, and refuse at the first tap.
    if not (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)):
        raise not_written(path)
    if _log_beside(path).exists():
        with closing(_connect(path, mode="ro")) as probe:
            _refuse_other(path, format_now(probe))
    with _closed_on_error(_connect(path, mode="rw")) as connection:
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
        older = format_now(connection)
        if older < NEWEST:
            set_aside(path, connection, older, date=now()[:10])
            upgrade(connection, at=now())
        require_schema(connection, path, to_write=True)
    return connection


def _reader(path: Path) -> sqlite3.Connection:
    with _closed_on_error(_connect(path, mode=_mode_to_read(path))) as stored:
        older = format_now(stored)
        _refuse_other(path, older)
        connection = stored if older == NEWEST else _upgraded_in_memory(stored)
    with _closed_on_error(connection):
        connection.execute("PRAGMA query_only = ON")
        require_schema(connection, path, to_write=False)
    return connection


def _upgraded_in_memory(older: sqlite3.Connection) -> sqlite3.Connection:
    with closing(older), _closed_on_error(sqlite3.connect(":memory:", isolation_level=None)) as new:
        older.backup(new)
        upgrade(new, at=now())
    return new


@contextmanager
def _closed_on_error(connection: sqlite3.Connection) -> Iterator[sqlite3.Connection]:
    try:
        yield connection
    except BaseException:
        connection.close()
        raise


def _log_beside(path: Path) -> Path:
    """The write-ahead log, which stands beside the file while programs have it open."""
    return path.with_name(path.name + "-wal")


def _mode_to_read(path: Path) -> str:
    """How to open a file without changing it or leaving anything beside it.

    With a write-ahead log there, SQLite finds all it needs. With none, it makes one,
    and only who may write takes it away at closing. In a folder that may not be
    written it cannot make one; the file alone is complete then.
    """
    if _log_beside(path).exists():
        return "ro"
    if not os.access(path.parent, os.W_OK):
        return "ro&immutable=1"
    return "rw" if os.access(path, os.W_OK) else "ro"
