"""`observe packet`: written, looked into, refused in sentences."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.commands.main import run
from tests.work.machines import Desk, lead_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    desk = lead_desk(tmp_path)
    yield desk
    desk.logbook.close()


Out = pytest.CaptureFixture[str]


def test_a_plan_is_written_and_looked_into(lead: Desk, tmp_path: Path, capsys: Out) -> None:
    file = str(tmp_path / "plan.packet")
    assert run(["packet", "plan", str(lead.logbook.path), file, "--by", "anna"]) == 0
    assert "A plan packet, signed by Anna." in capsys.readouterr().out
    assert run(["packet", "look", file]) == 0
    said = capsys.readouterr().out
    assert "A plan packet; its clock says" in said
    assert "Signed by Anna" in said
    assert run(["packet", "look", file, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert (answer["kind"], answer["name"], answer["known"]) == ("plan", "Anna", "unknown")


def test_a_record_says_what_stays_here(lead: Desk, tmp_path: Path, capsys: Out) -> None:
    lead.seal(lead.watch(1, "o1"))
    logbook, file = str(lead.logbook.path), str(tmp_path / "a.packet")
    assert run(["packet", "record", logbook, file, "--by", "Anna"]) == 0
    assert "stay here until all who watch have sealed" in capsys.readouterr().out
    of_one = [*("packet", "record", logbook, str(tmp_path / "b.packet"), "--by", "o1")]
    assert run([*of_one, "--learner", "lina one", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert (answer["scope"], answer["of"]) == ("learner", "l1")
    assert len(answer["withheld"]) == 1


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--by", "Zoe"], "Nobody here has this name."),
        (["--by", "Lina One"], "Nobody here has this name."),
        (["--by", "Anna", "--learner", "Anna"], "Nobody here has this name."),
        (["--by", "Anna", "--workshop", "Other"], "No workshop is called “Other”"),
        (["--by", "Anna", "--learner", "l1", "--observer", "o1"], "not allowed with"),
        ([], "the following arguments are required: --by"),
    ],
)
def test_what_cannot_be_written_is_told(
    lead: Desk, tmp_path: Path, capsys: Out, more: list[str], said: str
) -> None:
    file = tmp_path / "a.packet"
    assert run(["packet", "record", str(lead.logbook.path), str(file), *more]) == 2
    assert said.lower() in capsys.readouterr().err.lower()
    assert not file.exists()


def test_no_file_is_replaced(lead: Desk, tmp_path: Path, capsys: Out) -> None:
    file = tmp_path / "a.packet"
    file.write_text("mine")
    assert run(["packet", "plan", str(lead.logbook.path), str(file), "--by", "Anna"]) == 2
    assert "already" in capsys.readouterr().err
    assert file.read_text() == "mine"


def test_a_packet_that_was_changed_is_told(lead: Desk, tmp_path: Path, capsys: Out) -> None:
    packet = lead.plan_packet()
    data = packet.read_bytes()
    middle = data.index(b"log.jsonl") + 60
    packet.write_bytes(data[:middle] + bytes([data[middle] ^ 1]) + data[middle + 1 :])
    assert run(["packet", "look", str(packet)]) == 1
    assert "not what was written" in capsys.readouterr().err
    other = tmp_path / "other.txt"
    other.write_text("no packet")
    assert run(["packet", "look", str(other)]) == 2
    assert "no packet" in capsys.readouterr().err


def test_help_has_an_example(capsys: Out) -> None:
    assert run(["packet", "--help"]) == 0
    assert "observe packet plan" in capsys.readouterr().out
