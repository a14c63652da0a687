"""The environment both scripts set up: made once, repaired when half made, told when unable."""

import importlib.util
import json
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest
import setting_up
from setting_up import Environment, Unable, surroundings

Command = list[str]


class Runner:
    """Stands in for the processes of venv and pip: notes them, and makes what they would make."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.commands: list[Command] = []
        self.failing = ""
        self.last_words = b"first\nno route to host\n"

    def __call__(
        self, command: Sequence[object], **_: object
    ) -> subprocess.CompletedProcess[bytes]:
        words = [str(word) for word in command]
        self.commands.append(words)
        if self.failing and self.failing in words:
            return subprocess.CompletedProcess(words, 1, b"", self.last_words)
        if words[1:3] == ["-m", "venv"]:
            python = Environment(self.root).python
            python.parent.mkdir(parents=True, exist_ok=True)
            python.touch()
        return subprocess.CompletedProcess(words, 0, b"", b"")

    def did(self) -> str:
        """The steps in short: m for making the environment, i for an installation."""
        return "".join("m" if "venv" in words else "i" for words in self.commands)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A checkout as far as setting up looks at it."""
    (tmp_path / "packaging").mkdir()
    (tmp_path / "packaging" / "constraints.txt").write_text("numpy==2.4.6\n")
    (tmp_path / "pyproject.toml").write_text("[project]\n")
    return tmp_path


@pytest.fixture
def runner(root: Path, monkeypatch: pytest.MonkeyPatch) -> Runner:
    stand_in = Runner(root)
    monkeypatch.setattr(subprocess, "run", stand_in)
    return stand_in


def test_the_first_time_it_makes_and_installs(root: Path, runner: Runner) -> None:
    Environment(root).set_up()
    assert runner.did() == "mii"
    assert runner.commands[-1][-2:] == ["--editable", str(root)]
    assert all(
        str(root / "packaging" / "constraints.txt") in words for words in runner.commands[1:]
    )


def test_the_second_time_it_does_nothing(root: Path, runner: Runner) -> None:
    Environment(root).set_up()
    Environment(root).set_up()
    assert runner.did() == "mii"


def test_the_tests_extra_is_added_once_and_then_serves_both(root: Path, runner: Runner) -> None:
    Environment(root).set_up()
    Environment(root).set_up(["tests"])
    assert runner.did() == "miiii"
    assert runner.commands[-1][-1] == f"{root}[tests]"
    Environment(root).set_up()
    Environment(root).set_up(["tests"])
    assert runner.did() == "miiii"


@pytest.mark.parametrize("changed", ["pyproject.toml", "packaging/constraints.txt"])
def test_other_pins_are_installed_into_what_is_there(
    root: Path, runner: Runner, changed: str
) -> None:
    Environment(root).set_up()
    with (root / changed).open("a") as file:
        file.write("\n# changed\n")
    Environment(root).set_up()
    assert runner.did() == "miiii"


def test_an_update_keeps_the_tests_extra(root: Path, runner: Runner) -> None:
    Environment(root).set_up(["tests"])
    (root / "pyproject.toml").write_text("[project] # changed\n")
    Environment(root).set_up()
    assert runner.commands[-1][-1] == f"{root}[tests]"


def test_an_interrupted_installation_is_made_anew(root: Path, runner: Runner) -> None:
    runner.failing = "--editable"
    with pytest.raises(Unable):
        Environment(root).set_up()
    (root / ".venv" / "half").touch()
    runner.failing = ""
    Environment(root).set_up()
    assert runner.did() == "miimii"
    assert not (root / ".venv" / "half").exists()


def test_a_moved_checkout_is_made_anew(root: Path, runner: Runner) -> None:
    Environment(root).set_up()
    moved = root.parent / "moved"
    shutil.copytree(root, moved)
    runner.root = moved
    Environment(moved).set_up()
    assert runner.did() == "miimii"


def test_another_python_is_made_anew(
    root: Path, runner: Runner, monkeypatch: pytest.MonkeyPatch
) -> None:
    Environment(root).set_up()
    monkeypatch.setattr(sys, "base_prefix", "/another")
    Environment(root).set_up()
    assert runner.did() == "miimii"


def test_an_unreadable_stamp_counts_as_none(root: Path, runner: Runner) -> None:
    Environment(root).set_up()
    for stamp in ("", "[]", '{"root": 1}', "\x00"):
        (root / ".venv" / "observe-stamp.json").write_text(stamp)
        before = len(runner.commands)
        Environment(root).set_up()
        assert len(runner.commands) > before


def test_a_python_that_has_gone_is_made_anew(root: Path, runner: Runner) -> None:
    Environment(root).set_up()
    Environment(root).python.unlink()
    Environment(root).set_up()
    assert runner.did() == "miimii"


def test_a_file_in_the_place_of_the_environment_is_replaced(root: Path, runner: Runner) -> None:
    (root / ".venv").touch()
    Environment(root).set_up()
    assert runner.did() == "mii"


