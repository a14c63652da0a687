"""One strength and one change: picked from what was marked, or typed and kept after a pause."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtGui import QTextCursor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.live.model import LiveModel
from observe.desk.rating.words import LONGEST, WordsPane, changes, strengths
from observe.desk.theme import Skin
from observe.domain.marks import DONE, INCORRECT, Mark, State
from observe.domain.troubles import Surroundings
from tests.desk.people import HandClock, painted


@pytest.fixture
def model(make_model: Callable[..., LiveModel], clock: HandClock) -> LiveModel:
    made = make_model(1)
    for mark in (DONE, DONE, INCORRECT, DONE, Mark(State.DONE, 3)):
        made.mark(0, mark)
        clock.go(1)
    return made


@pytest.fixture
def pane(model: LiveModel, skin: Skin, parent: QWidget) -> Iterator[WordsPane]:
    made = WordsPane(skin, model, 0, parent)
    model.changed.connect(made.refresh)
    made.refresh()
    yield made
    for column in made.columns:
        column._pause.stop()


def kept(model: LiveModel, slot: str) -> str:
    event = model.state(0).texts.get(slot)
    return model.sessions[0].text(event, "text") if event else ""


def test_strengths_are_steps_done_alone_essential_ones_first(model: LiveModel) -> None:
    assert strengths(model.state(0))[0] == "Obtains consent with headache and other risks"
    assert "Checks kit: needle type, stylet moves, tubes, tap" not in strengths(model.state(0))


def test_changes_say_what_was_marked_and_nothing_that_was_not_seen(model: LiveModel) -> None:
    assert changes(model.state(0)) == (
        "Checks bleeding risk, pressure signs, skin, allergy: incorrect",
        "Checks kit: needle type, stylet moves, tubes, tap: done, prompt 3 (guided)",
    )


def test_a_pick_is_one_press(model: LiveModel, pane: WordsPane) -> None:
    pane.columns[1].keys[0].click()
    assert kept(model, "change").startswith("Checks bleeding risk")
    assert pane.columns[1].keys[0].face.chosen


def test_typed_text_is_kept_when_the_part_is_left(
    model: LiveModel, pane: WordsPane, parent: QWidget
) -> None:
    painted(parent, 800, 500)
    pane.columns[0].field.setPlainText("Explains each touch before it comes")
    assert kept(model, "strength") == ""
    pane.hide()
    assert kept(model, "strength") == "Explains each touch before it comes"
    before = len(model.sessions[0].logbook.log.read())
    pane.show()
    pane.hide()
    assert len(model.sessions[0].logbook.log.read()) == before, "nothing new, nothing written"


def test_typed_text_is_kept_after_a_pause(
    model: LiveModel, pane: WordsPane, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("observe.desk.rating.words.PAUSE_MS", 0)
    pane.columns[0].field.setPlainText("Calm")
    qtbot.waitUntil(lambda: kept(model, "strength") == "Calm")


def test_a_text_has_an_end_and_what_is_typed_past_it_is_not_taken(pane: WordsPane) -> None:
    field = pane.columns[0].field
    field.setPlainText("x" * LONGEST)
    field.moveCursor(QTextCursor.MoveOperation.End)
    QTest.keyClicks(field, "END")
    assert field.toPlainText() == "x" * LONGEST
    field.moveCursor(QTextCursor.MoveOperation.Start)
    field.insertPlainText("abc")
    assert field.toPlainText() == "x" * LONGEST


def test_a_text_that_is_cleared_stands_no_longer(model: LiveModel, pane: WordsPane) -> None:
    column = pane.columns[0]
    column.field.setPlainText("Calm")
    column.keep()
    column.field.setPlainText("")
    column.keep()
    assert "strength" not in model.state(0).texts


def test_what_could_not_be_kept_is_kept_when_it_is_tried_again(
    model: LiveModel, pane: WordsPane, parent: QWidget, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise Surroundings("The disk is full.", remedy="Free some space.")

    monkeypatch.setattr(model.room.logbook, "append", full)
    for column, text in zip(pane.columns, ("Calm", "Slower"), strict=True):
        column.field.setPlainText(text)
        column.keep()
    again = WordsPane(pane.skin, model, 0, parent)
    assert again.columns[0].field.toPlainText() == "Calm", "left and come back to"
    monkeypatch.undo()
    model.try_again()
    assert (kept(model, "strength"), kept(model, "change")) == ("Calm", "Slower")


def test_what_was_kept_is_there_again(
    model: LiveModel, pane: WordsPane, skin: Skin, parent: QWidget
) -> None:
    pane.columns[0].field.setPlainText("Calm")
    pane.columns[0].keep()
    again = WordsPane(skin, model, 0, parent)
    assert again.columns[0].field.toPlainText() == "Calm"
