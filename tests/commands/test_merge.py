"""`observe merge`: packets in any order, a dry run, and two machines of their own."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from observe.commands.main import run
from observe.work.logbooks import open_logbook
from tests.work.machines import Desk, copy_of, lead_desk

Out = pytest.CaptureFixture[str]


@pytest.fixture
def lead(tmp_path: Path) -> Desk:
    return lead_desk(tmp_path)


def test_a_plan_makes_a_logbook_that_was_not_there(lead: Desk, tmp_path: Path, capsys: Out) -> None:
    mine = tmp_path / "mine.observe"
    packet = str(lead.plan_packet())
    assert run(["merge", str(mine), packet, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["state"] == lead.digest
    assert told["packets"][0]["workshops"] == [lead.workshop.id]
    assert run(["merge", str(mine), packet]) == 0
    said = capsys.readouterr().out
    assert "Nothing in it is new here." in said
    assert f"state: {lead.digest}" in said


def test_a_dry_run_keeps_nothing(lead: Desk, tmp_path: Path, capsys: Out) -> None:
    mine = tmp_path / "mine.observe"
    assert run(["merge", str(mine), str(lead.plan_packet()), "--dry-run"]) == 0
    assert "A workshop that is new here: Skills afternoon" in capsys.readouterr().out
    assert not mine.exists()


def test_a_dry_run_tells_what_packets_bring_after_one_another(
    lead: Desk, tmp_path: Path, capsys: Out
) -> None:
    packets = forked(lead, tmp_path)
    mine = tmp_path / "mine.observe"
    assert run(["merge", str(mine), *packets, "--dry-run", "--json"]) == 1
    tried = json.loads(capsys.readouterr().out)
    assert not mine.exists()
    assert run(["merge", str(mine), *packets, "--json"]) == 1
    taken = json.loads(capsys.readouterr().out)
    assert len(tried["waiting"]) == 2
    assert tried["waiting"] == taken["waiting"]
    for one, other in zip(tried["packets"], taken["packets"], strict=True):
        assert (one["new"], one["kept_apart"]) == (other["new"], other["kept_apart"])


def forked(lead: Desk, tmp_path: Path) -> list[str]:
    """Packets of two machines that wrote on under one id."""
    packets = []
    for desk in (lead, copy_of(lead, tmp_path)):
        desk.watch(1, "o1", upto=2)
        packets.append(str(desk.packet("o1")))
        desk.logbook.close()
    return packets


def test_a_fork_waits_for_a_person(lead: Desk, tmp_path: Path, capsys: Out) -> None:
    packets = forked(lead, tmp_path)
    mine = str(tmp_path / "mine.observe")
    assert run(["merge", mine, *packets]) == 1
    said = capsys.readouterr().out
    assert "Neither tail counts until a person adopts one." in said
    tail = said.split("tail ")[-1][:8]
    assert run(["merge", mine, "--adopt", tail]) == 2
    assert "named person" in capsys.readouterr().err
    assert run(["merge", mine, "--adopt", tail, "--by", "cleo", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["waiting"] == []


@pytest.mark.parametrize(("more", "said"), [([], "nothing to do"), (["--dry-run"], "is kept")])
def test_what_makes_no_sense_is_told(
    more: list[str], said: str, tmp_path: Path, capsys: Out
) -> None:
    adopting = ["--adopt", "01234567"] if more else []
    assert run(["merge", str(tmp_path / "l.observe"), *adopting, *more]) == 2
    assert said in capsys.readouterr().err


def test_a_packet_that_cannot_be_taken_in_ends_it(lead: Desk, tmp_path: Path, capsys: Out) -> None:
    bad = tmp_path / "bad.packet"
    bad.write_bytes(b"PK")
    mine = tmp_path / "mine.observe"
    assert run(["merge", str(mine), str(lead.plan_packet()), str(bad)]) == 2
    assert "no packet" in capsys.readouterr().err
    with open_logbook(mine) as logbook:
        assert len(logbook.workshops()) == 1


def test_a_first_packet_that_fails_leaves_no_logbook(
    lead: Desk, tmp_path: Path, capsys: Out
) -> None:
    bad = tmp_path / "bad.packet"
    bad.write_bytes(lead.plan_packet().read_bytes()[:-200])
    mine = tmp_path / "mine.observe"
    assert run(["merge", str(mine), str(bad), "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["state"] is None
    assert not mine.exists()


def test_a_program_is_told_what_came_before_a_packet_that_failed(
    lead: Desk, tmp_path: Path, capsys: Out
) -> None:
    bad = tmp_path / "bad.packet"
    bad.write_bytes(lead.plan_packet().read_bytes()[:-200])
    mine = tmp_path / "mine.observe"
    assert run(["merge", str(mine), str(lead.sent[0]), str(bad), "--json"]) == 1
    told, said = capsys.readouterr()
    record = json.loads(told)
    assert [one["kept"] for one in record["packets"]] == [True]
    assert record["failed"]["what"].startswith("This packet is not whole")
    assert "ends too early" in said


def test_a_dry_run_is_noted_nowhere(lead: Desk, tmp_path: Path, capsys: Out) -> None:
    """Neither a state that it does not leave, nor a logbook that goes away."""
    from observe import places

    mine = tmp_path / "mine.observe"
    assert run(["merge", str(mine), str(lead.plan_packet()), "--dry-run", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["state"] is None
    noted = json.loads((places.data() / "logbooks.json").read_text(encoding="utf-8"))
    assert {one["path"] for one in noted.values()} == {str(lead.logbook.path)}


# two processes with homes of their own

WATCH = """
import sys
from pathlib import Path
from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT
from observe.domain.observation import Slot
from observe.work.logbooks import open_logbook
from observe.work.session import Room

