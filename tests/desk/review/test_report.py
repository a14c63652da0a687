"""The face on the report: the pages as they would be printed, for whom, signed and saved."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.review.report import ReportFace
from observe.desk.theme import Skin
from observe.work.logbooks import Logbook
from observe.work.report import report
from observe.work.report_figures import Question
from observe.work.settings import Settings
from observe.work.verify import Outcome, verify_file
from tests.desk.review.conftest import Opens, settled

Opened = Callable[..., ReportFace]


@pytest.fixture
def face_on(opens: Opens) -> Opened:
    return partial(opens, ReportFace)


def test_it_shows_the_report_of_the_command(term: Logbook, face_on: Opened) -> None:
    face = face_on(term)
    assert face.made.report is not None
    assert face.made.report.as_record() == report(term, Question("")).as_record()
    said = face.preview.accessibleName()
    assert said.startswith("Preview of the report, ")
    assert "Not signed yet" in said


def test_it_is_signed_and_saved(
    term: Logbook, face_on: Opened, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    face = face_on(term)
    out = tmp_path / "report.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(out), ""))
    face.keys["Sign and save …"].click()
    face.panel.confirm_key.click()
    assert face.panel.trouble is not None
    face.panel.lines[0].setText("Prof. Hester Achterberg")
    face.panel.keys["paper", "Letter"].click()
    face.panel.confirm_key.click()
    assert face.said == f"Signed and saved: {out}"
    assert verify_file(out, logbook=term).outcome is Outcome.SOUND
    told: list[object] = []
    face.told.connect(told.append)
    face.keys["Sign and save …"].click()
    face.panel.lines[0].setText("Prof. Hester Achterberg")
    face.panel.confirm_key.click()
    assert len(told) == 1  # Nothing is written over.


def test_for_others_small_counts_are_hidden(term: Logbook, face_on: Opened, qtbot: QtBot) -> None:
    face = face_on(term)
    face.keys["Choose …"].click()
    face.panel.keys["readers", "others"].click()
    face.panel.confirm_key.click()
    settled(qtbot, face)
    assert face.made.report is not None
    assert face.made.report.learners is None
    assert "small counts hidden" in face.said


def test_days_without_a_workshop_say_so(term: Logbook, face_on: Opened, qtbot: QtBot) -> None:
    face = face_on(term)
    face.keys["Choose …"].click()
    face.panel.lines[0].setText("2031-01-01")
    face.panel.confirm_key.click()
    settled(qtbot, face)
    assert face.made.report is None
    assert "No workshop with this form lies in these days" in face.notes.accessibleName()
    assert not face.keys["Sign and save …"].isEnabled()


@pytest.mark.parametrize("size", [(1280, 616), (1920, 896), (1024, 580)])
@pytest.mark.parametrize("text", [100, 200])
@pytest.mark.parametrize("view", ["pages", "Choose …", "Sign and save …"])
def test_every_text_has_its_place(
    term: Logbook,
    face_on: Opened,
    skin: Skin,
    size: tuple[int, int],
    text: int,
    view: str,
    misfits: list[paint.Misfit],
) -> None:
    skin.apply(Settings(text=text))
    face = face_on(term, size)
    if view != "pages":
        face.keys[view].click()
    face.grab()
    assert misfits == []


def test_an_empty_logbook_says_what_would_help(empty: Logbook, face_on: Opened) -> None:
    face = face_on(empty)
    assert "No workshop is planned" in face.notes.accessibleName()
