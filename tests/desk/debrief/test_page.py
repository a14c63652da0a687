"""Debrief in a window: decision, lines, sign, sheet."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.debrief.page import DebriefPage
from observe.desk.live.model import LiveModel
from observe.desk.theme import Skin
from observe.domain import gestures
from tests.desk.people import (
    LONG_NAMES,
    SCREENS,
    HandClock,
    painted,
    ready_to_seal,
    work_through,
)

LEFT = Qt.MouseButton.LeftButton
MakeModel = Callable[..., LiveModel]


class Viewer:
    """Stands for the system's viewer of PDF files."""

    def __init__(self) -> None:
        self.opened: list[Path] = []

    def __call__(self, path: Path) -> bool:
        self.opened.append(path)
        return True


@pytest.fixture
def viewer() -> Viewer:
    return Viewer()


@pytest.fixture
def page(
    make_model: MakeModel, clock: HandClock, skin: Skin, qtbot: QtBot, viewer: Viewer
) -> DebriefPage:
    """Three learners worked through; the first two are sealed."""
    model = make_model(3)
    work_through(model, clock)
    for seat in (0, 1):
        ready_to_seal(model, seat)
        assert model.do(seat, gestures.seal) is not None
    made = DebriefPage(skin, model, 0, viewer)
    qtbot.addWidget(made)
    painted(made, 1280, 698)
    return made


def test_the_lines_of_the_rule_stand_in_its_order(page: DebriefPage) -> None:
    titles = [line.title for line in page.decision.lines]
    assert titles == [
        "Critical items",
        "Essential steps",
        "Enough was seen",
        "Domain minima",
        "Score",
    ]


def test_a_line_opens_to_what_stands_behind_it(page: DebriefPage) -> None:
    QTest.mouseClick(page.decision.rows[1], LEFT)
    assert page.story.title == "Essential steps"
    assert page.story.lists[0][1] == page.decision.lines[1].steps
    QTest.mouseClick(page.decision.rows[1], LEFT)
    assert page.story.title == "The attempt in time"


def test_the_critical_line_opens_to_what_was_not_watched(page: DebriefPage) -> None:
    QTest.mouseClick(page.decision.rows[0], LEFT)
    said = [words for _, words in page.story.labels]
    assert said[0] == "02:25  Sterile break goes on, recovered"
    assert "Puncture above L3/4, not watched" in said


def test_a_person_signs_once(page: DebriefPage) -> None:
    """Rule D4."""
    QTest.mouseClick(page.decision.sign_key, LEFT)
    signed = page.model.room.logbook.log.read(kinds=("decision-signed",))
    assert [event.by for event in signed] == ["o-1"]
    assert not page.decision.sign_key.isEnabled()
    page.sign()
    assert len(page.model.room.logbook.log.read(kinds=("decision-signed",))) == 1


def test_the_sheet_is_issued_once_and_opened_each_time(page: DebriefPage, viewer: Viewer) -> None:
    QTest.mouseClick(page.decision.sheet_key, LEFT)
    assert viewer.opened == [], "nobody has signed the decision yet"
    QTest.mouseClick(page.decision.sign_key, LEFT)
    QTest.mouseClick(page.decision.sheet_key, LEFT)
    QTest.mouseClick(page.decision.sheet_key, LEFT)
    assert viewer.opened[0] == viewer.opened[1]
    assert viewer.opened[0].read_bytes().startswith(b"%PDF")
    assert len(page.model.room.logbook.log.read(kinds=("sheet-issued",))) == 1
    assert str(viewer.opened[0]) in page.decision.told


def test_what_is_not_sealed_leads_to_the_rating(page: DebriefPage, qtbot: QtBot) -> None:
    QTest.mouseClick(page.rows[2], LEFT)
    assert not page.score.isVisible()
    with qtbot.waitSignal(page.rate) as asked:
        QTest.mouseClick(page.decision.sign_key, LEFT)
    assert asked.args == [2]


def test_learners_are_gone_through_by_keyboard(page: DebriefPage, qtbot: QtBot) -> None:
    QTest.keyClick(page, Qt.Key.Key_Down)
    assert page.seat == 1
    QTest.keyClick(page, Qt.Key.Key_Up)
    assert page.seat == 0
    with qtbot.waitSignal(page.live):
        QTest.keyClick(page, Qt.Key.Key_Escape)


@pytest.mark.parametrize("size", ["tablet", "desktop", "laptop"])
@pytest.mark.parametrize("looks", [0, 1], ids=["one observer", "second look open"])
def test_every_text_has_room(
    make_model: MakeModel,
    clock: HandClock,
    skin: Skin,
    misfits: list[paint.Misfit],
    qtbot: QtBot,
    size: str,
    looks: int,
) -> None:
    width, height, dpi = SCREENS[size]
    model = make_model(3, names=LONG_NAMES, looks=looks)
    work_through(model, clock)
    for seat in range(3):
        ready_to_seal(model, seat)
        assert model.do(seat, gestures.seal) is not None
    skin.set_screen(dpi)
    page = DebriefPage(skin, model, 0)
    qtbot.addWidget(page)
    for seat in range(3):
        page.choose(seat)
        painted(page, width, height - 102)
        for line in page.decision.lines:
            page.decision.opened.emit(line)
            painted(page, width, height - 102)
    assert {(one.text, one.width, one.height) for one in misfits} == set()
