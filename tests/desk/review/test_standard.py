"""The face on standards: cuts and their effect, judges added, a cut approved by name."""

from __future__ import annotations

import csv
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.review.standard import StandardFace
from observe.desk.theme import Skin
from observe.work.approving import standards_in
from observe.work.logbooks import Logbook
from observe.work.settings import Settings
from tests.desk.review.conftest import Opens, settled

Opened = Callable[..., StandardFace]


@pytest.fixture
def face_on(opens: Opens) -> Opened:
    return partial(opens, StandardFace)


def test_every_cut_is_read_out_with_what_it_would_do(term: Logbook, face_on: Opened) -> None:
    face = face_on(term)
    said = face.rows.accessibleName()
    assert face.made is not None
    for cut in face.made.cuts:
        assert f"{cut.label}: {cut.value:.1f} %" in said
    assert "To weigh: " in said
    assert "What a cut is not: " in said
    assert "No standard is approved for it" in said
    low = min(one.low for one in face.made.cuts if one.low is not None)
    assert face.rows.axis.start <= low


@pytest.mark.parametrize("size", [(1280, 616), (1920, 896), (1024, 580)])
@pytest.mark.parametrize("text", [100, 200])
@pytest.mark.parametrize("view", ["rows", "Choose …", "Add judges …", "Approved …"])
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
    if view != "rows":
        face.keys[view].click()
    face.grab()
    assert misfits == []


def test_a_cut_is_approved_by_name_and_in_force(
    term: Logbook, face_on: Opened, qtbot: QtBot
) -> None:
    face = face_on(term)
    face.keys["Approved …"].click()
    face.notes.keys[0].click()
    face.panel.lines[0].setText("Prof. Hester Achterberg")
    face.panel.confirm_key.click()
    assert face.panel.trouble is not None
    assert standards_in(term) == ()
    face.panel.keys["cut", "0"].click()
    face.panel.keys["rounding", "up"].click()
    face.panel.confirm_key.click()
    settled(qtbot, face)
    (held,) = standards_in(term)
    assert term.names()[held.by] == "Prof. Hester Achterberg"
    assert held.standard.method == "borderline_regression"
    assert face.made is not None
    assert face.made.present == float(held.standard.cut)
    assert f"Approved: {held.standard.cut} %" in face.rows.accessibleName()


def test_a_standard_is_withdrawn_for_a_reason(term: Logbook, face_on: Opened, qtbot: QtBot) -> None:
    face = face_on(term)
    face.keys["Approved …"].click()
    face.notes.keys[0].click()
    face.panel.lines[0].setText("Prof. Hester Achterberg")
    face.panel.keys["cut", "0"].click()
    face.panel.keys["rounding", "up"].click()
    face.panel.confirm_key.click()
    settled(qtbot, face)
    face.keys["Approved …"].click()
    face.notes.keys[1].click()
    face.panel.lines[0].setText("Prof. Hester Achterberg")
    face.panel.confirm_key.click()
    assert face.panel.trouble is not None
    face.panel.lines[2].setText("The form was changed.")
    face.panel.confirm_key.click()
    settled(qtbot, face)
    (held,) = standards_in(term)
    assert held.withdrawn is not None
    assert face.made is not None
    assert face.made.present_is == "provisional, of the form"
    assert "withdrawn from" in face.rows.accessibleName()


def test_judges_are_set_beside_the_learners_and_a_faulty_table_is_not_kept(
    term: Logbook,
    face_on: Opened,
    qtbot: QtBot,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    good, bad = tmp_path / "good.csv", tmp_path / "bad.csv"
    good.write_text("judge,item,value\nA,x,.6\nA,y,.8\nB,x,.7\nB,y,.9\n", encoding="utf-8")
    bad.write_text("judge,item,value\nA,x,much\n", encoding="utf-8")
    names = iter([str(good), str(bad)])
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (next(names), ""))
    face = face_on(term)
    told: list[object] = []
    face.told.connect(told.append)
    for _ in range(2):
        face.keys["Add judges …"].click()
        face.panel.keys["method", "angoff"].click()
        face.panel.confirm_key.click()
        settled(qtbot, face)
    assert len(told) == 1
    assert [one.path for one in face.judges] == [good]
    assert face.made is not None
    assert face.made.cuts[-1].method == "angoff"
    assert face.made.cuts[-1].value == pytest.approx(75.0)


def test_the_table_is_saved(
    term: Logbook, face_on: Opened, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    face = face_on(term)
    where = tmp_path / "standard.csv"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(where), ""))
    face.keys["Save table …"].click()
    with where.open(encoding="utf-8", newline="") as file:
        heads, *rows = csv.reader(file)
    assert heads[0] == "method"
    assert face.made is not None
    assert len(rows) == len(face.made.cuts)


def test_an_empty_logbook_says_what_would_help(empty: Logbook, face_on: Opened) -> None:
    face = face_on(empty)
    assert "Plan one, or take one in" in face.rows.accessibleName()
    assert not face.keys["Approved …"].isEnabled()