def test_an_environment_made_by_hand_is_taken_over(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    runner = Runner(root)
    python = Environment(root).python
    python.parent.mkdir(parents=True)
    python.touch()

    def run(command: Sequence[object], **options: object) -> subprocess.CompletedProcess[bytes]:
        if "import pip" in str(command):
            version = f"{sys.version_info.major}.{sys.version_info.minor}\n"
            return subprocess.CompletedProcess([], 0, version, "")  # type: ignore[arg-type] # as text=True gives it
        return runner(command, **options)

    monkeypatch.setattr(subprocess, "run", run)
    Environment(root).set_up()
    assert runner.did() == "ii"


def test_an_environment_that_cannot_be_replaced_is_told(
    root: Path, runner: Runner, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(path: Path) -> None:
        raise PermissionError(13, "Permission denied", str(path))

    (root / ".venv").mkdir()
    monkeypatch.setattr(shutil, "rmtree", refuse)
    with pytest.raises(
        Unable, match=r"\.venv cannot be written .Permission denied.*\n.*start again"
    ):
        Environment(root).set_up()
    assert not runner.commands


def test_without_a_network_it_says_what_to_do(root: Path, runner: Runner) -> None:
    runner.failing = "--editable"
    with pytest.raises(Unable) as told:
        Environment(root).set_up()
    assert "connect this machine to the network once" in str(told.value)
    assert "no route to host" in str(told.value)


def test_what_is_no_matter_of_the_network_does_not_name_it(root: Path, runner: Runner) -> None:
    runner.failing = "--editable"
    runner.last_words = b"Traceback\nTypeError: expected str, bytes or os.PathLike object\n"
    with pytest.raises(Unable) as told:
        Environment(root).set_up()
    assert "network" not in str(told.value)
    assert "Start again; the environment is then made anew." in str(told.value)
    assert "TypeError" in str(told.value)


HOLD = """
import sys
from setting_up import Environment
with Environment(__import__("pathlib").Path(sys.argv[1]))._alone():
    print("held", flush=True)
    sys.stdin.read()
"""


@pytest.fixture
def another(root: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that sets up the same checkout."""
    process = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(root)],
        cwd=Path(setting_up.__file__).parent,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "held\n"
    yield process
    process.kill()
    process.communicate()


@pytest.mark.skipif(sys.platform == "win32", reason="the system has no such locks")
def test_of_two_set_ups_at_once_the_second_says_so_and_touches_nothing(
    another: subprocess.Popen[str], root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    runner = Runner(root)
    monkeypatch.setattr(subprocess, "run", runner)
    with pytest.raises(Unable, match="Another set-up is running"):
        Environment(root).set_up()
    assert not runner.commands
    assert not (root / ".venv").exists()
    another.kill()
    another.wait()
    Environment(root).set_up()
    assert runner.did() == "mii"


def test_a_folder_that_cannot_be_written_is_told(
    root: Path, runner: Runner, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(**_: object) -> None:
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr(tempfile, "TemporaryFile", refuse)
    with pytest.raises(Unable, match=r"cannot be written .Read-only file system"):
        Environment(root).set_up()
    assert not runner.commands


@pytest.fixture
def without(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Take modules and system packages away."""
    find = importlib.util.find_spec

    def take(*names: str, packages: tuple[str, ...] = ()) -> None:
        monkeypatch.setattr(
            importlib.util,
            "find_spec",
            lambda name, *rest: None if name in names else find(name, *rest),
        )
        monkeypatch.setattr(surroundings, "missing_packages", lambda _: packages)

    return take


def test_everything_the_system_lacks_is_one_command(without: Callable[..., None]) -> None:
    without("ensurepip", packages=("libegl1", "libgl1"))
    assert setting_up.lacking(venv=True, window={}) == (
        "The system lacks 3 packages.\n"
        "As an administrator run: apt-get install python3-venv libegl1 libgl1"
    )
    assert "python3-venv" not in setting_up.lacking(venv=False, window={})


def test_a_system_that_lacks_nothing(without: Callable[..., None]) -> None:
    without()
    assert setting_up.lacking(venv=True, window={}) == ""


def test_without_venv_nothing_is_begun(
    root: Path, runner: Runner, without: Callable[..., None]
) -> None:
    without("ensurepip")
    with pytest.raises(Unable, match="apt-get install python3-venv"):
        Environment(root).set_up()
    assert not runner.commands
    assert not (root / ".venv").exists()


def test_the_constraints_pin_everything_and_name_no_place(checkout: Path) -> None:
    rows = (checkout / "packaging" / "constraints.txt").read_text().splitlines()
    pins = [row for row in rows if row and not row.startswith("#")]
    assert all(row.count("==") == 1 for row in pins)
    assert not any(sign in row for row in rows for sign in ("://", "--", "@", "sha256"))
    pinned = {row.split("==")[0].lower().replace("_", "-") for row in pins}
    project = tomllib.loads((checkout / "pyproject.toml").read_text())["project"]
    asked = [*project["dependencies"], *project["optional-dependencies"]["tests"]]
    names = {row.split(">")[0].lower() for row in asked} | set(setting_up.BUILDERS)
    assert names <= pinned


def test_the_stamp_is_plain_data(root: Path, runner: Runner) -> None:
    Environment(root).set_up(["tests"])
    stamp = json.loads((root / ".venv" / "observe-stamp.json").read_text())
    assert set(stamp) == {"root", "python", "pins", "extras"}
    assert runner.did()
