"""What a file is, told from its first bytes; nothing is touched."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from observe.domain.troubles import Surroundings
from observe.store.header import format_of
from observe.store.log import Log
from observe.store.upgrade import NEWEST


def test_a_logbook_names_its_format(tmp_path: Path) -> None:
    path = tmp_path / "logbook.observe"
    Log.open(path, create=True).close()
    assert format_of(path) == NEWEST


def test_a_logbook_is_known_from_its_first_moment(tmp_path: Path) -> None:
    """Also while everything written so far is in the write-ahead log."""
    path = tmp_path / "logbook.observe"
    with Log.open(path, create=True):
        assert format_of(path) == NEWEST


def test_nothing_and_an_empty_file_have_no_format(tmp_path: Path) -> None:
    path = tmp_path / "logbook.observe"
    assert format_of(path) is None
    path.touch()
    assert format_of(path) is None


@pytest.mark.parametrize(
    "content",
    [
        b"Dear diary, today we practised.",
        b"x",
        b"SQLite format 3\x00",
        b"SQLite format 3\x00" + b"\x00" * 83,
        b"SQLite format 4\x00" + b"\x00" * 200,
        b"\x00" * 4096,
        "ü".encode() * 300,
    ],
)
def test_a_file_of_another_kind_is_no_logbook(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "notes.txt"
    path.write_bytes(content)
    with pytest.raises(Surroundings, match="no logbook") as refused:
        format_of(path)
    assert refused.value.where == str(path)
    assert refused.value.remedy
    assert path.read_bytes() == content


def test_a_database_of_another_program_is_no_logbook(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE event (device TEXT)")
    with pytest.raises(Surroundings, match="another program"):
        format_of(path)


def test_a_folder_is_no_logbook(tmp_path: Path) -> None:
    with pytest.raises(Surroundings, match="folder"):
        format_of(tmp_path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(Surroundings, match="not a plain file"):
        format_of(pipe)


def test_a_name_below_a_file_is_told_in_words(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    assert format_of(tmp_path / "file" / "logbook.observe") is None
    with pytest.raises(Surroundings):
        format_of(tmp_path / ("long" * 100))
