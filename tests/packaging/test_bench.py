import subprocess
from pathlib import Path

import pytest

bench = pytest.importorskip("bench")


class ReadyEnvironment:
    """An environment that is set up already."""

    def __init__(self) -> None:
        self.python = Path("/of/the/project/python")

    def set_up(self) -> None:
        pass


def test_it_measures_in_the_projects_own_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    called: list[list[str]] = []

    def run(command: list[str], *, check: bool) -> subprocess.CompletedProcess[str]:
        assert not check
        called.append(command)
        return subprocess.CompletedProcess(command, 7)

    monkeypatch.setattr(bench, "Environment", ReadyEnvironment)
    monkeypatch.setattr(bench.subprocess, "run", run)
    assert bench.main(["--taps", "3"]) == 7
    ((python, script, *rest),) = called
    assert python == "/of/the/project/python"
    assert script.endswith("measuring.py")
    assert rest == ["--taps", "3"]


def test_it_says_why_it_cannot_set_up(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Lacking(ReadyEnvironment):
        def set_up(self) -> None:
            raise bench.Unable("python3-venv is missing")

    monkeypatch.setattr(bench, "Environment", Lacking)
    assert bench.main([]) == 2
    told = capsys.readouterr()
    assert "python3-venv" in told.out + told.err
