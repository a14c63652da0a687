"""`observe doctor` tells a person and a program the same findings."""

import json
from collections.abc import Iterator

import pytest

from observe.commands.main import run
from observe.work import doctor
from observe.work.doctor import Finding

FIT = Finding("Clock", True, "It runs.")
REMARK = Finding("Screen", True, "There is none.", "The desk needs one.")
WANTING = Finding("Disk", False, "It is full.", "Free some space.", 12, "MB")


@pytest.fixture
def found(monkeypatch: pytest.MonkeyPatch) -> list[Finding]:
    """What the examination will find; filled by each test."""
    findings: list[Finding] = []

    def examine() -> Iterator[Finding]:
        yield from findings

    monkeypatch.setattr(doctor, "examine", examine)
    return findings


def test_a_fit_machine(found: list[Finding], capsys: pytest.CaptureFixture[str]) -> None:
    found += [FIT, REMARK]
    assert run(["doctor"]) == 0
    assert capsys.readouterr().out == (
        "fine     Clock: It runs.\n"
        "remark   Screen: There is none.\n"
        "         The desk needs one.\n"
        "\nThis machine is fit for a workshop.\n"
    )


def test_a_machine_found_wanting(found: list[Finding], capsys: pytest.CaptureFixture[str]) -> None:
    found += [FIT, WANTING]
    assert run(["doctor"]) == 1
    told = capsys.readouterr().out
    assert "WANTING  Disk: It is full.\n         Free some space.\n" in told
    assert told.endswith("This machine is not fit yet: Disk.\n")


def test_the_same_for_a_program(found: list[Finding], capsys: pytest.CaptureFixture[str]) -> None:
    found += [FIT, WANTING]
    assert run(["doctor", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["fit"] is False
    assert told["findings"][1] == {
        "about": "Disk",
        "fit": False,
        "sentence": "It is full.",
        "remedy": "Free some space.",
        "value": 12,
        "unit": "MB",
    }
