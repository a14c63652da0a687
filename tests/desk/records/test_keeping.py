"""A department is founded, asked and answers, and keys are kept, on the page."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog

from observe.desk.records import page as page_module
from observe.desk.records.page import RecordsPage, Section
from observe.work.department import ROOT, ask, requests
from observe.work.kept_keys import kept_keys
from observe.work.known import answered_keys, departments
from tests.desk.records.conftest import Opened
from tests.work.machines import Desk

SECRET = "amber window"  # noqa: S105 - of a test


@pytest.fixture
def stick(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder that the person chooses in the system's own window."""
    path = tmp_path / "stick"
    path.mkdir()
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(path))
    return path


@pytest.fixture
def printed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What came out of the printer."""
    lines: list[str] = []

    def put_out(_: object, title: str, said: tuple[str, ...]) -> bool:
        lines.extend((title, *said))
        return True

    monkeypatch.setattr(page_module, "print_lines", put_out)
    return lines


def strike(page: RecordsPage, word: str, title: str = "") -> None:
    """Press the key with a word, of the block with a title."""
    named = [key for key in page.list.keys if key.accessibleName().startswith(word)]
    (key,) = [one for one in named if title in one.accessibleName() and one.isVisible()]
    key.click()


def fill(page: RecordsPage, *typed: str) -> None:
    """Type into the lines of a question, and confirm it."""
    for line, text in zip(page.panel.lines, typed, strict=True):
        line.setText(text)
    page.panel.confirm_key.click()


def put_away(page: RecordsPage) -> str:
    """Say that the recovery key is on paper; the key."""
    assert page.panel.asked is not None
    recovery = page.panel.asked.title
    page.panel.keys["how", "written"].click()
    page.panel.confirm_key.click()
    assert page.list_area.isVisible()
    return recovery


def found(page: RecordsPage) -> str:
    page.rows[Section.KEYS].click()
    strike(page, "Found a department")
    fill(page, "Acute Care", SECRET, SECRET)
    return put_away(page)


def test_a_department_is_founded_and_its_recovery_key_is_not_lost_by_a_slip(
    lead: Desk, opened: Opened, stick: Path, printed: list[str]
) -> None:
    page = opened(lead)
    page.rows[Section.KEYS].click()
    strike(page, "Found a department")
    fill(page, "Acute Care", SECRET, "another one")
    assert page.panel.trouble is not None
    fill(page, "Acute Care", "short", "short")
    assert "8 letters" in str(page.panel.trouble)
    assert not (stick / ROOT).exists()
    fill(page, "Acute Care", SECRET, SECRET)
    assert (stick / ROOT).exists()
    QTest.keyClick(page.panel, Qt.Key.Key_Escape)
    page.rows[Section.WANTED].click()
    page.out_key.click()
    page.in_key.click()
    assert page.panel.asked is not None
    assert page.panel.asked.stays
    assert not page.panel.back_key.isVisible()
    page.panel.confirm_key.click()
    assert page.panel.trouble is not None
    page.panel.keys["how", "print"].click()
    page.panel.confirm_key.click()
    recovery = put_away(page)
    assert recovery in printed
    (made,) = departments(lead.logbook)
    assert made.pinned
    assert "on this machine" in page.list.blocks[1].title


@pytest.mark.usefixtures("stick")
def test_a_key_is_asked_for_confirmed_and_revoked(lead: Desk, opened: Opened) -> None:
    page = opened(lead)
    found(page)
    strike(page, "Ask that a key be confirmed")
    fill(page, "Ben", "")
    assert "Fingerprint" in page.said
    strike(page, "Issue a certificate")
    fill(page, "Anna", "wrong")
    assert page.panel.trouble is not None
    fill(page, "Anna", SECRET)
    assert requests(lead.logbook) == ()
    (answered,) = answered_keys(lead.logbook)
    assert answered.standing.is_trusted
    assert any("valid until" in said for one in page.list.blocks for said in one.sentences)
    strike(page, "Revoke the keys of Ben")
    since = page.panel.lines[0].text()
    fill(page, "yesterday", "Anna", SECRET)
    assert page.panel.trouble is not None
    fill(page, since, "Anna", SECRET)
    (answered,) = answered_keys(lead.logbook)
    assert not answered.standing.is_trusted
    assert any("revoked" in said for one in page.list.blocks for said in one.sentences)


def test_a_key_is_closed_backed_up_recovered_and_renewed(
    lead: Desk, opened: Opened, stick: Path
) -> None:
    ask(lead.logbook, "o2")
    page = opened(lead)
    page.rows[Section.KEYS].click()
    strike(page, "Close it with a passphrase")
    fill(page, "short", "short")
    assert page.panel.trouble is not None
    fill(page, SECRET, SECRET)
    recovery = put_away(page)
    lead.logbook.keys.lock()
    strike(page, "Back it up")
    fill(page)
    assert len(list(stick.iterdir())) == 3
    strike(page, "Passphrase forgotten")
    fill(page, recovery.lower(), "green window", "green window")
    assert put_away(page) != recovery
    (kept,) = kept_keys(lead.logbook)
    assert kept.closed
    before = lead.logbook.keys.key("o2", "Ben", page.keeping.now).fingerprint
    lead.logbook.keys.lock()
    strike(page, "A new key in its place")
    fill(page, "wrong words", SECRET, SECRET)
    assert page.panel.trouble is not None
    fill(page, "green window", SECRET, SECRET)
    put_away(page)
    assert lead.logbook.keys.key("o2", "Ben", page.keeping.now).fingerprint != before


def test_a_backup_that_cannot_be_made_is_told(lead: Desk, opened: Opened, stick: Path) -> None:
    ask(lead.logbook, "o2")
    page = opened(lead)
    lead.logbook.keys.close("o2", "Ben", SECRET, page.keeping.now)
    page.rows[Section.KEYS].click()
    for _ in range(2):
        strike(page, "Back it up")
        fill(page)
    assert "backup of this name" in str(page.panel.trouble)
    page.panel.back_key.click()
    for path in lead.logbook.keys.folder.glob("o2.*"):
        path.unlink()
    page.refresh()
    strike(page, "Restore a key")
    fill(page, "Ben")
    assert "here again" in page.said
    assert stick.exists()
