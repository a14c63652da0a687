"""All or nothing, on a plain SQLite connection."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """Take the write lock at once, and commit at the end; any error takes everything back.

    The lock is taken before the first read, so what is read stays true until the commit.
    """
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    finally:
        # A full disk may already have ended the transaction by itself.
        if connection.in_transaction:
            connection.execute("ROLLBACK")
