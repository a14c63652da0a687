"""The copy that is kept before an upgrade."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from observe.domain.troubles import Surroundings
from observe.store.surroundings import in_words
from observe.store.upgrade.setaside import set_aside
from tests.store.conftest import SmallDisk


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.observe"


@pytest.fixture
def connection(path: Path) -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(path, isolation_level=None)) as opened:
        opened.execute("PRAGMA journal_mode = WAL")
        opened.execute("CREATE TABLE t (x)")
        opened.execute("INSERT INTO t VALUES ('kept')")
        yield opened


def test_the_copy_is_named_by_date_and_format_and_stands_alone(
    path: Path, connection: sqlite3.Connection
) -> None:
    """It holds what is still in the write-ahead log, and needs no file beside it."""
    copy = set_aside(path, connection, 1, date="2026-11-25")
    assert copy == path.with_name("logbook.2026-11-25.format-1.observe")
    alone = path.parent / "elsewhere"
    alone.write_bytes(copy.read_bytes())
    with closing(sqlite3.connect(alone)) as reader:
        assert reader.execute("SELECT x FROM t").fetchall() == [("kept",)]
        assert reader.execute("PRAGMA journal_mode").fetchone() == ("delete",)


def test_an_earlier_copy_is_never_written_over(path: Path, connection: sqlite3.Connection) -> None:
    first = set_aside(path, connection, 1, date="2026-11-25")
    before = first.read_bytes()
    connection.execute("INSERT INTO t VALUES ('later')")
    second = set_aside(path, connection, 1, date="2026-11-25")
    assert second.name == "logbook.2026-11-25.format-1-2.observe"
    assert first.read_bytes() == before


def test_half_a_copy_of_an_interrupted_upgrade_is_replaced(
    path: Path, connection: sqlite3.Connection
) -> None:
    half = path.with_name("logbook.2026-11-25.format-1.observe.part")
    half.write_bytes(b"half")
    assert set_aside(path, connection, 1, date="2026-11-25").exists()
    assert not half.exists()


@pytest.mark.parametrize("page", [1, 3])
def test_a_damaged_logbook_is_not_set_aside_as_if_it_were_sound(
    path: Path, connection: sqlite3.Connection, page: int
) -> None:
    connection.executemany("INSERT INTO t VALUES (?)", [("x" * 500,)] * 50)
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()
    with path.open("r+b") as file:
        file.seek(page * 4096)
        file.write(b"\xff" * 64)
    with (
        closing(sqlite3.connect(path)) as damaged,
        pytest.raises(Surroundings, match="damaged"),
        in_words(path),
    ):
        set_aside(path, damaged, 1, date="2026-11-25")
    assert [one.name for one in path.parent.iterdir()] == [path.name]


def test_a_full_disk_leaves_no_half_copy(small_disk: SmallDisk) -> None:
    path = small_disk.folder / "logbook.observe"
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("CREATE TABLE t (x)")
        connection.executemany("INSERT INTO t VALUES (?)", [("x" * 900,)] * 50)
        small_disk.fill()
        with pytest.raises((sqlite3.OperationalError, OSError)):
            set_aside(path, connection, 1, date="2026-11-25")
        small_disk.free()
    assert [one.name for one in small_disk.folder.iterdir()] == [path.name]
