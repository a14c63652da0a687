"""Review's faces: one at a time, each made when it is asked for."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.review.page import FACES, ReviewPage
from observe.desk.theme import Skin
from observe.work.logbooks import Logbook
from observe.work.settings import Settings


@pytest.fixture
def page(busy: Logbook, skin: Skin, qtbot: QtBot) -> Iterator[ReviewPage]:
    page = ReviewPage(skin, busy)
    qtbot.addWidget(page)
    page.resize(1280, 698)
    page.show()
    yield page
    for face in page.faces.values():
        face.runner.stop()
        face.runner.wait()


def test_a_face_is_made_when_it_is_asked_for(page: ReviewPage) -> None:
    assert list(page.faces) == ["Agreement"]
    for title in FACES:
        QTest.mouseClick(page.keys[title], Qt.MouseButton.LeftButton)
        assert page.front is not None
        assert page.front.title == title
        assert [one.title for one in page.faces.values() if one.isVisible()] == [title]
        assert [name for name, key in page.keys.items() if key.face.chosen] == [title]


def test_what_a_face_shows_stays_when_another_is_looked_at(page: ReviewPage) -> None:
    before = page.front
    page.keys["Observers"].click()
    page.keys["Agreement"].click()
    assert page.front is before


def test_a_trouble_of_a_face_is_told_by_the_page(page: ReviewPage) -> None:
    told: list[object] = []
    page.told.connect(told.append)
    page.faces["Agreement"].told.emit("trouble")
    assert told == ["trouble"]


@pytest.mark.parametrize("text", [100, 200])
def test_the_words_of_the_faces_have_room(
    page: ReviewPage, skin: Skin, misfits: list[paint.Misfit], text: int
) -> None:
    skin.apply(Settings(text=text))
    for key in page.keys.values():
        key.grab()
    assert misfits == []
