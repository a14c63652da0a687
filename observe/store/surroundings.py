"""What the disk's answers mean for a person, told apart by code and never by their text."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from observe.domain.troubles import Surroundings


class _Words(NamedTuple):
    what: str
    remedy: str


_FULL = _Words(
    "The disk is full, so nothing was written.",
    "Free some space and do it again; what was kept before is safe.",
)
_NOT_WRITTEN = _Words(
    "The logbook, or the folder it stands in, may not be written.",
    "Ask for permission to write there, or copy the logbook to a folder of your own and open that.",
)
_NOT_ALLOWED = _Words(
    "The logbook, or the folder it stands in, may not be used by you.",
    "Ask for permission to read and write there, or make a logbook in a folder of your own.",
)
_LOCKED = _Words(
    "Another program is writing to the logbook.",
    "Close the other program, or wait a moment, and do it again.",
)
_GONE = _Words(
    "The logbook was moved or removed while it was open.",
    "Put the file back where it was, or open it where it is now.",
)
_DISK = _Words(
    "The disk did not do what it was asked.",
    "Check that the disk or stick is still connected and sound, then open the logbook again.",
)
_DAMAGED = _Words(
    "The logbook is damaged.",
    "Keep this file, and go on with the newest backup; “observe verify” says how far it is sound.",
)
_NO_DATABASE = _Words(
    "This file is no logbook.",
    "Check the name; a logbook is a file that Observe made.",
)
_NO_OPENING = _Words(
    "The logbook cannot be opened.",
    "Check that the file and its folder may be read and written, then open it again.",
)

_BY_RESULT: Mapping[int, _Words] = {
    sqlite3.SQLITE_PERM: _NOT_ALLOWED,
    sqlite3.SQLITE_BUSY: _LOCKED,
    sqlite3.SQLITE_LOCKED: _LOCKED,
    sqlite3.SQLITE_PROTOCOL: _LOCKED,
    sqlite3.SQLITE_READONLY: _NOT_WRITTEN,
    sqlite3.SQLITE_READONLY_DBMOVED: _GONE,
    sqlite3.SQLITE_IOERR: _DISK,
    # The index of the write-ahead log cannot grow: the disk it stands on is full.
    sqlite3.SQLITE_IOERR_SHMSIZE: _FULL,
    sqlite3.SQLITE_CORRUPT: _DAMAGED,
    sqlite3.SQLITE_FULL: _FULL,
    sqlite3.SQLITE_CANTOPEN: _NO_OPENING,
    sqlite3.SQLITE_NOTADB: _NO_DATABASE,
}

_BY_ERRNO: Mapping[int, _Words] = {
    errno.ENOSPC: _FULL,
    errno.EDQUOT: _FULL,
    errno.EACCES: _NOT_ALLOWED,
    errno.EPERM: _NOT_ALLOWED,
    errno.EROFS: _NOT_WRITTEN,
}


_OF_A_FILE: Mapping[int, _Words] = {
    errno.ENOSPC: _FULL,
    errno.EDQUOT: _FULL,
    errno.ENOENT: _Words("There is no such file or folder.", "Check its name and its folder."),
    errno.EISDIR: _Words("This is a folder, not a file.", "Name a file in it."),
    errno.ENOTDIR: _Words("A file is in the place of a folder here.", "Check the name."),
    errno.EACCES: _Words(
        "This file, or the folder it stands in, may not be used by you.",
        "Ask for permission to use it, or choose a folder of your own.",
    ),
    errno.EROFS: _Words("This disk is read-only.", "Choose a folder on another disk."),
    errno.ENAMETOOLONG: _Words("This name is too long.", "Choose a shorter one."),
}
_OF_A_FILE_ELSE = _Words(
    "The disk did not do what it was asked.",
    "Check that the disk or stick is still connected and sound, then do it again.",
)


Answer = sqlite3.Error | OSError | UnicodeDecodeError
"""What SQLite and the disk may raise; the last where a damaged file's own words are garbled."""


def surroundings_of(error: Answer, path: Path) -> Surroundings | None:
    """What an error of SQLite or of the disk says about `path`; None where it is a defect of ours.

    An extended result code is looked up before its primary one
    (https://www.sqlite.org/rescode.html).
    """
    if isinstance(error, OSError):
        words: _Words | None = _BY_ERRNO.get(error.errno or 0, _DISK)
    elif isinstance(error, UnicodeDecodeError):
        words = _DAMAGED
    else:
        words = _words_of(error)
    return None if words is None else _said(words, path)


def _words_of(error: sqlite3.Error) -> _Words | None:
    code: int | None = getattr(error, "sqlite_errorcode", None)
    if code is None:
        # The library itself raises this one without a code, when stored text is not UTF-8.
        return _DAMAGED if type(error) is sqlite3.OperationalError else None
    return _BY_RESULT.get(code) or _BY_RESULT.get(code & 0xFF)


def damaged(path: Path) -> Surroundings:
    """What is said of a file whose content is not what was written."""
    return _said(_DAMAGED, path)


def not_written(path: Path) -> Surroundings:
    """What is said of a file that can be read only."""
    return _said(_NOT_WRITTEN, path)


def _said(words: _Words, path: Path) -> Surroundings:
    return Surroundings(words.what, where=str(path), remedy=words.remedy)


@contextmanager
def in_words(path: Path) -> Iterator[None]:
    """Turn what the disk answers about `path` into `Surroundings`; defects pass unchanged."""
    try:
        yield
    except (sqlite3.Error, OSError, UnicodeDecodeError) as error:
        trouble = surroundings_of(error, path)
        if trouble is None:
            raise
        raise trouble from error


@contextmanager
def file_in_words(path: Path) -> Iterator[None]:
    """Turn what the disk answers about a file that is no logbook into `Surroundings`."""
    try:
        yield
    except OSError as error:
        code = errno.EACCES if error.errno == errno.EPERM else error.errno or 0
        raise _said(_OF_A_FILE.get(code, _OF_A_FILE_ELSE), path) from error
