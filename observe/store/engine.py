"""A logbook's open file, for the driver and, where it is asked for, for SQLAlchemy."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from observe.store.files import copied, ready
from observe.store.surroundings import Answer, in_words, surroundings_of
from observe.store.transaction import transaction

if TYPE_CHECKING:
    from sqlalchemy import Connection
    from sqlalchemy.engine import ExceptionContext


class OpenFile:
    """One open file. To be used in one thread.

    driver: the connection of Python's own driver, on which a start and a tap run.
    """

    def __init__(self, path: Path, driver: sqlite3.Connection) -> None:
        self.path = path
        self.driver = driver
        self.is_closed = False

    @cached_property
    def connection(self) -> Connection:
        """The same connection for SQLAlchemy, which is loaded with it; statements stand alone."""
        return _connection(self.path, self.driver)

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
        if "connection" in vars(self):
            self.connection.close()
            self.connection.engine.dispose()
        self.driver.close()
        self.is_closed = True


def open_file(path: Path, *, create: bool = False, read_only: bool = False) -> OpenFile:
    """Open the logbook at `path`; every answer of the disk becomes `Surroundings`.

    The arguments and refusals are those of `observe.store.files.ready`.
    """
    return OpenFile(path, ready(path, create=create, read_only=read_only))


def open_copy(path: Path) -> OpenFile:
    """A copy of the logbook at `path`, in memory: what is written in it goes with it.

    The file is only read, so whoever writes in it meanwhile does not wait. Raises as `open_file`.
    """
    return OpenFile(path, copied(path))


def _connection(path: Path, driver: sqlite3.Connection) -> Connection:
    from sqlalchemy import create_engine, event
    from sqlalchemy.pool import StaticPool

    engine = create_engine("sqlite://", creator=lambda: driver, poolclass=StaticPool)

    @event.listens_for(engine, "handle_error")
    def put_in_words(context: ExceptionContext) -> None:
        error = context.original_exception
        if isinstance(error, Answer):
            trouble = surroundings_of(error, path)
            if trouble is not None:
                raise trouble from error

    return engine.connect().execution_options(isolation_level="AUTOCOMMIT")
