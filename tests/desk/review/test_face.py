"""What every face of the review does: says, asks in place, saves, tells troubles."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QWidget
from pytestqt.qtbot import QtBot

from observe.desk.asking import Question
from observe.desk.blocks import Block
from observe.desk.review.face import ReviewFace, table_bytes
from observe.desk.running import Tick
from observe.desk.theme import Skin
from observe.domain.troubles import BadInput
from observe.work.logbooks import Logbook


class Plain(QWidget):
    def needed(self, width: int) -> int:
        return width // 4


@pytest.fixture
def face(skin: Skin, empty: Logbook, qtbot: QtBot) -> Iterator[ReviewFace]:
    made = ReviewFace(skin, empty, Plain(), {})
    made.title = "Plain"
    qtbot.addWidget(made)
    made.resize(900, 500)
    made.show()
    yield made
    made.runner.stop()
    made.runner.wait()


def test_a_question_takes_the_place_of_the_content_until_it_is_left(face: ReviewFace) -> None:
    face.ask(Question("What?", (), "So", lambda _: None))
    assert face.panel_area.isVisible()
    assert not face.area.isVisible()
    QTest.keyClick(face, Qt.Key.Key_Escape)
    assert face.area.isVisible()
    assert not face.panel_area.isVisible()


def test_the_same_key_shows_notes_and_the_content_again(face: ReviewFace) -> None:
    face.show_blocks([Block("Title", ("Sentence.",))])
    assert face.notes_area.isVisible()
    face.show_blocks([Block("Title", ("Sentence.",))])
    assert face.area.isVisible()


def test_a_trouble_beside_the_window_is_told(face: ReviewFace, qtbot: QtBot) -> None:
    trouble = BadInput("It is empty.", remedy="Fill it.")

    def work(_: Tick) -> None:
        raise trouble

    told: list[object] = []
    face.told.connect(told.append)
    face.runner.run(work)
    qtbot.waitUntil(lambda: told == [trouble])
    assert face.said == "It could not be computed."


def test_progress_is_said_and_stop_ends_it(face: ReviewFace, qtbot: QtBot) -> None:
    go_on = threading.Event()

    def work(tick: Tick) -> None:
        tick(3, 8)
        go_on.wait(10)
        tick(4, 8)

    face.runner.run(work)
    face.show_keys(running=True)
    qtbot.waitUntil(lambda: face.said == "3 of 8 …")
    face.keys["Stop"].click()
    go_on.set()
    face.runner.wait()
    assert face.said.startswith("Stopped")
    assert not face.keys["Stop"].isEnabled()


def test_what_cannot_be_written_is_told(
    face: ReviewFace, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[object] = []
    face.told.connect(told.append)
    (tmp_path / "file").write_text("x")
    where = tmp_path / "file" / "plain.png"
    face.write((where, b"x"))
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(where), ""))
    face.save_picture()
    assert len(told) == 2


def test_a_cell_that_a_spreadsheet_would_run_gets_a_mark() -> None:
    rows = [("name", "value"), ("=1+1", "-0.5"), ("a,b", "é")]
    assert table_bytes(rows).decode() == 'name,value\r\n\'=1+1,-0.5\r\n"a,b",é\r\n'
