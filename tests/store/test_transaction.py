"""All or nothing, with the lock from the start."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from observe.store.transaction import transaction


@pytest.fixture
def connection(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(tmp_path / "a", isolation_level=None, timeout=0)) as opened:
        opened.execute("CREATE TABLE t (x INTEGER UNIQUE)")
        yield opened


def rows(connection: sqlite3.Connection) -> list[tuple[int]]:
    return connection.execute("SELECT x FROM t ORDER BY x").fetchall()


def test_what_is_done_inside_is_kept_at_the_end(connection: sqlite3.Connection) -> None:
    with transaction(connection):
        connection.execute("INSERT INTO t VALUES (1)")
    assert not connection.in_transaction
    assert rows(connection) == [(1,)]


def test_an_error_takes_everything_back(connection: sqlite3.Connection) -> None:
    with pytest.raises(sqlite3.IntegrityError), transaction(connection):
        connection.executemany("INSERT INTO t VALUES (?)", [(1,), (1,)])
    assert not connection.in_transaction
    assert rows(connection) == []


def test_an_error_that_ended_the_transaction_by_itself_is_the_one_told(
    connection: sqlite3.Connection,
) -> None:
    """As a full disk does: there is nothing left to roll back then."""
    with pytest.raises(sqlite3.IntegrityError, match="UNIQUE"), transaction(connection):
        connection.executemany("INSERT OR ROLLBACK INTO t VALUES (?)", [(1,), (1,)])
    assert rows(connection) == []


def test_the_lock_is_taken_before_the_first_read(
    connection: sqlite3.Connection, tmp_path: Path
) -> None:
    with closing(sqlite3.connect(tmp_path / "a", isolation_level=None, timeout=0)) as other:
        with transaction(connection), pytest.raises(sqlite3.OperationalError) as locked:
            other.execute("BEGIN IMMEDIATE")
        assert locked.value.sqlite_errorcode == sqlite3.SQLITE_BUSY
        with transaction(other):
            other.execute("INSERT INTO t VALUES (2)")
    assert rows(connection) == [(2,)]
