"""A logbook's file: made, refused in words, and never changed where it is refused."""

import os
import shutil
import sqlite3
import stat
import threading
from contextlib import closing
from pathlib import Path

import pytest

from observe.domain.events import Event
from observe.domain.troubles import Doubtful, Surroundings
from observe.store import files, upgrade
from observe.store.chain import verify
from observe.store.files import ready
from observe.store.header import APPLICATION_ID, format_of
from observe.store.log import Log
from observe.store.upgrade import NEWEST, OLDEST, STEPS
from tests.store.builders import STAMP, a_mark, append, fill
from tests.store.conftest import SmallDisk


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.observe"


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "PATIENCE_S", 0.05)


def everything_in(folder: Path) -> dict[str, bytes]:
    return {one.name: one.read_bytes() for one in folder.iterdir() if one.is_file()}


def pragma(connection: sqlite3.Connection, name: str) -> object:
    return connection.execute(f"PRAGMA {name}").fetchone()[0]


def test_a_logbook_is_made_with_a_device_of_its_own(tmp_path: Path) -> None:
    devices = set()
    for name in ("a", "b"):
        with Log.open(tmp_path / "new folder" / name, create=True) as log:
            devices.add(log.device)
    assert len(devices) == 2
    assert all(len(device) == 16 for device in devices)


def test_an_empty_file_becomes_a_logbook_where_one_is_to_be_made(path: Path) -> None:
    path.touch()
    Log.open(path, create=True).close()
    Log.open(path).close()


def test_making_one_where_there_is_one_opens_it(path: Path) -> None:
    with Log.open(path, create=True) as log:
        (event,) = append(log, a_mark())
    with Log.open(path, create=True) as log:
        assert log.read() == [event]


def test_an_open_logbook_is_as_durable_as_it_can_be(path: Path) -> None:
    with closing(ready(path, create=True)) as connection:
        assert pragma(connection, "journal_mode") == "wal"
        assert pragma(connection, "synchronous") == 2  # FULL
        assert pragma(connection, "foreign_keys") == 1
        assert pragma(connection, "busy_timeout") == 2000
        assert pragma(connection, "application_id") == APPLICATION_ID
        assert pragma(connection, "user_version") == NEWEST


@pytest.mark.parametrize("read_only", [False, True])
def test_nothing_there_is_told_and_nothing_is_made(path: Path, read_only: bool) -> None:
    with pytest.raises(Surroundings, match="There is no logbook here") as refused:
        ready(path, read_only=read_only)
    assert refused.value.where == str(path)
    assert not path.exists()


def test_reading_makes_nothing(path: Path) -> None:
    with pytest.raises(Surroundings):
        ready(path, create=True, read_only=True)
    assert not path.exists()


def test_an_empty_file_is_refused_and_stays_empty(path: Path) -> None:
    path.touch()
    with pytest.raises(Surroundings, match="empty"):
        ready(path)
    assert everything_in(path.parent) == {path.name: b""}


def another_programs(path: Path) -> None:
    with closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA journal_mode = WAL")
        other.execute("CREATE TABLE event (device TEXT)")


def a_newer_one(path: Path) -> None:
    Log.open(path, create=True).close()
    with closing(sqlite3.connect(path)) as newer:
        newer.execute(f"PRAGMA user_version = {NEWEST + 1}")


def a_bare_one(path: Path) -> None:
    with closing(sqlite3.connect(path)) as bare:
        bare.execute(f"PRAGMA application_id = {APPLICATION_ID}")


def a_torn_one(path: Path) -> None:
    with Log.open(path, create=True) as log:
        fill(log, 30)
    with path.open("r+b") as file:
        file.truncate(8192)


