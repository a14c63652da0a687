"""Closed packets on the command line: the passphrase is asked for, or read from a file."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe.commands.main import run
from observe.commands.passphrase import passphrase_from
from observe.domain.troubles import BadInput, Refused
from tests.work.machines import lead_desk

Out = pytest.CaptureFixture[str]


def test_a_closed_packet_opens_with_its_passphrase_alone(tmp_path: Path, capsys: Out) -> None:
    lead = lead_desk(tmp_path)
    right, wrong = tmp_path / "right", tmp_path / "wrong"
    right.write_text("amber window\n", encoding="utf-8")
    wrong.write_text("amber widow", encoding="utf-8")
    packet, mine = str(tmp_path / "p.packet"), str(tmp_path / "mine.observe")
    plan = ["packet", "plan", str(lead.logbook.path), packet, "--by", "Anna"]
    assert run([*plan, "--passphrase-file", str(right)]) == 0
    held = Path(packet).read_bytes()
    assert b"Lina" not in held
    assert not held.startswith(b"PK")
    assert run(["packet", "look", packet]) == 2
    assert "A passphrase is needed" in capsys.readouterr().err
    assert run(["merge", mine, packet, "--passphrase-file", str(wrong)]) == 2
    assert "does not open this packet" in capsys.readouterr().err
    assert run(["merge", mine, packet, "--passphrase-file", str(right)]) == 0
    assert run(["packet", "look", packet, "--passphrase-file", str(right)]) == 0
    lead.logbook.close()


class Terminal:
    """A terminal at which somebody answers."""

    def __init__(self, *answers: str) -> None:
        self.answers = list(answers)

    def isatty(self) -> bool:
        return True

    def getpass(self, prompt: str) -> str:
        assert prompt
        return self.answers.pop(0)


def test_it_is_asked_for_twice_when_a_packet_is_closed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Out
) -> None:
    lead = lead_desk(tmp_path)
    plan = ["packet", "plan", str(lead.logbook.path), str(tmp_path / "p.packet"), "--by", "Anna"]
    for answers, code in ((("one", "another"), 2), (("one", "one"), 0)):
        terminal = Terminal(*answers)
        monkeypatch.setattr("sys.stdin", terminal)
        monkeypatch.setattr("getpass.getpass", terminal.getpass)
        assert run([*plan, "--close"]) == code
    assert "not the same" in capsys.readouterr().err
    lead.logbook.close()


def test_an_empty_file_holds_none(tmp_path: Path) -> None:
    empty = tmp_path / "empty"
    empty.write_text("\n", encoding="utf-8")
    with pytest.raises(BadInput, match="no passphrase"):
        passphrase_from(empty, "?")
    with pytest.raises(Refused, match="nobody can be asked"):
        passphrase_from(None, "?")
