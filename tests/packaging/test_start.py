"""The first command of README: set up, run the main job, open the desk where that is possible."""

import ast
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
import setting_up
import start
from setting_up import Environment, Unable, surroundings


class Program:
    """Stands in for the program: notes its arguments, and leaves a demo as it would."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.calls: list[list[str]] = []
        self.code = 0

    def __call__(self, command: Sequence[str], **_: object) -> subprocess.CompletedProcess[bytes]:
        assert list(command[1:4]) == ["-P", "-m", "observe"]
        self.calls.append(list(command[4:]))
        if command[4] == "demo" and not self.code:
            (self.root / "demo").mkdir()
            (self.root / "demo" / "summary.json").touch()
        return subprocess.CompletedProcess(command, self.code)


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A checkout that is set up already."""
    monkeypatch.setattr(start, "Environment", lambda: Environment(tmp_path))
    monkeypatch.setattr(Environment, "set_up", lambda _: None)
    return tmp_path


@pytest.fixture
def program(root: Path, monkeypatch: pytest.MonkeyPatch) -> Program:
    stand_in = Program(root)
    monkeypatch.setattr(subprocess, "run", stand_in)
    return stand_in


@pytest.fixture
def machine(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Choose what the machine offers a window."""

    def offer(*, screen: bool, missing: tuple[str, ...] = ()) -> None:
        monkeypatch.setattr(surroundings, "has_screen", lambda: screen)
        monkeypatch.setattr(surroundings, "missing_packages", lambda _: missing)

    return offer


def test_without_arguments_it_runs_the_demo_and_opens_the_desk_on_it(
    root: Path, program: Program, machine: Callable[..., None]
) -> None:
    machine(screen=True)
    assert start.main([]) == 0
    demo = root / "demo"
    assert program.calls == [["demo", str(demo)], ["--logbook", str(demo / "logbook.observe")]]


def test_no_desk_is_for_scripts(root: Path, program: Program, machine: Callable[..., None]) -> None:
    machine(screen=True)
    assert start.main(["--no-desk"]) == 0
    assert program.calls == [["demo", str(root / "demo")]]


def test_a_demo_that_is_there_is_kept_and_this_is_said(
    root: Path, program: Program, capsys: pytest.CaptureFixture[str]
) -> None:
    start.main(["--no-desk"])
    start.main(["--no-desk"])
    assert len(program.calls) == 1
    assert f"{root / 'demo'} is kept" in capsys.readouterr().err


@pytest.mark.parametrize("kind", ["half a demo", "a file"])
def test_what_is_in_the_place_of_the_demo_is_to_be_removed(
    kind: str, root: Path, program: Program, capsys: pytest.CaptureFixture[str]
) -> None:
    demo = root / "demo"
    if kind == "a file":
        demo.touch()
    else:
        demo.mkdir()
        (demo / "logbook.observe").touch()
    assert start.main(["--no-desk"]) == 2
    assert not program.calls
    assert "remove that folder and start again" in capsys.readouterr().err


def test_an_empty_folder_is_room_for_the_demo(root: Path, program: Program) -> None:
    (root / "demo").mkdir()
    program.code = 2
    assert start.main(["--no-desk"]) == 2
    assert len(program.calls) == 1


def test_a_demo_that_fails_is_the_end(program: Program, machine: Callable[..., None]) -> None:
    machine(screen=True)
    program.code = 2
    assert start.main([]) == 2
    assert len(program.calls) == 1


def test_without_a_screen_the_desk_stays_closed(
    program: Program, machine: Callable[..., None], capsys: pytest.CaptureFixture[str]
) -> None:
    machine(screen=False)
    assert start.main([]) == 0
    assert len(program.calls) == 1
    told = capsys.readouterr().err
    assert "No screen is attached." in told
    assert "Later, with a screen: python3 packaging/start.py" in told


def test_without_qts_libraries_the_packages_are_named(
    program: Program, machine: Callable[..., None], capsys: pytest.CaptureFixture[str]
) -> None:
    machine(screen=True, missing=("libegl1",))
    assert start.main([]) == 0
    assert len(program.calls) == 1
    assert "apt-get install libegl1" in capsys.readouterr().err


def test_other_arguments_are_the_programs_own(program: Program) -> None:
    program.code = 1
    assert start.main(["verify", "sheet.pdf", "--json"]) == 1
    assert program.calls == [["verify", "sheet.pdf", "--json"]]


def test_a_machine_that_cannot_be_set_up_is_told(
    program: Program, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def refuse(_: Environment) -> None:
        raise Unable("There is no network.")

    monkeypatch.setattr(Environment, "set_up", refuse)
    assert start.main([]) == 2
    assert capsys.readouterr().err == "There is no network.\n"
    assert not program.calls


def test_an_interruption_is_no_traceback(program: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(_: Environment) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Environment, "set_up", interrupt)
    assert start.main([]) == 130
    assert not program.calls


@pytest.mark.parametrize("script", ["start.py", "check.py"])
@pytest.mark.parametrize("version", [(3, 6), (3, 10)])
def test_an_older_python_is_told_in_a_sentence(script: str, version: tuple[int, int]) -> None:
    """Both scripts keep to what old Pythons can read; here one that says it is old."""
    path = Path(setting_up.__file__).with_name(script)
    pretend = f"import sys, runpy; sys.version_info = {version}; runpy.run_path({str(path)!r})"
    told = subprocess.run(
        [sys.executable, "-c", pretend], capture_output=True, text=True, check=False
    )
    assert told.returncode == 2
    assert told.stderr.startswith("Observe needs Python 3.11 or newer; this one is 3.")


@pytest.mark.parametrize("script", ["start.py", "check.py"])
def test_an_old_python_can_read_the_script(script: str) -> None:
    """The grammar of Python 3.6, as far as this one can still tell."""
    path = Path(setting_up.__file__).with_name(script)
    tree = ast.parse(path.read_text(encoding="utf-8"), feature_version=(3, 6))
    assert tree.body