@pytest.mark.parametrize("read_only", [False, True])
@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda path: path.write_text("Dear diary"), "This file is no logbook"),
        (lambda path: path.write_bytes(os.urandom(5000)), "This file is no logbook"),
        (another_programs, "database of another program"),
        (a_newer_one, f"newer version of Observe (format {NEWEST + 1}"),
        (a_bare_one, "damaged"),
        (a_torn_one, "damaged"),
        (lambda path: path.mkdir(), "This is a folder"),
    ],
    ids=["text", "noise", "foreign", "newer", "bare", "torn", "folder"],
)
def test_what_is_refused_is_left_as_it_is(
    path: Path, make: object, said: str, read_only: bool
) -> None:
    assert callable(make)
    make(path)
    before = everything_in(path.parent)
    with pytest.raises(Surroundings) as refused:
        ready(path, create=not read_only, read_only=read_only)
    assert said in refused.value.what
    assert refused.value.where == str(path)
    assert refused.value.remedy
    assert everything_in(path.parent) == before


def test_a_newer_format_is_seen_even_in_the_write_ahead_log(path: Path) -> None:
    """As a newer version killed in the middle of its work leaves it."""
    Log.open(path, create=True).close()
    newer = sqlite3.connect(path)
    newer.execute(f"PRAGMA user_version = {NEWEST + 1}")
    before = {name: everything_in(path.parent)[name] for name in (path.name, f"{path.name}-wal")}
    with pytest.raises(Surroundings, match="newer version"):
        ready(path)
    assert everything_in(path.parent).items() >= before.items()
    newer.close()


def test_a_logbook_whose_guards_are_gone_is_read_and_not_written(path: Path) -> None:
    with Log.open(path, create=True) as log:
        made = fill(log, 2)
    with closing(sqlite3.connect(path)) as tool:
        tool.execute("DROP TRIGGER event_no_delete")
    with pytest.raises(Doubtful, match="event_no_delete"):
        ready(path)
    with Log.open(path, read_only=True) as log:
        assert log.read() == made


@pytest.mark.usefixtures("impatient")
def test_another_program_that_writes_is_waited_for_and_then_told(
    path: Path,
) -> None:
    with Log.open(path, create=True) as log, closing(sqlite3.connect(path)) as other:
        (event,) = append(log, a_mark())
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(Surroundings, match="Another program"):
            append(log, a_mark())
        with pytest.raises(Surroundings, match="Another program"):
            log.add_form("d", "s", "n", "t")
        assert log.read() == [event]
        other.rollback()
        assert len(append(log, a_mark())) == 1


@pytest.mark.usefixtures("impatient")
def test_a_logbook_that_another_program_holds_shut_is_told(path: Path) -> None:
    Log.open(path, create=True).close()
    with closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA locking_mode = EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        for read_only in (False, True):
            with pytest.raises(Surroundings, match="Another program"):
                ready(path, read_only=read_only)
    Log.open(path).close()


def killed_while_making(path: Path) -> None:
    """Leave the first pages of a logbook and its rollback journal, as a kill does."""
    scratch = path.with_name("scratch")
    with closing(sqlite3.connect(scratch, isolation_level=None)) as connection:
        connection.execute("PRAGMA cache_size = 1")
        connection.execute("BEGIN IMMEDIATE")
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        for step in STEPS:
            step.take(connection, at="x" * 100_000)
        shutil.copy(f"{scratch}-journal", f"{path}-journal")
        connection.execute("COMMIT")
    path.write_bytes(scratch.read_bytes()[:8192])
    scratch.unlink()
    assert format_of(path) == NEWEST


def test_a_logbook_killed_while_it_was_made_can_be_made_again(path: Path) -> None:
    killed_while_making(path)
    with pytest.raises(Surroundings, match="empty"):
        ready(path)
    killed_while_making(path)
    with Log.open(path, create=True) as log:
        append(log, a_mark())
        assert verify(log).is_sound
    assert [one.name for one in path.parent.iterdir()] == [path.name]


