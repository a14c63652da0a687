"""The face on agreement: computed beside the window, chosen, told, saved."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.theme import Skin
from observe.work.logbooks import Logbook
from observe.work.settings import Settings
from tests.desk.review.conftest import Opened
from tests.work.second_looks import plan_some


@pytest.mark.parametrize("size", [(1280, 698), (1920, 978), (1024, 660)])
@pytest.mark.parametrize("view", ["panels", "note", "question"])
def test_every_text_has_its_place(
    busy: Logbook, opened: Opened, size: tuple[int, int], view: str, misfits: list[paint.Misfit]
) -> None:
    page = opened(busy, size)
    if view == "note":
        page.keys["Method note"].click()
    elif view == "question":
        page.keys["Choose …"].click()
    page.grab()
    assert misfits == []


def test_enlarged_panels_stand_below_each_other(
    busy: Logbook, opened: Opened, skin: Skin, misfits: list[paint.Misfit]
) -> None:
    skin.apply(Settings(text=200))
    page = opened(busy, (1280, 698))
    page.grab()
    assert page.area.scrolls
    tops = [panel.y() for panel in page.column.panels]
    assert tops == sorted(tops)
    assert len(set(tops)) == 4
    assert misfits == []


def test_an_empty_logbook_says_what_would_help(empty: Logbook, opened: Opened) -> None:
    page = opened(empty)
    assert "Plan one, or take one in" in page.column.steps.accessibleName()
    assert not page.keys["Method note"].isEnabled()
    plan_some(empty, workshops=1, learners=3)
    page = opened(empty)
    assert "10 attempts give a first, wide interval" in page.column.steps.accessibleName()


def test_every_panel_reads_out_its_figures(busy: Logbook, opened: Opened) -> None:
    page = opened(busy)
    column = page.column
    assert "pairs" in column.steps.accessibleName()
    assert "Same decision" in column.decisions.accessibleName()
    assert "attempts" in column.couples.accessibleName()
    assert "Bias" in column.differences.accessibleName()


def test_other_workshops_are_chosen_and_computed_anew(
    busy: Logbook, opened: Opened, qtbot: QtBot
) -> None:
    page = opened(busy)
    page.keys["Choose …"].click()
    page.panel.lines[0].setText("tomorrow")
    page.panel.confirm_key.click()
    assert page.panel.trouble is not None
    page.panel.lines[0].setText("2026-03-05")
    page.panel.confirm_key.click()
    assert page.area.isVisible()
    qtbot.waitUntil(
        lambda: page.made is not None and len(page.made.gathered.planned) == 8, timeout=20_000
    )
    page.keys["Choose …"].click()
    page.panel.lines[0].setText("2027-01-01")
    page.panel.confirm_key.click()
    assert page.panel.trouble is not None
    QTest.keyClick(page.panel, Qt.Key.Key_Escape)
    assert page.area.isVisible()


def test_tables_and_picture_are_saved(
    busy: Logbook, opened: Opened, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = opened(busy)
    names = iter([str(tmp_path / "review.csv"), str(tmp_path / "review.png"), ""])
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (next(names), ""))
    page.keys["Save tables …"].click()
    with (tmp_path / "review.csv").open(encoding="utf-8", newline="") as file:
        heads, *rows = csv.reader(file)
    assert heads[:2] == ["item", "coefficient"]
    assert len(rows) > 60
    assert (tmp_path / "review-ratings.csv").is_file()
    page.keys["Save picture …"].click()
    assert (tmp_path / "review.png").read_bytes().startswith(b"\x89PNG")
    page.keys["Save picture …"].click()


def test_what_cannot_be_written_is_told(
    busy: Logbook, opened: Opened, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = opened(busy)
    told: list[object] = []
    page.told.connect(told.append)
    (tmp_path / "file").write_text("x")
    where = str(tmp_path / "file" / "review.csv")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (where, ""))
    page.keys["Save tables …"].click()
    page.keys["Save picture …"].click()
    assert len(told) == 2


def test_stopping_leaves_what_was_shown(busy: Logbook, opened: Opened) -> None:
    page = opened(busy)
    before = page.made
    page.compute()
    page.keys["Stop"].click()
    page.runner.wait()
    assert page.made is before
    assert page.said.startswith("Stopped")
