"""Packets are written and taken in on the page, beside the window."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from observe.desk.records import carrying
from observe.desk.records.carrying import STOPPED
from observe.desk.records.page import RecordsPage
from observe.domain.events import Draft
from observe.domain.troubles import Surroundings
from observe.work.logbooks import Logbook
from observe.work.merged import Merge
from observe.work.merging import Tick, merge_beside
from tests.desk.records.conftest import Opened
from tests.work.machines import Desk, new_desk


@pytest.fixture
def chosen(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """The file that the person chooses in the system's own window."""
    path = tmp_path / "chosen.packet"
    for asked in ("getOpenFileName", "getSaveFileName"):
        monkeypatch.setattr(QFileDialog, asked, lambda *_: (str(path), ""))
    return path


@pytest.fixture
def other(tmp_path: Path) -> Iterator[Desk]:
    desk = new_desk(tmp_path, "other")
    yield desk
    desk.logbook.close()


class Gate:
    """Holds a real taking in at its last moment before all is kept, until it is let through."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.reached, self.open = threading.Event(), threading.Event()
        monkeypatch.setattr(carrying, "merge_beside", self._held)

    def _held(self, place: Path, path: Path, tick: Tick, **asked: object) -> Merge:
        def held(done: int, total: int) -> None:
            if done == total and not asked["dry"]:
                self.reached.set()
                self.open.wait(20)
            tick(done, total)

        return merge_beside(place, path, held, **asked)  # type: ignore[arg-type]


def choose(page_panel: object, *keys: tuple[str, str]) -> None:
    for key in keys:
        page_panel.keys[key].click()  # type: ignore[attr-defined]


def workshops(logbook: Logbook) -> int:
    return len(logbook.workshops())


def pick(qtbot: QtBot, page: RecordsPage) -> None:
    """Choose the packet; wait until the page says what it would bring."""
    with qtbot.waitSignal(page.carrying.runner.done):
        page.in_key.click()


def confirm(qtbot: QtBot, page: RecordsPage) -> None:
    with qtbot.waitSignal(page.carrying.runner.done):
        page.panel.confirm_key.click()


def begin(qtbot: QtBot, page: RecordsPage, gate: Gate) -> None:
    """Agree to the packet, which is then held just before all of it is kept."""
    pick(qtbot, page)
    page.panel.confirm_key.click()
    assert gate.reached.wait(20)
    assert page.list.blocks[0].title == "Taking the packet in …"


@pytest.mark.usefixtures("chosen")
def test_a_plan_makes_another_machine_ready(
    lead: Desk, other: Desk, opened: Opened, qtbot: QtBot
) -> None:
    page = opened(lead)
    page.out_key.click()
    page.panel.confirm_key.click()
    assert page.panel.trouble is not None  # What goes was not chosen.
    choose(page.panel, ("what", "plan"))
    page.panel.confirm_key.click()
    assert "chosen.packet" in page.said
    there = opened(other, "")
    pick(qtbot, there)
    assert workshops(other.logbook) == 0
    assert "A workshop that is new here" in there.panel.accessibleName()
    confirm(qtbot, there)
    assert workshops(other.logbook) == 1
    assert "Taken in" in there.said
    pick(qtbot, there)
    confirm(qtbot, there)
    assert there.said == "Nothing in it was new here."


@pytest.mark.usefixtures("chosen")
def test_a_closed_packet_asks_for_its_passphrase(
    lead: Desk, other: Desk, opened: Opened, qtbot: QtBot
) -> None:
    page = opened(lead)
    page.out_key.click()
    choose(page.panel, ("what", "workshop"))
    first, again = page.panel.lines
    first.setText("amber")
    page.panel.confirm_key.click()
    assert page.panel.trouble is not None
    again.setText("amber")
    page.panel.confirm_key.click()
    there = opened(other, "")
    there.in_key.click()
    there.panel.lines[0].setText("wrong")
    with qtbot.waitSignal(there.carrying.failed):
        there.panel.confirm_key.click()
    assert there.panel.trouble is not None
    assert there.panel_area.isVisible()
    there.panel.lines[0].setText("amber")
    confirm(qtbot, there)
    confirm(qtbot, there)
    assert workshops(other.logbook) == 1


def test_what_is_no_packet_is_told(lead: Desk, opened: Opened, chosen: Path, qtbot: QtBot) -> None:
    chosen.write_bytes(b"no packet at all" * 40)
    page = opened(lead)
    with qtbot.waitSignal(page.told) as heard:
        page.in_key.click()
    assert "no packet" in str(heard.args)
    assert page.panel.asked is None
    assert page.carrying.doing is None


def test_what_is_stopped_at_the_last_moment_was_not_taken_in(
    lead: Desk,
    other: Desk,
    opened: Opened,
    chosen: Path,
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    lead.plan_packet().rename(chosen)
    gate = Gate(monkeypatch)
    page = opened(other, "")
    begin(qtbot, page, gate)
    other.logbook.log.file.driver.execute("PRAGMA busy_timeout = 0")
    with pytest.raises(Surroundings, match="wait a moment"):  # Why a mark is not taken now.
        other.logbook.append([Draft("person-named", {"person": "o1"}, by="o1")])
    page.in_key.click()
    assert not page.out_key.isEnabled()
    with qtbot.waitSignal(page.carrying.runner.done):
        page.list.keys[0].click()
        gate.open.set()
    assert page.said == STOPPED
    assert other.logbook.log.position() == 0
    assert not other.logbook.log.forms()
    pick(qtbot, page)
    confirm(qtbot, page)
    assert workshops(other.logbook) == 1


def test_a_page_that_goes_in_the_middle_takes_nothing_in(
    lead: Desk,
    other: Desk,
    opened: Opened,
    chosen: Path,
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    lead.plan_packet().rename(chosen)
    gate = Gate(monkeypatch)
    page = opened(other, "")
    begin(qtbot, page, gate)
    page.carrying.stop()
    gate.open.set()
    page.close()
    assert not page.carrying.runner.is_running
    assert other.logbook.log.position() == 0


def test_marks_are_taken_while_a_packet_is_looked_into(
    lead: Desk, opened: Opened, chosen: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    lead.plan_packet().rename(chosen)
    reached, through = threading.Event(), threading.Event()

    def held(place: Path, path: Path, tick: Tick, **asked: object) -> Merge:
        def wait(done: int, total: int) -> None:
            reached.set()
            through.wait(20)
            tick(done, total)

        return merge_beside(place, path, wait, **asked)  # type: ignore[arg-type]

    monkeypatch.setattr(carrying, "merge_beside", held)
    page = opened(lead)
    page.in_key.click()
    assert reached.wait(20)
    before = lead.logbook.log.position()
    lead.watch(1, "o1", upto=2)
    assert lead.logbook.log.position() > before
    with qtbot.waitSignal(page.carrying.runner.done):
        through.set()
    assert page.panel.asked is not None