@pytest.mark.skipif(os.name != "posix", reason="this system keeps permissions elsewhere")
def test_a_logbook_is_for_the_eyes_of_its_owner(path: Path) -> None:
    """It holds names; so do the files beside it."""
    with Log.open(path, create=True) as log:
        append(log, a_mark())
        modes = {one.name: stat.S_IMODE(one.stat().st_mode) for one in path.parent.iterdir()}
    assert modes == dict.fromkeys((path.name, f"{path.name}-wal", f"{path.name}-shm"), 0o600)


def test_two_programs_that_make_one_logbook_at_once_make_one(path: Path) -> None:
    devices: list[str] = []

    def make() -> None:
        with Log.open(path, create=True) as log:
            devices.append(log.device)

    threads = [threading.Thread(target=make) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(devices) == 4
    assert len(set(devices)) == 1


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="permissions bind no root")
@pytest.mark.parametrize("mode", [(0o400, 0o700), (0o600, 0o500)], ids=["file", "folder"])
def test_what_may_not_be_written_is_told_at_opening(path: Path, mode: tuple[int, int]) -> None:
    """Not at the first tap; and it can still be read, leaving nothing behind."""
    with Log.open(path, create=True) as log:
        made = fill(log, 2)
    path.chmod(mode[0])
    path.parent.chmod(mode[1])
    with pytest.raises(Surroundings, match="may not be written"):
        ready(path)
    with Log.open(path, read_only=True) as log:
        assert log.read() == made
    path.parent.chmod(0o700)


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="permissions bind no root")
def test_what_may_not_be_read_is_told(path: Path) -> None:
    Log.open(path, create=True).close()
    path.chmod(0)
    for read_only in (False, True):
        with pytest.raises(Surroundings, match="may not be used"):
            ready(path, read_only=read_only)


def test_a_read_only_disk_is_told_and_its_logbook_can_be_read(small_disk: SmallDisk) -> None:
    path = small_disk.folder / "logbook.observe"
    with Log.open(path, create=True) as log:
        made = fill(log, 2)
    small_disk.make_read_only()
    with pytest.raises(Surroundings, match="may not be written"):
        Log.open(path)
    with pytest.raises(Surroundings, match="may not be written"):
        Log.open(small_disk.folder / "new.observe", create=True)
    with Log.open(path, read_only=True) as log:
        assert log.read() == made
    assert [one.name for one in small_disk.folder.iterdir()] == [path.name]


def tapped_until_refused(log: Log) -> tuple[list[Event], Surroundings]:
    kept: list[Event] = []
    while True:
        try:
            kept += append(log, a_mark())
        except Surroundings as refused:
            return kept, refused


def test_a_full_disk_is_told_nothing_is_lost_and_the_same_tap_works_later(
    small_disk: SmallDisk,
) -> None:
    path = small_disk.folder / "logbook.observe"
    with Log.open(path, create=True) as log:
        made = fill(log, 3)
        small_disk.fill()
        more, refused = tapped_until_refused(log)
        assert "disk is full" in refused.what
        made += more
        assert log.read() == made
        with pytest.raises(Surroundings, match="disk is full"):
            append(log, *(a_mark() for _ in range(500)), gesture="again")
        assert log.read() == made
        small_disk.free()
        made += append(log, a_mark(), gesture="again")
        assert log.read() == made
    with Log.open(path) as log:
        assert log.read() == made


def test_a_logbook_is_not_made_on_a_full_disk_and_can_be_later(small_disk: SmallDisk) -> None:
    path = small_disk.folder / "logbook.observe"
    small_disk.fill()
    with pytest.raises(Surroundings, match="disk is full"):
        Log.open(path, create=True)
    small_disk.free()
    Log.open(path, create=True).close()


def test_a_file_that_may_not_grow_is_told_as_a_full_disk(path: Path) -> None:
    """The same answer of SQLite without a disk of our own to fill."""
    with Log.open(path, create=True) as log:
        made = fill(log, 3)
        pages = pragma(log.file.driver, "page_count")
        log.file.driver.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(Surroundings, match="disk is full"):
            log.append([a_mark("x" * 100)] * 200, gesture="many", stamp=STAMP, salts=lambda: "salt")
        assert log.read() == made
        log.file.driver.execute("PRAGMA max_page_count = 100000")
        again = log.append([a_mark()] * 200, gesture="many", stamp=STAMP, salts=lambda: "salt")
        assert log.read() == [*made, *again]


