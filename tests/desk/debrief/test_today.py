"""The day's list in Debrief: issue, print, hand over, read."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.debrief.page import AMEND, PREVIEW, TODAY, DebriefPage
from observe.desk.debrief.today import AGREE
from observe.desk.keys import Key
from observe.desk.live.model import LiveModel
from observe.desk.plan_closing import WORD
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.marks import NOT_DONE
from observe.work.debrief import attempt_result, sign_decision
from observe.work.issued import Lack, lacking
from observe.work.retest import agreed
from observe.work.settings import Settings
from tests.desk.people import HandClock, ready_to_seal, work_through

MakeModel = Callable[..., LiveModel]


@pytest.fixture
def page(make_model: MakeModel, clock: HandClock, skin: Skin, qtbot: QtBot) -> DebriefPage:
    """Two learners, the first sealed and signed."""
    model = make_model(2)
    work_through(model, clock)
    ready_to_seal(model, 0)
    assert model.do(0, gestures.seal) is not None
    room = model.room
    result = attempt_result(room.logbook, room.workshop, room.workshop.seats[0])
    sign_decision(room.logbook, room.workshop, result, by=room.observer)
    made = DebriefPage(skin, model, 0, lambda _: True)
    qtbot.addWidget(made)
    made.resize(1280, 698)
    made.show()
    return made


def press(page: DebriefPage, word: str) -> None:
    """Press the first key of the list with this word."""
    keys = [one for one in page.list.keys if one.isVisible()]
    key: Key = next(one for one in keys if one.accessibleName().startswith(word))
    key.click()


def said_of_first(page: DebriefPage) -> tuple[str, ...]:
    return next(one.sentences for one in page.list.blocks if one.title.startswith("1  "))


def first_lack(page: DebriefPage) -> Lack:
    return lacking(page.model.room.logbook, page.model.room.workshop)[0][1]


def test_from_the_issue_to_the_reading(
    page: DebriefPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page.keys[TODAY].click()
    assert page.list_area.isVisible()
    assert page.list.blocks[0].title == "2 learners of 2 still lack something"
    press(page, "Issue all")
    assert page.list.blocks[0].title == "Issued: 1 sheet. Not issued: seat 2; the list says why."
    assert first_lack(page) is Lack.HAND
    chosen = str(tmp_path / "all.pdf")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (chosen, ""))
    press(page, "One file for the printer")
    assert Path(chosen).is_file()
    press(page, "One file for the printer")
    assert "already" in page.list.blocks[0].title
    press(page, "Handed over")
    assert first_lack(page) is Lack.READ
    press(page, "The learner has read it")
    page.panel.lines[0].setText("I had the needle too low.")
    page.panel.confirm_key.click()
    assert first_lack(page) is Lack.NOTHING
    page.keys[TODAY].click()
    assert page.column.isVisible()


def test_a_closed_key_is_opened_once(page: DebriefPage) -> None:
    room = page.model.room
    at = datetime.fromisoformat(room.logbook.machine.stamp().at).astimezone()
    room.logbook.keys.close(room.observer, "Dr Petra", "amber window quiet", at)
    room.logbook.keys.lock()
    page.decision.sheet_key.click()
    assert page.panel_area.isVisible()
    page.panel.lines[0].setText("amber")
    page.panel.confirm_key.click()
    assert page.panel.trouble is not None
    page.panel.lines[0].setText("amber window quiet")
    page.panel.confirm_key.click()
    assert page.column.isVisible()
    assert first_lack(page) is Lack.HAND
    assert not room.logbook.keys.needs_passphrase(room.observer, at)


def test_amend_and_preview_stand_in_place_of_the_decision_and_esc_leads_back(
    page: DebriefPage,
) -> None:
    for word, area in ((AMEND, page.panel_area), (PREVIEW, page.preview_area)):
        page.keys[word].click()
        assert area.isVisible()
        assert not page.column.isVisible()
        QTest.keyClick(page, Qt.Key.Key_Escape)
        assert page.column.isVisible()
    page.choose(1)
    assert not page.keys[AMEND].isEnabled()
    assert not page.keys[PREVIEW].isEnabled()


@pytest.mark.parametrize("text", [100, 200])
@pytest.mark.parametrize("word", [AMEND, PREVIEW, TODAY])
def test_every_text_has_its_place(
    page: DebriefPage, skin: Skin, word: str, text: int, misfits: list[paint.Misfit]
) -> None:
    skin.apply(Settings(text=text))
    page.resize(1280, 697)
    page.keys[word].click()
    page.grab()
    assert misfits == []


def test_after_remediation_a_day_is_agreed_and_the_sheet_is_made_anew(
    make_model: MakeModel, clock: HandClock, skin: Skin, qtbot: QtBot
) -> None:
    model = make_model(2)
    work_through(model, clock)
    essential = next(step.id for step in model.state(0).steps if step.essential)
    assert model.do(0, gestures.mark, essential, NOT_DONE) is not None
    ready_to_seal(model, 0)
    assert model.do(0, gestures.seal) is not None
    room = model.room
    result = attempt_result(room.logbook, room.workshop, room.workshop.seats[0])
    sign_decision(room.logbook, room.workshop, result, by=room.observer)
    page = DebriefPage(skin, model, 0, lambda _: True)
    qtbot.addWidget(page)
    page.resize(1280, 698)
    page.show()
    page.keys[TODAY].click()
    press(page, "Issue all")
    assert "No day to show it again." in said_of_first(page)
    press(page, AGREE)
    page.panel.lines[0].setText("next week")
    page.panel.confirm_key.click()
    assert page.panel.trouble is not None
    page.panel.lines[0].setText("2099-03-26")
    page.panel.lines[1].setText("10:00, skills room 2")
    page.panel.confirm_key.click()
    assert agreed(room.logbook, room.workshop.seats[0]) is not None
    assert first_lack(page) is Lack.AGAIN
    assert "Shows it again on 2099-03-26, 10:00, skills room 2." in said_of_first(page)
    press(page, WORD)
    page.panel.confirm_key.click()
    assert page.panel.trouble is not None
    page.panel.keys["ending", "met"].click()
    page.panel.confirm_key.click()
    assert said_of_first(page)[1].endswith("Closed, met.")
