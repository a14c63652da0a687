"""Each thing that could fail a workshop: what is found when it is well, and when it is not."""

import errno
import os
import shutil
import sqlite3
import subprocess
import sys
from importlib import metadata
from pathlib import Path
from typing import NamedTuple

import pytest

from observe import places
from observe.domain.troubles import Surroundings
from observe.work import awake, disk, doctor, power, surroundings
from observe.work.power import Battery


class Usage(NamedTuple):
    """What the system tells of a disk, in bytes."""

    total: int
    used: int
    free: int


def test_everything_is_looked_at_and_said_in_sentences() -> None:
    findings = list(doctor.examine())
    assert len({finding.about for finding in findings}) == len(findings) == 14
    for finding in findings:
        assert finding.sentence.endswith(".")
        assert finding.fit or finding.remedy


def test_an_old_python(monkeypatch: pytest.MonkeyPatch) -> None:
    assert doctor.python().fit
    monkeypatch.setattr(sys, "version_info", (3, 9, 2, "final", 0))
    finding = doctor.python()
    assert not finding.fit
    assert "Python 3.9.2" in finding.sentence


def test_a_library_that_is_not_installed(monkeypatch: pytest.MonkeyPatch) -> None:
    assert "SQLAlchemy 2" in doctor.libraries().sentence

    def absent(name: str) -> str:
        raise metadata.PackageNotFoundError(name)

    monkeypatch.setattr(metadata, "version", absent)
    finding = doctor.libraries()
    assert not finding.fit
    assert finding.sentence.startswith("Not installed: PySide6-Essentials, ")


def test_an_old_sqlite(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 8, 0))
    assert not doctor.libraries().fit


def test_missing_system_packages_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(surroundings, "missing_packages", lambda _: ("libegl1",))
    finding = doctor.system_packages()
    assert not finding.fit
    assert finding.remedy.endswith("apt-get install libegl1")


def test_qt_is_really_started() -> None:
    pytest.importorskip("PySide6")
    finding = doctor.qt()
    assert finding.fit, finding.sentence
    assert finding.sentence.startswith("Qt 6.")


def test_a_qt_that_dies_is_told_with_its_last_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(doctor, "_QT_TRIAL", "import sys; sys.exit('libEGL.so.1 is not there')")
    finding = doctor.qt()
    assert not finding.fit
    assert finding.sentence == "Qt does not start; it says: libEGL.so.1 is not there."
    assert finding.remedy == "Set the program up again."
    monkeypatch.setattr(surroundings, "missing_packages", lambda _: ("libegl1",))
    assert doctor.qt().remedy.endswith("apt-get install libegl1")


def test_a_qt_that_hangs_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def hang(*_: object, **__: object) -> None:
        raise subprocess.TimeoutExpired("qt", 60)

    monkeypatch.setattr(subprocess, "run", hang)
    assert not doctor.qt().fit


def test_a_frozen_build_carries_its_qt(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "frozen", True, raising=False)
    assert doctor.qt().fit