MUSEUM = Path(__file__).parent / "museum"


@pytest.fixture(params=[1, 2])
def older(request: pytest.FixtureRequest) -> int:
    """Each format that is older than the newest."""
    return int(request.param)


@pytest.fixture
def old(path: Path, older: int) -> Path:
    """A logbook as that format left it; `museum/make_format.py` made it."""
    return Path(shutil.copy(MUSEUM / f"format-{older}.observe", path))


def test_a_piece_of_every_older_format_is_kept() -> None:
    assert {format_of(one) for one in MUSEUM.glob("*.observe")} == {*range(OLDEST, NEWEST)}


def read_whole(path: Path) -> None:
    """What the museum piece holds, whatever format it has by now."""
    with Log.open(path, read_only=True) as log:
        events = log.read()
        assert [one.kind for one in events] == [
            "person-named",
            "workshop-planned",
            "mark-set",
            "voided",
        ]
        assert log.texts(events) == {
            ("0123456789abcdef/1", "name"): "Maren Oduya",
            ("0123456789abcdef/4", "reason"): "The trainer broke.",
        }
        assert log.form_source("d1") == 'title = "A form"\n'
        assert verify(log).is_sound


def test_an_older_logbook_is_upgraded_after_a_copy_was_set_aside(old: Path, older: int) -> None:
    with Log.open(old) as log:
        assert log.device == "0123456789abcdef"
        append(log, a_mark())
        assert log.head().seq == 5
        assert verify(log).is_sound
    assert format_of(old) == NEWEST
    (copy,) = (one for one in old.parent.iterdir() if one != old)
    assert os.name != "posix" or stat.S_IMODE(copy.stat().st_mode) == 0o600
    assert copy.name == f"logbook.{files.now()[:10]}.format-{older}.observe"
    assert format_of(copy) == older
    read_whole(copy)


def test_an_upgrade_leaves_its_record(old: Path) -> None:
    with closing(ready(old)) as connection:
        records = connection.execute("SELECT format, needs FROM upgrade").fetchall()
    assert records == [(step.leads_to, step.needs) for step in STEPS]


def test_an_upgraded_logbook_is_set_aside_once(old: Path) -> None:
    for _ in range(3):
        Log.open(old).close()
    assert len([*old.parent.iterdir()]) == 2


def test_reading_an_older_logbook_changes_nothing(old: Path) -> None:
    before = everything_in(old.parent)
    read_whole(old)
    assert everything_in(old.parent) == before


@pytest.mark.parametrize("older", [1], indirect=True)
def test_an_interrupted_upgrade_is_harmless(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped between the statements of a step, the file is of the old format, and whole."""
    statements = (STEPS[1].statements[0], "SELECT no_such_column")
    monkeypatch.setattr(upgrade, "STEPS", (STEPS[0], STEPS[1]._replace(statements=statements)))
    with pytest.raises(sqlite3.OperationalError):
        ready(old)
    monkeypatch.undo()
    assert format_of(old) == 1
    read_whole(old)
    with Log.open(old) as log:
        assert verify(log).is_sound
    assert format_of(old) == NEWEST


def test_no_room_for_the_copy_leaves_the_old_logbook_as_it_is(small_disk: SmallDisk) -> None:
    old = Path(shutil.copy(MUSEUM / "format-1.observe", small_disk.folder))
    before = old.read_bytes()
    with (small_disk.folder / "half").open("wb") as half:
        half.write(b"x" * (512 * 1024 - 3 * len(before)))
    small_disk.fill()
    with pytest.raises(Surroundings, match="disk is full"):
        Log.open(old)
    small_disk.free()
    read_whole(old)
    (small_disk.folder / "half").unlink()
    Log.open(old).close()
    assert format_of(old) == NEWEST
