"""The face on progress: the command's figures, a learner chosen, rates asked for."""

from __future__ import annotations

import csv
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.review.progress import ProgressFace
from observe.desk.theme import Skin
from observe.work.file_progress import Asked, attempts_in, progress
from observe.work.logbooks import Logbook
from observe.work.settings import Settings
from tests.desk.review.conftest import Opens, settled

Opened = Callable[..., ProgressFace]


@pytest.fixture
def face_on(opens: Opens) -> Opened:
    return partial(opens, ProgressFace)


def test_the_figures_are_those_of_the_command(term: Logbook, face_on: Opened) -> None:
    face = face_on(term)
    made = progress(attempts_in(term), Asked())
    column = face.column
    assert [row.name for row in column.learners.list.rows] == [
        one.series.learner for one in made.learners
    ]
    first = made.learners[0]
    assert first.chart.sentence in column.cusum.accessibleName()
    assert first.shown.sentence in column.learning.accessibleName()
    for one in made.mastery:
        assert f"attempt {one.attempt}: {one.trying} tried" in column.mastery.accessibleName()


def test_another_learner_has_charts_of_their_own(term: Logbook, face_on: Opened) -> None:
    face = face_on(term)
    face.column.learners.list.choose(3)
    name = face.column.learners.list.rows[3].name
    assert face.column.cusum.accessibleName().startswith(f"CUSUM. {name}: ")
    assert face.column.learning.accessibleName().startswith(f"LC-CUSUM. {name}: ")


def test_other_rates_are_asked_for_and_wrong_ones_refused(
    term: Logbook, face_on: Opened, qtbot: QtBot
) -> None:
    face = face_on(term)
    face.keys["Rates …"].click()
    for acceptable, unacceptable in (("much", "25"), ("30", "20")):
        face.panel.lines[0].setText(acceptable)
        face.panel.lines[1].setText(unacceptable)
        face.panel.confirm_key.click()
        assert face.panel.trouble is not None
    face.panel.lines[1].setText("50")
    face.panel.lines[3].setText("60")
    face.panel.confirm_key.click()
    assert face.panel.trouble is not None
    assert "between 0 and 50 %" in face.panel.trouble.what
    face.panel.lines[0].setText("20 %")
    face.panel.lines[3].setText("5")
    face.panel.lines[1].setText("50")
    face.panel.confirm_key.click()
    settled(qtbot, face)
    assert "Failures of 20 % against 50 %, α 0.1, β 0.05" in face.column.cusum.accessibleName()


def test_which_attempts_count_is_asked_for(term: Logbook, face_on: Opened, qtbot: QtBot) -> None:
    face = face_on(term)
    face.keys["Choose …"].click()
    face.panel.keys["policy", "best"].click()
    face.panel.confirm_key.click()
    settled(qtbot, face)
    assert "by the policy “best”" in face.column.attempts.accessibleName()


@pytest.mark.parametrize("size", [(1280, 616), (1920, 896), (1024, 580)])
@pytest.mark.parametrize("text", [100, 200])
@pytest.mark.parametrize("view", ["charts", "Choose …", "Rates …", "Method note"])
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
    if view != "charts":
        face.keys[view].click()
    face.grab()
    assert misfits == []


def test_the_table_is_saved(
    term: Logbook, face_on: Opened, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    face = face_on(term)
    where = tmp_path / "progress.csv"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(where), ""))
    face.keys["Save tables …"].click()
    with where.open(encoding="utf-8", newline="") as file:
        heads, *rows = csv.reader(file)
    assert heads[0] == "learner"
    assert len({row[0] for row in rows}) > 10
    assert {row[4] for row in rows} == {"Pass", "Remediate", "Undecided"}
    cohort = where.with_name("progress-cohort.csv").read_text(encoding="utf-8")
    assert cohort.startswith("attempt,trying,reached,share,se,low,high")


def test_arrow_keys_choose_the_next_learner_and_bring_them_into_sight(
    term: Logbook, face_on: Opened, skin: Skin
) -> None:
    face = face_on(term)
    learners = face.column.learners
    QTest.keyClick(face, Qt.Key.Key_End)
    assert learners.list.chosen == len(learners.list.rows) - 1
    assert learners.area.verticalScrollBar().value() > 0
    assert face.column.attempts.note == learners.list.name
    skin.apply(Settings(text=200))
    QTest.keyClick(face, Qt.Key.Key_Home)
    QTest.keyClick(face, Qt.Key.Key_End)
    assert face.area.verticalScrollBar().value() > 0


def test_a_small_window_scrolls_rather_than_squash_the_charts(
    term: Logbook, face_on: Opened
) -> None:
    small, large = face_on(term, (1024, 420)), face_on(term, (1280, 616))
    assert small.area.scrolls
    assert not large.area.scrolls
    for face in (small, large):
        column = face.column
        for panel in (column.cusum, column.learning, column.mastery):
            assert panel.height() >= panel.least(panel.width())


def test_who_is_chosen_stays_when_it_is_computed_anew(
    term: Logbook, face_on: Opened, qtbot: QtBot
) -> None:
    face = face_on(term)
    face.column.learners.list.choose(4)
    name = face.column.learners.list.name
    face.compute()
    settled(qtbot, face)
    assert face.column.learners.list.name == name
    assert face.column.attempts.note == name


def test_an_empty_logbook_says_what_would_help(empty: Logbook, face_on: Opened) -> None:
    face = face_on(empty)
    assert "take packets in" in face.column.learners.accessibleName()
    assert not face.keys["Save tables …"].isEnabled()