def test_no_screen_is_a_remark(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(surroundings, "has_screen", lambda: False)
    finding = doctor.screen()
    assert finding.fit
    assert "graphical session" in finding.remedy
    monkeypatch.setattr(surroundings, "has_screen", lambda: True)
    assert not doctor.screen().remedy


def test_shipped_files_that_are_not_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert doctor.shipped_files().fit
    monkeypatch.setattr(places, "forms", lambda: tmp_path)
    assert not doctor.shipped_files().fit

    def missing() -> Path:
        raise Surroundings("The folder is missing.", remedy="Install it again.")

    monkeypatch.setattr(places, "forms", missing)
    assert doctor.shipped_files().sentence == "The folder is missing."


def test_a_data_folder_that_cannot_be_written(
    own_home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert doctor.data_folder().fit
    monkeypatch.setattr(disk, "writable", lambda folder: folder != own_home)
    finding = doctor.data_folder()
    assert not finding.fit
    assert str(own_home) in finding.remedy


def test_a_file_in_the_place_of_the_data_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "observe").touch()
    monkeypatch.setenv("OBSERVE_HOME", str(tmp_path / "observe"))
    finding = doctor.data_folder()
    assert not finding.fit
    assert finding.sentence.endswith("is a file, not a folder.")


@pytest.mark.skipif(os.name != "posix", reason="permissions are those of POSIX systems")
def test_keys_that_others_can_read(own_home: Path) -> None:
    assert "No key" in doctor.keys_folder().sentence
    folder = own_home / "keys"
    folder.mkdir(mode=0o700)
    key = folder / "own.pem"
    key.touch(mode=0o600)
    assert doctor.keys_folder().sentence == "Only you can read them."
    key.chmod(0o640)
    finding = doctor.keys_folder()
    assert not finding.fit
    assert finding.sentence == "Other users can read: own.pem."


@pytest.mark.parametrize(
    ("free_mb", "fit", "remark"), [(150, False, True), (700, True, True), (5000, True, False)]
)
def test_room_on_the_disk(
    free_mb: int, fit: bool, remark: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: Usage(0, 0, free_mb * 1_000_000))
    finding = doctor.free_disk()
    assert (finding.fit, bool(finding.remedy), finding.value) == (fit, remark, free_mb)


def test_little_room_is_said_in_marks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: Usage(0, 0, 700_000_000))
    assert doctor.free_disk().sentence == "0.7 GB are free, room for about 670000 marks."


@pytest.mark.parametrize(
    ("found", "remark"),
    [
        (None, False),
        (Battery(40, plugged=True), False),
        (Battery(90, plugged=False), False),
        (Battery(40, plugged=False), True),
    ],
)
def test_a_low_battery_is_a_remark(
    found: Battery | None, remark: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(power, "battery", lambda: found)
    finding = doctor.battery()
    assert finding.fit
    assert bool(finding.remedy) == remark


def test_a_screen_that_cannot_be_kept_on_is_a_remark(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(awake, "means", lambda: None)
    finding = doctor.idle_lock()
    assert finding.fit
    assert "screen saver" in finding.remedy
    monkeypatch.setattr(awake, "means", lambda: "the system")
    assert not doctor.idle_lock().remedy


@pytest.mark.parametrize(
    ("median_ms", "fit", "remark"), [(0.3, True, False), (45.0, True, True), (150.0, False, True)]
)
def test_how_long_a_mark_takes(
    median_ms: float, fit: bool, remark: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(disk, "commit_ms", lambda _: (median_ms, median_ms * 2))
    finding = doctor.durable_commits()
    assert (finding.fit, bool(finding.remedy), finding.value) == (fit, remark, median_ms)


def test_a_disk_that_refuses_the_trial(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_: Path) -> tuple[float, float]:
        raise sqlite3.OperationalError("disk I/O error")

    monkeypatch.setattr(disk, "commit_ms", refuse)
    finding = doctor.durable_commits()
    assert not finding.fit
    assert finding.sentence.endswith("refuses to keep a logbook.")


def refusing(*_: object, **__: object) -> None:
    raise PermissionError(errno.EACCES, "Permission denied", "own")


def test_a_home_that_this_account_may_not_use_is_found_wanting_in_sentences(
    own_home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (own_home / "keys").mkdir()
    monkeypatch.setattr(Path, "iterdir", refusing)
    monkeypatch.setattr(disk, "commit_ms", refusing)
    monkeypatch.setattr(shutil, "disk_usage", refusing)
    wanting = {one.about: one for one in doctor.examine() if not one.fit}
    assert {"Signing keys", "Keeping a mark", "Free disk"} <= set(wanting)
    for finding in wanting.values():
        assert "this account may not use it." in finding.sentence
        assert "Errno" not in finding.sentence
        assert finding.remedy


def test_a_clock_before_the_program_was_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert doctor.clock().fit
    from_the_future = tmp_path / "doctor.py"
    from_the_future.touch()
    os.utime(from_the_future, (4e9, 4e9))
    monkeypatch.setattr(doctor, "__file__", str(from_the_future))
    finding = doctor.clock()
    assert not finding.fit
    assert finding.remedy == "Set the machine's clock."


def test_the_time_zone_is_named() -> None:
    finding = doctor.time_zone()
    assert finding.fit
    assert "UTC" in finding.sentence
