"""The disk under the logbook."""

from pathlib import Path

import pytest

from observe.work import disk


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