path, observer, mistakes = Path(sys.argv[1]), sys.argv[2], sys.argv[3].split(",")
with open_logbook(path) as logbook:
    (workshop,) = logbook.workshops().values()
    for session in Room(logbook, workshop, observer).sessions:
        for step in session.state.steps:
            session.do(gestures.mark, step.id, INCORRECT if step.id in mistakes else DONE)
        session.do(gestures.give_overall, 3)
        session.do(gestures.write, Slot.STRENGTH, "Calm.")
        session.do(gestures.write, Slot.CHANGE, "Slower.")
        session.do(gestures.seal)
"""

REPORT = """
import json, sys
from pathlib import Path
from observe.work.debrief import attempt_result
from observe.work.logbooks import open_logbook

with open_logbook(Path(sys.argv[1]), read_only=True) as logbook:
    (workshop,) = logbook.workshops().values()
    results = [attempt_result(logbook, workshop, seat) for seat in workshop.seats]
    traces = [one.as_record() for result in results for one in result.reveals]
    print(json.dumps([[result.sentence for result in results], traces], sort_keys=True))
"""


class Home:
    """A person's machine: a home of its own, a logbook in it, no network where that can be had."""

    def __init__(self, folder: Path, python: str, checkout: Path) -> None:
        folder.mkdir()
        self.folder, self.python, self.checkout = folder, python, checkout
        self.logbook = folder / "l.observe"

    def python_(self, *arguments: str, code: int = 0) -> str:
        ended = subprocess.run(
            [*_without_network(), self.python, *arguments],
            cwd=self.checkout,
            env=self._environment(),
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )
        assert ended.returncode == code, ended.stderr
        return ended.stdout

    def observe(self, *arguments: str, code: int = 0) -> str:
        return self.python_("-m", "observe", *arguments, code=code)

    def merged(self, *packets: Path) -> dict[str, Any]:
        said = self.observe("merge", str(self.logbook), *map(str, packets), "--json")
        answer: dict[str, Any] = json.loads(said)
        return answer

    def _environment(self) -> Mapping[str, str]:
        kept = {
            name: os.environ[name] for name in ("PATH", "LANG", "SYSTEMROOT") if name in os.environ
        }
        homes = {"HOME": str(self.folder), "OBSERVE_HOME": str(self.folder / "data")}
        return {**kept, **homes, "PYTHONPATH": str(self.checkout)}


def _without_network() -> tuple[str, ...]:
    """What starts a program in a network of its own, with nothing in it; empty if not allowed."""
    unshare = shutil.which("unshare")
    if unshare is None:
        return ()
    asked = [unshare, "--net", "--map-root-user", "true"]
    allowed = subprocess.run(asked, capture_output=True, check=False).returncode == 0
    return (unshare, "--net", "--map-root-user") if allowed else ()


def test_two_observers_with_homes_of_their_own_finish_one_workshop(
    lead: Desk, tmp_path: Path, python: str, checkout: Path
) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    plan = lead.plan_packet()
    anna, ben = (Home(tmp_path / name, python, checkout) for name in ("anna", "ben"))
    seconds = {seat.second for seat in lead.workshop.seats}
    (other, *_) = sorted(seconds)
    states = {home.merged(plan)["state"] for home in (anna, ben)}
    assert states == {lead.digest}

    anna.python_("-c", WATCH, str(anna.logbook), "o1", "LPX-03")
    ben.python_("-c", WATCH, str(ben.logbook), other, "LPX-05")
    for rest in seconds - {other}:
        ben.python_("-c", WATCH, str(ben.logbook), rest, "LPX-04")

    def packet(home: Home, name: str, by: str) -> Path:
        file = stick / name
        home.observe("packet", "record", str(home.logbook), str(file), "--by", by)
        return file

    ben.merged(packet(anna, "1.packet", "o1"))
    anna.merged(packet(ben, "2.packet", other))
    final = ben.merged(packet(anna, "3.packet", "o1"))
    assert final["state"] == anna.merged(stick / "2.packet")["state"]
    reports = {home.python_("-c", REPORT, str(home.logbook)) for home in (anna, ben)}
    assert len(reports) == 1
    agreements = {
        home.observe("agreement", str(home.logbook), "--json").replace(str(home.folder), "")
        for home in (anna, ben)
    }
    assert len(agreements) == 1
