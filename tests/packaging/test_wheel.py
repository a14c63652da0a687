"""The wheel carries all that the program needs, and the program finds it there."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory, checkout: Path) -> Path:
    """A folder with the wheel unpacked, as an installation leaves it."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(command, cwd=checkout, capture_output=True, check=True)
    (wheel,) = folder.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder / "site")
    return folder / "site"


def files(folder: Path) -> set[str]:
    return {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_every_shipped_file_is_in_it(site: Path, checkout: Path) -> None:
    bundled = site / "observe" / "_bundled"
    assert files(bundled / "forms") == files(checkout / "forms")
    assert files(bundled / "resources") == files(checkout / "resources")
    assert (site / "observe" / "py.typed").exists()


def test_nothing_else_is_in_it(site: Path) -> None:
    assert {path.name.partition("-")[0] for path in site.iterdir()} == {"observe"}
    assert not list(site.rglob("test_*.py"))


def test_the_program_finds_its_files_there(site: Path) -> None:
    ask = (
        f"import sys; sys.path.insert(0, {str(site)!r});"
        "from observe import places; print(places.forms()); print(places.resources())"
    )
    told = subprocess.run(
        [sys.executable, "-P", "-c", ask], cwd=site, capture_output=True, text=True, check=True
    )
    bundled = site / "observe" / "_bundled"
    assert told.stdout.split() == [str(bundled / "forms"), str(bundled / "resources")]
