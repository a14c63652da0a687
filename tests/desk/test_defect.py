"""A defect has a window of its own that tells of no person and no mark."""

from __future__ import annotations

from pytestqt.qtbot import QtBot

from observe.desk.defect import DefectWindow
from observe.desk.paint import Misfit
from observe.desk.theme import Skin


def test_it_says_what_is_safe_and_where_the_report_is(
    skin: Skin, qtbot: QtBot, misfits: list[Misfit]
) -> None:
    window = DefectWindow(skin)
    for _ in range(100):
        window.tell("ZeroDivisionError", "/somewhere/defects/defect-1.txt")
    qtbot.addWidget(window)
    window.show()
    window.grab()
    assert misfits == []
    window.close_key.click()
    assert not window.isVisible()
