"""A question: what is typed and chosen is given together; a trouble loses nothing."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from observe.desk.asking import Answers, AskPanel, Choice, Field, Question
from observe.desk.theme import Skin
from observe.domain.troubles import Refused


def shown(skin: Skin, qtbot: QtBot, heard: list[dict[str, str]]) -> AskPanel:
    def answer(answers: Answers) -> None:
        heard.append(dict(answers))
        if not answers["reason"]:
            raise Refused("A reason is missing.", remedy="Type one.")

    panel = AskPanel(skin)
    qtbot.addWidget(panel)
    panel.ask(
        Question(
            "Rule?",
            ("It stays.",),
            "Keep it",
            answer,
            (Field("reason", "Reason"), Field("secret", "Passphrase", secret=True)),
            (Choice("outcome", "Decision", (("pass", "Pass"), ("remediate", "Remediate"))),),
        )
    )
    panel.resize(700, panel.needed(700))
    panel.show()
    return panel


def test_what_was_typed_and_chosen_is_given(skin: Skin, qtbot: QtBot) -> None:
    heard: list[dict[str, str]] = []
    panel = shown(skin, qtbot, heard)
    QTest.keyClicks(panel.lines[0], " Both were asked. ")
    QTest.keyClicks(panel.lines[1], " x ")
    panel.keys["outcome", "remediate"].click()
    panel.keys["outcome", "pass"].click()
    panel.confirm_key.click()
    assert heard == [{"reason": "Both were asked.", "secret": " x ", "outcome": "pass"}]
    assert panel.lines[1].echoMode() is QLineEdit.EchoMode.Password
    assert "chosen" in panel.keys["outcome", "pass"].accessibleName()


def test_a_trouble_is_told_in_it_and_nothing_goes(skin: Skin, qtbot: QtBot) -> None:
    heard: list[dict[str, str]] = []
    panel = shown(skin, qtbot, heard)
    before = panel.needed(700)
    panel.keys["outcome", "pass"].click()
    QTest.keyClick(panel.lines[0], Qt.Key.Key_Return)
    assert panel.trouble is not None
    assert panel.needed(700) > before
    assert panel.answers["outcome"] == "pass"


def test_pressed_again_a_choice_is_open_again(skin: Skin, qtbot: QtBot) -> None:
    panel = shown(skin, qtbot, [])
    for chosen in ("pass", ""):
        panel.keys["outcome", "pass"].click()
        assert panel.answers["outcome"] == chosen


def test_the_next_question_keeps_the_keyboard(skin: Skin, qtbot: QtBot) -> None:
    """A line that goes gives the keyboard to the question, and Enter answers it."""
    heard: list[dict[str, str]] = []
    panel = shown(skin, qtbot, heard)
    panel.ask(Question("Sure?", (), "Yes", lambda answers: heard.append(dict(answers))))
    panel.setFocus(Qt.FocusReason.OtherFocusReason)
    QTest.keyClick(panel, Qt.Key.Key_Return)
    assert heard == [{}]
