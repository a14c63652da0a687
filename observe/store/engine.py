"""A logbook's open file, for SQLAlchemy and for the path of a tap."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, create_engine, event
from sqlalchemy.engine import ExceptionContext
from sqlalchemy.pool import StaticPool

from observe.store.files import ready
from observe.store.surroundings import Answer, in_words, surroundings_of
from observe.store.transaction import transaction


@dataclass(frozen=True, slots=True)
class OpenFile:
    """One open file under two names. To be used in one thread.

    connection: SQLAlchemy's; each statement stands alone. driver: the same connection
    beneath it, for `writing`.
    """

    path: Path
    connection: Connection
    driver: sqlite3.Connection

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction that holds the write lock from its start.

        Any error takes it all back. Gives the driver's connection: on the path of a tap
        SQLAlchemy's own steps would cost as much again as the commit to the disk.
        """
        with in_words(self.path), transaction(self.driver):
            yield self.driver

    def close(self) -> None:
        """Close the file. Closing twice is harmless."""
        self.connection.close()
        self.connection.engine.dispose()


def open_file(path: Path, *, create: bool = False, read_only: bool = False) -> OpenFile:
    """Open the logbook at `path`; every answer of the disk becomes `Surroundings`.

    The arguments and refusals are those of `observe.store.files.ready`.
    """
    driver = ready(path, create=create, read_only=read_only)
    engine = create_engine("sqlite://", creator=lambda: driver, poolclass=StaticPool)

    @event.listens_for(engine, "handle_error")
    def put_in_words(context: ExceptionContext) -> None:
        error = context.original_exception
        if isinstance(error, Answer):
            trouble = surroundings_of(error, path)
            if trouble is not None:
                raise trouble from error

    connection = engine.connect().execution_options(isolation_level="AUTOCOMMIT")
    return OpenFile(path, connection, driver)
