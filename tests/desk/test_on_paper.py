"""What is put on paper is what was said."""

from __future__ import annotations

import pytest
from PySide6.QtPrintSupport import QPrintDialog
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.on_paper import page_of, print_lines


@pytest.mark.usefixtures("qtbot")
def test_the_page_says_every_line_as_it_is() -> None:
    said = page_of("Key of <Ben>", ("ABCD-EFGH", "Put it away & lock it.")).toPlainText()
    assert said.splitlines() == ["Key of <Ben>", "ABCD-EFGH", "Put it away & lock it."]


def test_nothing_is_printed_where_no_printer_was_chosen(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QPrintDialog, "exec", lambda _: QPrintDialog.DialogCode.Rejected)
    parent = QWidget()
    qtbot.addWidget(parent)
    assert not print_lines(parent, "Key", ("ABCD",))
