"""One strength and one change: picked from what was marked, or typed and kept after a pause."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.live.model import LiveModel
from observe.desk.rating.words import LONGEST, WordsPane, changes, strengths
from observe.desk.theme import Skin
from observe.domain.marks import DONE, INCORRECT, Mark, State
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


def test_changes_are_the_forms_own_errors_the_worst_first(model: LiveModel) -> None:
    assert changes(model.state(0)) == (
        "Checks bleeding risk, pressure signs, skin, allergy: one of the four groups is missing",
        "Checks kit: needle type, stylet moves, tubes, tap: takes a cutting needle by habit",
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


def test_a_text_has_an_end(pane: WordsPane) -> None:
    pane.columns[0].field.setPlainText("x" * (LONGEST + 50))
    assert len(pane.columns[0].field.toPlainText()) == LONGEST


def test_what_was_kept_is_there_again(
    model: LiveModel, pane: WordsPane, skin: Skin, parent: QWidget
) -> None:
    pane.columns[0].field.setPlainText("Calm")
    pane.columns[0].keep()
    again = WordsPane(skin, model, 0, parent)
    assert again.columns[0].field.toPlainText() == "Calm"
