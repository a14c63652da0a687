"""Choices and texts over the well: never modal, and no typed text is lost."""

from __future__ import annotations

from functools import partial

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.live.panels import Choice
from observe.desk.live.questions import LONGEST, Pick, Questions
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from tests.desk.people import painted


@pytest.fixture
def questions(skin: Skin, parent: QWidget) -> Questions:
    made = Questions(skin, parent)
    parent.resize(700, 500)
    made.setGeometry(0, 0, 631, 478)
    parent.show()
    return made


def test_a_choice_is_made_by_a_press_or_by_its_number(questions: Questions) -> None:
    made: list[str] = []
    choices = [Choice(word, "", partial(made.append, word)) for word in ("one", "two")]
    questions.choose("Which?", choices, (Choice("Back", "", questions.close_it),))
    questions.choices.answers[0].click()
    questions.answer(2)
    questions.answer(7)
    assert made == ["one", "two"]
    questions.choices.leave()
    assert not questions.is_open


@pytest.mark.parametrize("way", ["keep", "close", "another question"])
def test_whichever_way_it_is_left_what_was_typed_is_kept_once(
    questions: Questions, way: str
) -> None:
    kept: list[str] = []
    questions.write("Incident", "", kept.append)
    QTest.keyClicks(questions.texts.field, "Glove tore")
    if way == "keep":
        questions.texts.keep_key.click()
    elif way == "close":
        questions.close_it()
    else:
        questions.choose("Which?", (), ())
    assert kept == ["Glove tore"]
    assert questions.is_open is (way == "another question")


def test_left_as_it_was_nothing_is_kept(questions: Questions) -> None:
    kept: list[str] = []
    questions.write("Incident", "as it was", kept.append)
    QTest.keyClicks(questions.texts.field, "more")
    questions.texts.leave_key.click()
    assert kept == []
    assert not questions.is_open


def test_a_text_that_did_not_change_is_not_kept_again(questions: Questions) -> None:
    kept: list[str] = []
    questions.write("Incident", "as it was", kept.append)
    questions.texts.keep_key.click()
    assert kept == []


def test_a_text_has_an_end(questions: Questions) -> None:
    questions.write("Incident", "", lambda _: None)
    questions.texts.field.insertPlainText("a" * LONGEST)
    questions.texts.field.insertPlainText("b" * 9)
    assert len(questions.texts.field.toPlainText()) == LONGEST


def test_phrases_are_one_press_and_have_room(
    questions: Questions, parent: QWidget, misfits: list[Misfit]
) -> None:
    taken: list[str] = []
    words = ("No stop phrase agreed", "Calls it only a small needle", "Does not wait")
    picks = [Pick(word, partial(taken.append, word), chosen=word == words[1]) for word in words]
    questions.write("Words for step 3", "", lambda _: None, picks=picks)
    painted(parent, 700, 500)
    questions.texts.pick_keys[2].click()
    assert taken == ["Does not wait"]
    assert questions.texts.pick_keys[1].face.chosen
    assert not misfits


def test_after_a_text_the_keyboard_is_the_pages_again(
    questions: Questions, parent: QWidget, qtbot: QtBot
) -> None:
    parent.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    parent.activateWindow()
    qtbot.waitUntil(parent.isActiveWindow)
    questions.write("Incident", "", lambda _: None)
    assert questions.texts.field.hasFocus()
    questions.texts.keep_key.click()
    assert parent.hasFocus()
