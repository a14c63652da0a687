"""The disk under the logbook: may it be written, and how long does it take to keep one mark."""

from __future__ import annotations

import errno
import shutil
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

from observe.domain.words import counted
from observe.work.cautions import Caution, Reading, falls_by

COMMITS = 60  # enough for a steady median, few enough to wait for on a slow disk
BYTES_A_MARK = 1000
"""What one mark takes in a logbook, rounded up: 614 bytes over 3100 marks of ten learners."""
RESERVE_MB = 25
"""For what is written beside the marks: the write-ahead log and the sheets of one workshop."""
LOW_MB = (200, 75, 30)
"""Free space under which the caution is of level 1, 2, 3."""
SOON_FULL_MIN = (60, 20, 5)
"""The same in minutes, where other programs are filling the disk."""


_NO_ROOM = ("the disk is full", "Free some space and try again.")
_NOT_ALLOWED = (
    "this account may not use it",
    "Have its permissions changed, or use a folder of your own.",
)
_IN_THE_WAY = (
    "something else is in its place",
    "Choose another name, or move away what is there.",
)
_REASONS = {
    errno.ENOSPC: _NO_ROOM,
    errno.EDQUOT: _NO_ROOM,
    errno.EACCES: _NOT_ALLOWED,
    errno.EPERM: _NOT_ALLOWED,
    errno.EROFS: ("the disk is read-only", "Choose a folder on another disk."),
    errno.EEXIST: _IN_THE_WAY,
    errno.ENOTDIR: _IN_THE_WAY,
    errno.EISDIR: _IN_THE_WAY,
    errno.ENOTEMPTY: _IN_THE_WAY,
    errno.ENOENT: ("it is not there", "Check its name and folder."),
    errno.ENAMETOOLONG: ("its name is too long", "Choose a shorter name."),
    errno.EIO: ("the disk fails", "Copy what is on it to another disk."),
}
_UNKNOWN = "Look at the disk and the file, and try again."


def refusal(error: OSError) -> tuple[str, str]:
    """Why the machine refused, as the end of a sentence, and what to do."""
    known = _REASONS.get(error.errno or 0)
    return known or ((error.strerror or "the machine gives no reason").rstrip("."), _UNKNOWN)


def ground(folder: Path) -> Path:
    """The nearest folder that can be seen: `folder` itself or one above it."""
    return next(place for place in (folder, *folder.parents) if is_folder(place))


def is_folder(place: Path) -> bool:
    """Whether a folder can be seen there; False where this account may not look."""
    try:
        return place.is_dir()
    except OSError:
        return False


def is_file(place: Path) -> bool:
    """Whether something else than a folder can be seen there."""
    try:
        return place.exists() and not place.is_dir()
    except OSError:
        return False


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


def free_bytes(folder: Path) -> int | None:
    """Free space under a folder, or the nearest one above it; None where it is not told."""
    try:
        return shutil.disk_usage(ground(folder)).free
    except (OSError, StopIteration):
        return None


def marks_left(free: int) -> int:
    """About how many marks still fit, what is written beside them left aside; in round numbers."""
    count = max(0, free - RESERVE_MB * 1_000_000) // BYTES_A_MARK
    step = int("1".ljust(max(1, len(str(count)) - 1), "0"))  # two figures are kept
    return count // step * step


def disk_caution(free: int | None, readings: Sequence[Reading] = ()) -> Caution | None:
    """Whether the disk may be full before the workshop is over, in a sentence.

    free: bytes. readings: bytes free over time.
    """
    if free is None:
        return None
    megabytes, rate = free / 1e6, falls_by(readings)
    minutes = int(free / rate) if rate else None
    level = sum(megabytes < limit for limit in LOW_MB)
    if minutes is not None:
        level = max(level, sum(minutes <= limit for limit in SOON_FULL_MIN))
    if not level:
        return None
    told = f"{megabytes:.0f} MB are free on this disk, enough for {_about(marks_left(free))}"
    if minutes is not None and minutes <= SOON_FULL_MIN[0]:
        told = f"{told}, and full in about {counted(minutes, 'minute')} at this rate"
    return Caution("disk", level, f"{told}. Free some space.")


def _about(marks: int) -> str:
    return f"about {marks:,} marks".replace(",", "\u202f") if marks else "hardly any more marks"
