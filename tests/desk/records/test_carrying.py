"""Packets are written and taken in on the page."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog

from observe.work.logbooks import Logbook
from tests.desk.records.conftest import Opened
from tests.work.machines import Desk, new_desk


@pytest.fixture
def chosen(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """The file that the person chooses in the system's own window."""
    path = tmp_path / "chosen.packet"
    for asked in ("getOpenFileName", "getSaveFileName"):
        monkeypatch.setattr(QFileDialog, asked, lambda *_: (str(path), ""))
    return path


def choose(page_panel: object, *keys: tuple[str, str]) -> None:
    for key in keys:
        page_panel.keys[key].click()  # type: ignore[attr-defined]


def workshops(logbook: Logbook) -> int:
    return len(logbook.workshops())


def test_a_plan_makes_another_machine_ready(
    lead: Desk, opened: Opened, chosen: Path, tmp_path: Path
) -> None:
    page = opened(lead)
    page.out_key.click()
    page.panel.confirm_key.click()
    assert page.panel.trouble is not None  # What goes was not chosen.
    choose(page.panel, ("what", "plan"))
    page.panel.confirm_key.click()
    assert chosen.exists()
    assert str(chosen) in page.said
    other = new_desk(tmp_path, "other")
    there = opened(other, "")
    there.in_key.click()
    assert workshops(other.logbook) == 0
    assert "A workshop that is new here" in there.panel.accessibleName()
    there.panel.confirm_key.click()
    assert workshops(other.logbook) == 1
    assert "Taken in" in there.said
    other.logbook.close()


@pytest.mark.usefixtures("chosen")
def test_a_closed_packet_asks_for_its_passphrase(
    lead: Desk, opened: Opened, tmp_path: Path
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
    other = new_desk(tmp_path, "other")
    there = opened(other, "")
    there.in_key.click()
    for typed, opens in (("wrong", False), ("amber", True)):
        there.panel.lines[0].setText(typed)
        there.panel.confirm_key.click()
        assert (there.panel.trouble is None) is opens
    there.panel.confirm_key.click()
    assert workshops(other.logbook) == 1
    other.logbook.close()


def test_what_is_no_packet_is_told(lead: Desk, opened: Opened, chosen: Path) -> None:
    chosen.write_bytes(b"no packet at all" * 40)
    page = opened(lead)
    heard: list[object] = []
    page.told.connect(heard.append)
    page.in_key.click()
    assert "no packet" in str(heard[0])
    assert page.panel.asked is None
