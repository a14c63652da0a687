"""The second command of README: every check is run, and what failed is named at the end."""

import shutil
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import check
import pytest
from setting_up import ROOT, Environment, Unable, surroundings


class Tools:
    """Stands in for the checks: notes what was run, and lets chosen ones fail."""

    def __init__(self) -> None:
        self.commands: list[str] = []
        self.screens: list[str] = []
        self.failing = "nothing"

    def __call__(
        self, command: Sequence[str], *, env: dict[str, str], **_: object
    ) -> subprocess.CompletedProcess[bytes]:
        line = " ".join(command[1:])
        self.commands.append(line)
        self.screens.append(env.get("OBSERVE_TESTS_SCREENS", env.get("DISPLAY", "none")))
        return subprocess.CompletedProcess(command, int(self.failing in line))


@pytest.fixture
def tools(monkeypatch: pytest.MonkeyPatch) -> Tools:
    """A machine that is set up and has every outside tool."""
    stand_in = Tools()

    numbers = iter(range(5, 9))

    @contextmanager
    def screen() -> Iterator[str]:
        yield f":{next(numbers)}"

    monkeypatch.delenv("CI", raising=False)
    monkeypatch.setenv("DISPLAY", ":0")
    monkeypatch.setattr(Environment, "set_up", lambda *_: None)
    monkeypatch.setattr(surroundings, "missing_packages", lambda _: ())
    monkeypatch.setattr(shutil, "which", lambda tool: f"/usr/bin/{tool}")
    monkeypatch.setattr(check, "real_screen", screen)
    monkeypatch.setattr(subprocess, "run", stand_in)
    return stand_in


def test_everything_is_run_and_the_suite_comes_last(
    tools: Tools, capsys: pytest.CaptureFixture[str]
) -> None:
    assert check.main([]) == 0
    for word in ("ruff format", "ruff check", "mypy", "lint_imports", "tests/desk"):
        assert any(word in line for line in tools.commands)
    assert tools.commands[-1] == "-m pytest -q -n 2 --dist worksteal --after-screen"
    assert capsys.readouterr().err.endswith("All checks passed.\n")


def test_the_suite_sees_no_screen_and_each_worker_of_the_desk_its_own(tools: Tools) -> None:
    check.main([])
    on_screen = dict(zip(tools.commands, tools.screens, strict=True))
    assert on_screen["-m pytest -q -n 2 --dist worksteal --after-screen"] == "none"
    assert on_screen["-m pytest -q -n 2 --dist worksteal tests/desk"] == ":5 :6"


def test_without_a_real_screen_all_of_the_desk_is_tested_in_memory(
    tools: Tools, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "which", lambda tool: None if tool == "Xvfb" else tool)
    check.main([])
    assert tools.commands[-1] == "-m pytest -q -n 2 --dist worksteal"


def test_what_failed_is_named_and_the_rest_still_runs(
    tools: Tools, capsys: pytest.CaptureFixture[str]
) -> None:
    tools.failing = "mypy"
    assert check.main([]) == 1
    assert len(tools.commands) == 6
    assert capsys.readouterr().err.endswith("FAILED: types\n")


def test_deep_reaches_the_tests(tools: Tools) -> None:
    check.main(["--deep"])
    assert tools.commands[-1].startswith("-m pytest -q --deep -n 2")
    assert any("no:pytest-qt --ignore tests/desk" in line for line in tools.commands)


@pytest.mark.parametrize(("ci", "code"), [("", 0), ("true", 1)])
def test_absent_outside_tools_are_named_and_fail_only_in_the_gate(
    ci: str,
    code: int,
    tools: Tools,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setenv("CI", ci)
    monkeypatch.setattr(shutil, "which", lambda tool: None if tool in {"qpdf", "Xvfb"} else tool)
    assert check.main([]) == code
    told = capsys.readouterr().err
    assert "2 outside tools are absent" in told
    assert "apt-get install qpdf xvfb" in told
    assert not any("tests/desk" in line for line in tools.commands)


def test_a_system_that_lacks_packages_is_told_before_anything_is_installed(
    tools: Tools, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(surroundings, "missing_packages", lambda _: ("libegl1",))
    assert check.main([]) == 2
    assert "apt-get install libegl1" in capsys.readouterr().err
    assert not tools.commands


def test_a_machine_that_cannot_be_set_up_is_told(
    tools: Tools, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def refuse(*_: object) -> None:
        raise Unable("There is no network.")

    monkeypatch.setattr(Environment, "set_up", refuse)
    assert check.main([]) == 2
    assert capsys.readouterr().err == "There is no network.\n"
    assert not tools.commands


def test_an_unknown_argument_shows_how_it_is_called(
    tools: Tools, capsys: pytest.CaptureFixture[str]
) -> None:
    assert check.main(["--fast"]) == 2
    assert "python3 packaging/check.py [--deep]" in capsys.readouterr().err
    assert not tools.commands


@pytest.mark.outside("Xvfb")
def test_real_screens_are_there_for_the_block_only() -> None:
    with check.real_screens(2) as variables:
        displays = variables["OBSERVE_TESTS_SCREENS"].split()
        assert variables["DISPLAY"] == displays[0]
        assert variables["QT_QPA_PLATFORM"] == "xcb"
        sockets = {Path(f"/tmp/.X11-unix/X{one[1:]}") for one in displays}  # noqa: S108 - where X servers keep it
        assert len(sockets) == 2
        assert all(socket.exists() for socket in sockets)
    assert not any(socket.exists() for socket in sockets)


@pytest.mark.parametrize("after", [(), ("--after-screen",)])
def test_after_a_real_screen_the_desk_is_asked_only_what_differs_in_memory(
    after: tuple[str, ...], pytestconfig: pytest.Config
) -> None:
    """All is left in where no screen was; the rest of the project is never left out."""
    left_out = pytestconfig.pluginmanager.get_plugin(str(ROOT / "tests" / "conftest.py"))
    assert left_out is not None
    marks = {"deep": False, "also_in_memory": False}

    class Item:
        path = ROOT / "tests" / "desk" / "live" / "test_any.py"

        @staticmethod
        def get_closest_marker(name: str) -> bool | None:
            return marks[name] or None

    class Config:
        @staticmethod
        def getoption(name: str) -> bool:
            return name in after

    assert left_out.is_left_out(Item, Config) is bool(after)
    marks["also_in_memory"] = True
    assert not left_out.is_left_out(Item, Config)
    Item.path = ROOT / "tests" / "domain" / "test_any.py"
    marks["also_in_memory"] = False
    assert not left_out.is_left_out(Item, Config)
    marks["deep"] = True
    assert left_out.is_left_out(Item, Config)


def test_the_gate_installs_what_the_check_asks_for(checkout: Path) -> None:
    gate = (checkout / ".ci" / "run").read_text(encoding="utf-8")
    wanted = {
        *surroundings.DRAWING.values(),
        *surroundings.X_WINDOW.values(),
        *check.OUTSIDE.values(),
        "python3-venv",
    }
    assert not {package for package in wanted if package not in gate.split()}
