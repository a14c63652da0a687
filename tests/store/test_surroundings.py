"""SQLite's and the disk's answers become sentences by their code, never by their text."""

import errno
import sqlite3
from pathlib import Path

import pytest

from observe.domain.troubles import Surroundings
from observe.store.surroundings import (
    damaged,
    file_in_words,
    in_words,
    not_written,
    surroundings_of,
)

PATH = Path("somewhere") / "logbook.observe"


def answer(code: int, text: str = "whatever it says") -> sqlite3.OperationalError:
    error = sqlite3.OperationalError(text)
    error.sqlite_errorcode = code
    return error


@pytest.mark.parametrize(
    ("code", "said"),
    [
        (sqlite3.SQLITE_PERM, "may not be used"),
        (sqlite3.SQLITE_BUSY, "Another program"),
        (sqlite3.SQLITE_BUSY_SNAPSHOT, "Another program"),
        (sqlite3.SQLITE_LOCKED, "Another program"),
        (sqlite3.SQLITE_PROTOCOL, "Another program"),
        (sqlite3.SQLITE_READONLY, "may not be written"),
        (sqlite3.SQLITE_READONLY_DIRECTORY, "may not be written"),
        (sqlite3.SQLITE_READONLY_DBMOVED, "moved or removed"),
        (sqlite3.SQLITE_IOERR, "did not do"),
        (sqlite3.SQLITE_IOERR_FSYNC, "did not do"),
        (sqlite3.SQLITE_IOERR_SHMSIZE, "disk is full"),
        (sqlite3.SQLITE_CORRUPT, "damaged"),
        (sqlite3.SQLITE_CORRUPT_INDEX, "damaged"),
        (sqlite3.SQLITE_FULL, "disk is full"),
        (sqlite3.SQLITE_CANTOPEN, "cannot be opened"),
        (sqlite3.SQLITE_CANTOPEN_ISDIR, "cannot be opened"),
        (sqlite3.SQLITE_NOTADB, "no logbook"),
    ],
)
def test_each_answer_has_its_sentence(code: int, said: str) -> None:
    trouble = surroundings_of(answer(code), PATH)
    assert trouble is not None
    assert said in trouble.what
    assert trouble.where == str(PATH)
    assert trouble.remedy


@pytest.mark.parametrize("code", [sqlite3.SQLITE_ERROR, sqlite3.SQLITE_CONSTRAINT_UNIQUE])
def test_a_defect_of_ours_is_not_put_down_to_the_disk(code: int) -> None:
    error = answer(code, "database or disk is full")
    assert surroundings_of(error, PATH) is None
    with pytest.raises(sqlite3.OperationalError), in_words(PATH):
        raise error


def test_use_after_closing_is_a_defect_of_ours() -> None:
    connection = sqlite3.connect(":memory:")
    connection.close()
    with pytest.raises(sqlite3.ProgrammingError), in_words(PATH):
        connection.execute("SELECT 1")


def test_stored_text_that_is_no_text_is_damage() -> None:
    connection = sqlite3.connect(":memory:")
    with pytest.raises(Surroundings, match="damaged"), in_words(PATH):
        connection.execute("SELECT CAST(X'FF' AS TEXT)").fetchone()
    connection.close()


def test_words_of_sqlite_that_are_no_text_are_damage() -> None:
    with pytest.raises(Surroundings, match="damaged"), in_words(PATH):
        b"\xe5".decode()


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (errno.ENOSPC, "disk is full"),
        (errno.EDQUOT, "disk is full"),
        (errno.EACCES, "may not be used"),
        (errno.EPERM, "may not be used"),
        (errno.EROFS, "may not be written"),
        (errno.EIO, "did not do"),
    ],
)
def test_the_systems_own_answers_have_theirs(number: int, said: str) -> None:
    with pytest.raises(Surroundings, match=said) as told, in_words(PATH):
        raise OSError(number, "whatever it says")
    assert isinstance(told.value.__cause__, OSError)


def test_one_thing_is_told_in_the_same_words_wherever_it_is_found() -> None:
    told = surroundings_of(answer(sqlite3.SQLITE_CORRUPT), PATH)
    assert str(damaged(PATH)) == str(told)
    told = surroundings_of(answer(sqlite3.SQLITE_READONLY), PATH)
    assert str(not_written(PATH)) == str(told)


@pytest.mark.parametrize(
    ("code", "said"),
    [
        (errno.ENOENT, "no such file or folder"),
        (errno.EISDIR, "a folder, not a file"),
        (errno.EACCES, "may not be used by you"),
        (errno.EPERM, "may not be used by you"),
        (errno.EROFS, "read-only"),
        (errno.ENOSPC, "disk is full"),
        (errno.EIO, "did not do"),
    ],
)
def test_what_is_said_of_another_file_speaks_of_no_logbook(code: int, said: str) -> None:
    with pytest.raises(Surroundings, match=said) as caught, file_in_words(PATH):
        raise OSError(code, "whatever it says")
    assert "logbook" not in caught.value.what + caught.value.remedy
