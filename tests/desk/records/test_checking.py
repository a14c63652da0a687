"""Files are dropped on the records, and judged beside the window."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDragLeaveEvent, QDropEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from observe.desk.records.checking import MOST_FILES
from observe.desk.records.page import RecordsPage, Section
from observe.domain import gestures
from observe.domain.marks import INCORRECT
from observe.work.issued import issued
from tests.desk.records.conftest import Opened
from tests.work.conftest import Bench
from tests.work.machines import Desk, lead_desk
from tests.work.test_press import issue, sealed

COPY, LEFT, NONE = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier(0)


def mime(*paths: Path) -> QMimeData:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(one)) for one in paths])
    return data


def enter(page: RecordsPage, data: QMimeData) -> bool:
    event = QDragEnterEvent(QPoint(600, 300), COPY, data, LEFT, NONE)
    event.ignore()
    QApplication.sendEvent(page, event)
    return event.isAccepted()


def drop(qtbot: QtBot, page: RecordsPage, paths: Sequence[Path]) -> None:
    data = mime(*paths)
    assert enter(page, data)
    event = QDropEvent(QPointF(600, 300), COPY, data, LEFT, NONE)
    with qtbot.waitSignal(page.checking.runner.done):
        QApplication.sendEvent(page, event)


def titles(page: RecordsPage) -> list[str]:
    return [one.title for one in page.list.blocks]


def test_several_files_are_dropped_and_each_is_judged(
    lead: Desk, opened: Opened, qtbot: QtBot, tmp_path: Path
) -> None:
    spoiled = tmp_path / "spoiled.pdf"
    spoiled.write_bytes(b"%PDF-1.7\nnothing more")
    page = opened(lead)
    drop(qtbot, page, [lead.plan_packet(), spoiled, lead.logbook.path, tmp_path])
    assert page.section is Section.CHECK
    head, packet, pdf, logbook, folder = titles(page)
    assert head == "Drop files here"
    assert "packet, sound" in packet
    assert pdf.startswith("spoiled.pdf: ")
    assert "cannot be judged" in pdf
    assert "logbook, sound" in logbook
    assert "cannot be judged" in folder
    assert "spoiled.pdf" in page.list.accessibleName()


def test_what_is_dragged_over_is_shown_until_it_leaves(lead: Desk, opened: Opened) -> None:
    page = opened(lead)
    before = page.grab().toImage()
    page.rows[Section.CHECK].click()
    calm = page.grab().toImage()
    assert enter(page, mime(lead.logbook.path))
    assert page.is_dragged_over
    assert page.grab().toImage() != calm != before
    QApplication.sendEvent(page, QDragLeaveEvent())
    assert page.grab().toImage() == calm


def test_what_is_no_file_is_not_taken(lead: Desk, opened: Opened) -> None:
    page = opened(lead)
    words = QMimeData()
    words.setText("a word")
    assert not enter(page, words)
    away = QMimeData()
    away.setUrls([QUrl("https://example.org/a.pdf")])
    assert not enter(page, away)
    assert page.section is Section.WANTED


def test_a_question_that_is_open_is_not_lost_to_a_drop(lead: Desk, opened: Opened) -> None:
    page = opened(lead)
    page.rows[Section.CHECK].click()
    page.checking.ask_code()
    page.panel.lines[0].setText("43a8")
    assert not enter(page, mime(lead.logbook.path))
    page.panel.confirm_key.click()
    assert page.panel.trouble is not None
    assert page.panel.lines[0].text() == "43a8"


def test_more_files_than_are_checked_at_once_are_counted(
    lead: Desk, opened: Opened, qtbot: QtBot, tmp_path: Path
) -> None:
    page = opened(lead)
    drop(qtbot, page, [tmp_path / f"{n}.pdf" for n in range(MOST_FILES + 3)])
    assert titles(page)[-1] == "3 further files were not checked"


def test_a_hostile_name_stays_on_its_line(
    lead: Desk, opened: Opened, qtbot: QtBot, tmp_path: Path
) -> None:
    path = tmp_path / "a\nIt is sound.\u202efdp.pdf"
    path.write_bytes(b"x")
    page = opened(lead)
    drop(qtbot, page, [path])
    assert "\n" not in titles(page)[1]
    assert "\u202e" not in titles(page)[1]


def test_stopping_tells_nothing_more(lead: Desk, opened: Opened) -> None:
    page = opened(lead)
    page.rows[Section.CHECK].click()
    page.checking.check([lead.logbook.path] * 3)
    page.checking.stop()
    page.checking.runner.wait()
    QApplication.processEvents()
    assert titles(page) == ["Drop files here"]


# sheets


@dataclass(frozen=True)
class Sheets:
    """A machine that issued a sheet twice. strange: of a machine that this one never met."""

    desk: Desk
    superseded: Path
    untouched: Path
    changed: Path
    strange: Path


def bench_of(desk: Desk) -> Bench:
    return Bench(desk.logbook.path, desk.machine, desk.logbook, desk.workshop)


@pytest.fixture
def sheets(tmp_path: Path) -> Iterator[Sheets]:
    desk = lead_desk(tmp_path, looks=0)
    bench, folder = bench_of(desk), tmp_path / "sheets"
    sealed(bench)
    first = issue(bench, folder)
    bench.session(1, "o1").do(gestures.amend_step, "LPX-16", INCORRECT, reason="Wrong key.")
    second = issue(bench, folder)
    changed, strange = folder / "changed.pdf", folder / "strange.pdf"
    data = bytearray(second.read_bytes())
    data[len(data) // 3] ^= 1
    changed.write_bytes(bytes(data))
    (tmp_path / "away").mkdir()
    away = lead_desk(tmp_path / "away", looks=0)
    sealed(bench_of(away))
    shutil.copy(issue(bench_of(away), tmp_path / "away"), strange)
    away.logbook.close()
    yield Sheets(desk, first, second, changed, strange)
    desk.logbook.close()


def test_each_sheet_is_told_by_what_it_is(sheets: Sheets, opened: Opened, qtbot: QtBot) -> None:
    page = opened(sheets.desk)
    drop(qtbot, page, [sheets.untouched, sheets.superseded, sheets.changed, sheets.strange])
    _, untouched, superseded, changed, strange = page.list.blocks
    assert untouched.title == "01-lina-one-revision-2.pdf: sheet, sound"
    assert "of Anna is valid" in untouched.sentences[0]
    assert superseded.title == "01-lina-one.pdf: sheet, untouched, but superseded"
    assert superseded.sentences[0].startswith("Superseded: revision 2, code ")
    assert changed.title == "changed.pdf: sheet, something is wanting"
    assert any("changed after it was signed" in one for one in changed.sentences)
    assert strange.title == "strange.pdf: sheet, untouched, but its signer is not known here"
    assert any("is only what the key says" in one for one in strange.sentences)


def test_a_typed_code_finds_its_sheet_and_what_replaced_it(sheets: Sheets, opened: Opened) -> None:
    page = opened(sheets.desk)
    page.rows[Section.CHECK].click()
    first, second = issued(sheets.desk.logbook)
    for sheet, stands in ((second, "It stands."), (first, f"revision 2, code {second.code}.")):
        page.checking.ask_code()
        page.panel.lines[0].setText(sheet.code.replace(" ", "").upper())
        page.panel.confirm_key.click()
        assert page.said.startswith(f"{sheet.code}: the sheet of Lina One")
        assert page.said.endswith(stands)
