"""The list of learners: chosen by touch or keys, never beyond its ends."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from observe.desk.review.learners import LearnerRows, Row
from observe.desk.theme import Skin

ROWS = (
    Row("Ada", (False, True), "pass"),
    Row("Bo", (None, False), "remediate"),
    Row("Cy", (), "no decision"),
)


@pytest.fixture
def rows(skin: Skin, qtbot: QtBot) -> LearnerRows:
    made = LearnerRows(skin)
    qtbot.addWidget(made)
    made.show_rows(ROWS, 0)
    made.resize(420, made.needed(420))
    made.show()
    return made


def test_a_learner_is_chosen_by_touch(rows: LearnerRows) -> None:
    told: list[int] = []
    rows.chosen_changed.connect(told.append)
    at = QPoint(30, rows.row_height() + 5)
    QTest.mouseClick(rows, Qt.MouseButton.LeftButton, pos=at)
    QTest.mouseClick(rows, Qt.MouseButton.LeftButton, pos=at)
    assert told == [1]
    assert rows.accessibleName() == "Learner 2 of 3. Bo: not counted, remediate. remediate"


def test_keys_go_up_and_down_and_stay_within(rows: LearnerRows) -> None:
    for key, place in (
        (Qt.Key.Key_Up, 0),
        (Qt.Key.Key_Down, 1),
        (Qt.Key.Key_End, 2),
        (Qt.Key.Key_Down, 2),
        (Qt.Key.Key_Home, 0),
    ):
        QTest.keyClick(rows, key)
        assert rows.chosen == place


def test_a_row_is_a_target_for_a_finger(rows: LearnerRows, skin: Skin) -> None:
    assert rows.row_height() >= skin.px(40)
    assert rows.needed(300) == 3 * rows.row_height()
    rows.grab()


def test_a_long_name_is_shown_by_its_first_and_last_word() -> None:
    assert Row("Maria von und zu Hohenstein", (), "").short == ("Maria Hohenstein",)
    assert Row("Ada Brook", (), "").short == Row("Bo", (), "").short == ()
