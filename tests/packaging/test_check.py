"""The second command of README: every check is run, and what failed is named at the end."""

import shutil
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import check
import pytest
from setting_up import Environment, Unable, surroundings


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
        self.screens.append(env.get("DISPLAY", "none"))
        return subprocess.CompletedProcess(command, int(self.failing in line))


@pytest.fixture
def tools(monkeypatch: pytest.MonkeyPatch) -> Tools:
    """A machine that is set up and has every outside tool."""
    stand_in = Tools()

    @contextmanager
    def screen() -> Iterator[dict[str, str]]:
        yield {"DISPLAY": ":5"}

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
    assert tools.commands[-1] == "-m pytest -q -n 2"
    assert capsys.readouterr().err.endswith("All checks passed.\n")


def test_the_suite_sees_no_screen_and_the_desk_sees_its_own(tools: Tools) -> None:
    check.main([])
    on_screen = dict(zip(tools.commands, tools.screens, strict=True))
    assert on_screen["-m pytest -q -n 2"] == "none"
    assert on_screen["-m pytest -q tests/desk"] == ":5"


def test_what_failed_is_named_and_the_rest_still_runs(
    tools: Tools, capsys: pytest.CaptureFixture[str]
) -> None:
    tools.failing = "mypy"
    assert check.main([]) == 1
    assert len(tools.commands) == 6
    assert capsys.readouterr().err.endswith("FAILED: types\n")


def test_deep_reaches_the_tests(tools: Tools) -> None:
    check.main(["--deep"])
    assert tools.commands[-1] == "-m pytest -q --deep -n 2"
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
def test_a_real_screen_is_there_for_the_block_only() -> None:
    with check.real_screen() as variables:
        number = variables["DISPLAY"].removeprefix(":")
        assert variables["QT_QPA_PLATFORM"] == "xcb"
        socket = Path(f"/tmp/.X11-unix/X{number}")  # noqa: S108 - where X servers keep it
        assert socket.exists()
    assert not socket.exists()


def test_the_gate_installs_what_the_check_asks_for(checkout: Path) -> None:
    gate = (checkout / ".ci" / "run").read_text(encoding="utf-8")
    wanted = {
        *surroundings.DRAWING.values(),
        *surroundings.X_WINDOW.values(),
        *check.OUTSIDE.values(),
        "python3-venv",
    }
    assert not {package for package in wanted if package not in gate.split()}
