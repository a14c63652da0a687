"""The disk under the logbook."""

import errno
import os
import shutil
from pathlib import Path

import pytest

from observe.work import disk
from observe.work.cautions import Reading


def test_the_ground_is_the_nearest_folder_that_exists(tmp_path: Path) -> None:
    assert disk.ground(tmp_path) == tmp_path
    assert disk.ground(tmp_path / "a" / "b") == tmp_path


def test_a_file_in_the_way_is_no_ground(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    assert disk.ground(tmp_path / "file" / "below") == tmp_path


def test_a_folder_may_be_written(tmp_path: Path) -> None:
    assert disk.writable(tmp_path)
    assert not list(tmp_path.iterdir())


def test_a_folder_that_is_none_may_not(tmp_path: Path) -> None:
    assert not disk.writable(tmp_path / "absent")


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="the system has no /proc")
def test_a_folder_whose_permissions_mislead_may_not() -> None:
    assert not disk.writable(Path("/proc"))


def test_the_probe_times_commits_and_leaves_nothing(tmp_path: Path) -> None:
    median, worst = disk.commit_ms(tmp_path, commits=5)
    assert 0 < median <= worst
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("number", "reason", "remedy"),
    [
        (errno.ENOSPC, "the disk is full", "Free some space"),
        (errno.EACCES, "this account may not use it", "permissions"),
        (errno.EEXIST, "something else is in its place", "another name"),
        (errno.ENOTDIR, "something else is in its place", "another name"),
        (errno.EROFS, "the disk is read-only", "another disk"),
        (errno.ENOENT, "it is not there", "Check its name"),
    ],
)
def test_a_refusal_of_the_machine_says_why_and_what_to_do(
    number: int, reason: str, remedy: str
) -> None:
    said = disk.refusal(OSError(number, os.strerror(number), "sheet.pdf"))
    assert said[0] == reason
    assert remedy in said[1]


def test_a_refusal_that_is_not_known_keeps_the_machines_word() -> None:
    assert disk.refusal(OSError(errno.ENXIO, "No such device."))[0] == "No such device"
    assert disk.refusal(OSError())[0] == "the machine gives no reason"


def test_a_folder_that_may_not_be_looked_into_is_no_ground(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    honest = Path.stat

    def refuse(path: Path, *, follow_symlinks: bool = True) -> os.stat_result:
        if path == tmp_path / "closed" / "own":
            raise PermissionError(errno.EACCES, "Permission denied")
        return honest(path, follow_symlinks=follow_symlinks)

    (tmp_path / "closed").mkdir()
    monkeypatch.setattr(Path, "stat", refuse)
    assert not disk.is_file(tmp_path / "closed" / "own")
    assert disk.ground(tmp_path / "closed" / "own") == tmp_path / "closed"


MB = 1_000_000


@pytest.mark.parametrize(("free", "level"), [(200, 0), (199, 1), (74, 2), (29, 3), (0, 3)])
def test_a_full_disk_is_said_before_it_is_full(free: int, level: int) -> None:
    found = disk.disk_caution(free * MB)
    assert (found.level if found else 0) == level


def test_a_caution_says_how_many_marks_still_fit_and_what_to_do() -> None:
    found = disk.disk_caution(187 * MB)
    assert found is not None
    assert found.sentence == (
        "187 MB are free on this disk, enough for about 160\u202f000 marks. Free some space."
    )
    last = disk.disk_caution(20 * MB)
    assert last is not None
    assert "hardly any more marks" in last.sentence


def test_a_disk_that_something_fills_is_said_while_much_is_free() -> None:
    filling = [Reading(0, 2000 * MB), Reading(600, 1000 * MB)]
    found = disk.disk_caution(1000 * MB, filling)
    assert found is not None
    assert found.level == 2
    assert "full in about 10 minutes at this rate" in found.sentence
    assert disk.disk_caution(90_000 * MB, filling) is None
    assert disk.disk_caution(None, filling) is None


def test_the_free_space_is_that_of_the_nearest_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[Path] = []
    usage = shutil.disk_usage(tmp_path)

    def measure(folder: Path) -> object:
        asked.append(folder)
        return usage

    monkeypatch.setattr(shutil, "disk_usage", measure)
    assert disk.free_bytes(tmp_path / "not" / "made") == usage.free
    assert asked == [tmp_path]

    def refuse(_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(shutil, "disk_usage", refuse)
    assert disk.free_bytes(tmp_path) is None


def test_marks_left_are_round_and_leave_room_for_what_stands_beside_them() -> None:
    assert disk.marks_left(0) == 0
    assert disk.marks_left(25 * MB) == 0
    assert disk.marks_left(26 * MB) == 1000
    assert disk.marks_left(187 * MB) == 160_000
