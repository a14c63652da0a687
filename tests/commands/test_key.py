"""`observe key`, from the founding to the revocation, on two machines."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from observe.commands.main import run
from tests.work.machines import Desk, lead_desk, new_desk

Out = pytest.CaptureFixture[str]


@pytest.fixture
def lead(tmp_path: Path) -> Desk:
    return lead_desk(tmp_path)


def test_a_key_is_asked_for_confirmed_and_revoked(lead: Desk, tmp_path: Path, capsys: Out) -> None:
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    here, there = str(lead.logbook.path), str(other.logbook.path)
    secret = tmp_path / "secret.txt"
    secret.write_text("amber window\n", encoding="utf-8")
    stick = tmp_path / "stick"
    stick.mkdir()
    given = ["--passphrase-file", str(secret)]

    def key(*words: str) -> dict[str, object]:
        assert run(["key", *words, "--json"]) == 0
        answer: dict[str, object] = json.loads(capsys.readouterr().out)
        return answer

    founded = key("found", here, "Acute Care", "--to", str(stick), *given)
    assert len(str(founded["recovery_key"])) == 39
    key("request", there, "--by", "Ben")
    packet = str(tmp_path / "ben.packet")
    assert run(["packet", "record", there, packet, "--by", "Ben"]) == 0
    assert run(["merge", here, packet]) == 0
    assert "is not known on this machine" in capsys.readouterr().out
    assert [one["person"] for one in key("requests", here)["requests"]] == ["o2"]  # type: ignore[attr-defined]
    key("answer", here, "ben", "--by", "Anna", *given)
    back = str(tmp_path / "back.packet")
    assert run(["packet", "record", here, back, "--by", "Anna"]) == 0
    assert run(["merge", there, back]) == 0
    capsys.readouterr()
    key("pin", there, str(founded["fingerprint"])[:16])
    assert key("list", there)["confirmed"] == ["o2"]
    again = str(tmp_path / "again.packet")
    assert run(["packet", "record", there, again, "--by", "Ben"]) == 0
    assert run(["merge", here, again]) == 0
    assert "confirmed by “Acute Care”" in capsys.readouterr().out
    key("revoke", here, "Ben", "--since", "2026-03-02", "--by", "Anna", *given)
    assert run(["merge", here, again]) == 1
    assert "revoked its key from 2026-03-02 on" in capsys.readouterr().out
    listed = key("list", here)
    assert listed["confirmed"] == []
    assert [one["known"] for one in listed["keys"]] == ["revoked"]  # type: ignore[attr-defined]
    assert run(["key", "list", here]) == 0
    assert "“Acute Care” revoked its key from 2026-03-02 on" in capsys.readouterr().out
    assert run(["packet", "look", again, "--against", here, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["known"] == "revoked"
    assert run(["packet", "look", again]) == 0
    assert "its key is confirmed by “Acute Care”, a department that nobody" in (
        capsys.readouterr().out
    )


def test_what_is_read_by_people(lead: Desk, capsys: Out) -> None:
    logbook = str(lead.logbook.path)
    assert run(["key", "list", logbook]) == 0
    assert "No department is known here." in capsys.readouterr().out
    assert run(["key", "requests", logbook]) == 0
    assert "Nothing waits for an answer." in capsys.readouterr().out
    assert run(["key", "request", logbook, "--by", "Ben"]) == 0
    assert "the next packet carries it" in capsys.readouterr().out
    assert run(["key", "requests", logbook]) == 0
    assert "Ben: " in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["answer", "Ben", "--by", "Anna"], "Nothing of this person waits"),
        (["revoke", "Ben", "--since", "soon", "--by", "Anna"], "This is no date"),
        (["pin", "0123456789abcdef"], "No department"),
        (["request", "--by", "Nobody"], "Nobody here has this name"),
    ],
)
def test_what_cannot_be_done_is_told(lead: Desk, words: list[str], said: str, capsys: Out) -> None:
    deed, *rest = words
    assert run(["key", deed, str(lead.logbook.path), *rest]) == 2
    assert said in capsys.readouterr().err
