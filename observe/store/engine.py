"""SQLAlchemy's connection to a logbook's file."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection, create_engine, event
from sqlalchemy.engine import ExceptionContext
from sqlalchemy.pool import StaticPool

from observe.store.files import ready
from observe.store.surroundings import surroundings_of


def open_file(path: Path, *, create: bool = False, read_only: bool = False) -> Connection:
    """Open the logbook at `path`; every answer of the disk becomes `Surroundings`.

    The arguments and refusals are those of `observe.store.files.ready`. Each statement
    outside `writing` stands alone. To be used in one thread, and closed by `close_file`.
    """
    opened = ready(path, create=create, read_only=read_only)
    engine = create_engine("sqlite://", creator=lambda: opened, poolclass=StaticPool)

    @event.listens_for(engine, "handle_error")
    def in_words(context: ExceptionContext) -> None:
        error = context.original_exception
        trouble = surroundings_of(error, path) if isinstance(error, sqlite3.Error) else None
        if trouble is not None:
            raise trouble from error

    return engine.connect().execution_options(isolation_level="AUTOCOMMIT")


def close_file(connection: Connection) -> None:
    """Close the connection and the file."""
    connection.close()
    connection.engine.dispose()


@contextmanager
def writing(connection: Connection) -> Iterator[None]:
    """One transaction that holds the write lock from its start; any error takes it all back."""
    connection.exec_driver_sql("BEGIN IMMEDIATE")
    try:
        yield
        connection.exec_driver_sql("COMMIT")
    finally:
        # A full disk may already have ended the transaction by itself.
        file = connection.connection.driver_connection
        if file is not None and file.in_transaction:
            file.execute("ROLLBACK")
