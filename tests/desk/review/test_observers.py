"""The face on observers: the same figures as the command line's, chosen, told, saved."""

from __future__ import annotations

import csv
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.review.observers import ObserversFace
from observe.desk.theme import Skin
from observe.work.file_severity import Asked
from observe.work.logbooks import Logbook
from observe.work.settings import Settings
from observe.work.severity_logbook import gather, study
from tests.desk.review.conftest import Opens, settled

Opened = Callable[..., ObserversFace]


@pytest.fixture
def face_on(opens: Opens) -> Opened:
    return partial(opens, ObserversFace)


def test_the_figures_are_those_of_the_command(busy: Logbook, face_on: Opened) -> None:
    face = face_on(busy)
    said = face.rows.accessibleName()
    for one in study(gather(busy), Asked(seed=1)).observers:
        assert f"{one.effect.observer}: " in said
        assert f"{one.effect.scores} scores, {one.effect.shared} learners shared" in said
    fixed = [one.effect.fixed for one in face.rows.ordered]
    assert fixed == sorted(fixed)
    assert face.rows.axis.start == -face.rows.axis.end


def test_a_pass_mark_asks_whether_adjusting_helps(
    busy: Logbook, face_on: Opened, qtbot: QtBot
) -> None:
    face = face_on(busy)
    face.keys["Choose …"].click()
    face.panel.lines[0].setText("much")
    face.panel.confirm_key.click()
    assert face.panel.trouble is not None
    face.panel.lines[0].setText("80 %")
    face.panel.confirm_key.click()
    assert face.area.isVisible()
    settled(qtbot, face)
    assert face.made is not None
    assert face.made.study is not None
    assert face.made.study.adjusting is not None
    assert face.made.study.adjusting.cut == 80


def test_an_empty_logbook_says_what_would_help(empty: Logbook, face_on: Opened) -> None:
    face = face_on(empty)
    assert "no score to compare" in face.rows.accessibleName()
    assert "packets" in face.rows.accessibleName()
    assert not face.keys["Save table …"].isEnabled()


@pytest.mark.parametrize("size", [(1280, 650), (1920, 930), (1024, 600)])
@pytest.mark.parametrize("text", [100, 200])
@pytest.mark.parametrize("view", ["rows", "note", "question", "empty"])
def test_every_text_has_its_place(
    busy: Logbook,
    empty: Logbook,
    face_on: Opened,
    skin: Skin,
    size: tuple[int, int],
    text: int,
    view: str,
    misfits: list[paint.Misfit],
) -> None:
    skin.apply(Settings(text=text))
    face = face_on(empty if view == "empty" else busy, size)
    if view == "note":
        face.keys["Method note"].click()
    elif view == "question":
        face.keys["Choose …"].click()
    face.grab()
    assert misfits == []


def test_each_observer_has_a_file_of_their_own(
    busy: Logbook, face_on: Opened, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    face = face_on(busy)
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(tmp_path))
    face.keys["Write files …"].click()
    written = sorted(tmp_path.glob("observer-*.txt"))
    assert len(written) == len(face.rows.ordered)
    names = [one.effect.observer for one in face.rows.ordered]
    for path in written:
        text = path.read_text(encoding="utf-8")
        assert sum(name in text for name in names) == 1


def test_the_table_is_saved(
    busy: Logbook, face_on: Opened, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    face = face_on(busy)
    where = tmp_path / "observers.csv"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(where), ""))
    face.keys["Save table …"].click()
    with where.open(encoding="utf-8", newline="") as file:
        heads, *rows = csv.reader(file)
    assert heads[0] == "observer"
    assert len(rows) == len(face.rows.ordered)
