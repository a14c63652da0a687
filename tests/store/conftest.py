"""Disks that can be filled or locked up."""

import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest


@dataclass(frozen=True)
class SmallDisk:
    """A disk of its own, small enough to be filled."""

    folder: Path

    def fill(self) -> None:
        """Leave not one byte free."""
        with (self.folder / "filler").open("wb", buffering=0) as filler:
            try:
                while True:
                    filler.write(b"x" * 512)
            except OSError:
                return

    def free(self) -> None:
        (self.folder / "filler").unlink()

    def make_read_only(self) -> None:
        subprocess.run(["mount", "-o", "remount,ro", self.folder], check=True)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[SmallDisk]:
    folder = tmp_path / "disk"
    folder.mkdir()
    mount = shutil.which("mount")
    if mount is None:
        pytest.skip("no small disk: there is no mount command here")
    command = [mount, "-t", "tmpfs", "-o", "size=512k", "tmpfs", str(folder)]
    made = subprocess.run(command, capture_output=True, text=True, check=False)
    if made.returncode:
        pytest.skip(f"no small disk: {made.stderr.strip()}")
    yield SmallDisk(folder)
    subprocess.run(["umount", str(folder)], check=True)
