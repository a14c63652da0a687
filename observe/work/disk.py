"""The disk under the logbook: may it be written, and how long does it take to keep one mark."""

from __future__ import annotations

import sqlite3
import statistics
import tempfile
import time
from contextlib import closing
from pathlib import Path

COMMITS = 60  # enough for a steady median, few enough to wait for on a slow disk


def ground(folder: Path) -> Path:
    """The nearest folder that exists already: `folder` itself or one above it."""
    return next(place for place in (folder, *folder.parents) if place.is_dir())


def writable(folder: Path) -> bool:
    """Whether a file can really be made in `folder`; permission bits alone may mislead."""
    try:
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def commit_ms(folder: Path, commits: int = COMMITS) -> tuple[float, float]:
    """Median and longest time, in milliseconds, of one durable commit in `folder`.

    Uses the logbook's own settings (write-ahead log, synchronous FULL) on a file that is
    removed afterwards. Raises OSError or sqlite3.Error where the disk does not allow it.
    """
    with (
        tempfile.TemporaryDirectory(dir=folder, prefix="observe-trial-") as trial,
        closing(sqlite3.connect(Path(trial) / "trial", isolation_level=None)) as connection,
    ):
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("CREATE TABLE mark (body TEXT)")
        times = [_commit(connection) for _ in range(commits)]
    return statistics.median(times), max(times)


def _commit(connection: sqlite3.Connection) -> float:
    """One event's worth of bytes, committed; its time in milliseconds."""
    start = time.perf_counter()
    connection.execute("INSERT INTO mark VALUES (?)", ("x" * 400,))
    return (time.perf_counter() - start) * 1000
