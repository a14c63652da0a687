"""`observe sheet` and `observe verify` on a workshop's sheets, from the issue to the reading."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from observe.commands.main import run
from tests.work.machines import Desk, lead_desk

Out = pytest.CaptureFixture[str]


@pytest.fixture
def lead(tmp_path: Path) -> Desk:
    desk = lead_desk(tmp_path, looks=0)
    desk.seal(desk.watch(1, "o1"))
    return desk


def test_the_sheets_of_an_afternoon(lead: Desk, tmp_path: Path, capsys: Out) -> None:
    book, folder = str(lead.logbook.path), str(tmp_path / "sheets")
    assert run(["sheet", "issue", book, folder, "--by", "Anna", "--sign", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    (made,) = told["made"]
    assert [one["seat"] for one in told["left"]] == [2]
    assert run(["sheet", "handed", book, folder, "--seat", "1", "--by", "Anna"]) == 0
    assert run(["sheet", "read", book, folder, "--seat", "1", "--by", "Anna", "--unsigned"]) == 0
    capsys.readouterr()
    assert run(["sheet", "list", book]) == 1
    assert ": done" in capsys.readouterr().out
    assert run(["sheet", "print", book, folder, str(tmp_path / "all.pdf")]) == 0
    capsys.readouterr()
    assert run(["verify", "--logbook", book, made["file"], "--json"]) == 0
    (found,) = json.loads(capsys.readouterr().out)["files"]
    assert found["logbook"] == "issued"
    assert run(["verify", "--logbook", book, "--code", found["code"]]) == 0
    assert "It stands." in capsys.readouterr().out
    assert run(["verify"]) == 2
    assert run(["sheet", "handed", book, folder, "--seat", "9", "--by", "Anna"]) == 2


def test_a_closed_key_asks_for_its_passphrase(lead: Desk, tmp_path: Path, capsys: Out) -> None:
    book, folder = str(lead.logbook.path), str(tmp_path / "sheets")
    secret, wrong = tmp_path / "secret.txt", tmp_path / "wrong.txt"
    secret.write_text("amber window quiet\n", encoding="utf-8")
    wrong.write_text("amber window\n", encoding="utf-8")
    given = ["--passphrase-file", str(secret)]
    assert run(["key", "close", book, "--by", "Anna", *given, "--json"]) == 0
    recovery = json.loads(capsys.readouterr().out)["recovery_key"]
    issue = ["sheet", "issue", book, folder, "--by", "Anna", "--sign", "--seat", "1"]
    assert run([*issue, "--passphrase-file", str(wrong)]) == 2
    assert "does not open" in capsys.readouterr().err
    assert run([*issue, *given]) == 0
    kept = tmp_path / "recovery.txt"
    kept.write_text(recovery, encoding="utf-8")
    stick = str(tmp_path / "stick")
    assert run(["key", "back-up", book, stick, "--by", "Anna"]) == 0
    recover = ["key", "recover", book, "--by", "Anna", "--recovery-file", str(kept)]
    assert run([*recover, "--passphrase-file", str(secret)]) == 0
    assert run(["key", "renew", book, "--by", "Anna", *given]) == 0
    assert "A new key stands" in capsys.readouterr().out
    assert run(["key", "restore", book, stick, "--by", "Anna"]) == 2
