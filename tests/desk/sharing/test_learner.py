"""P2: the learner's screen is locked, shows nothing of others, and keeps each answer."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPlainTextEdit
from pytestqt.qtbot import QtBot

from observe.desk.keys import Key
from observe.desk.paint import Misfit
from observe.desk.rating.scales import ScalePane
from observe.desk.sharing.learner import LearnerScreen
from observe.desk.sharing.own_words import WordsPage
from observe.desk.sharing.peer_steps import StepsPage
from observe.domain.form import Mode
from observe.domain.marks import DONE, NOT_DONE
from observe.domain.observation import Slot
from observe.domain.troubles import Surroundings
from observe.look.tokens import DARK
from observe.work.pins import Pins
from tests.desk.people import LONG_NAMES, NAMES, SCREENS, HandClock, keys_of, painted
from tests.desk.sharing.conftest import OpenScreen

LEFT = Qt.MouseButton.LeftButton


def click(key: Key, clock: HandClock) -> None:
    clock.go(1)
    assert key.isVisible()
    QTest.mouseClick(key, LEFT)


def scale(screen: LearnerScreen) -> ScalePane:
    page = screen.pages[screen.at]
    assert isinstance(page, ScalePane)
    return page


def words_page(screen: LearnerScreen) -> WordsPage:
    page = screen.pages[-1]
    assert isinstance(page, WordsPage)
    screen.at = len(screen.pages) - 1
    screen.refresh()
    return page


def test_p2_a_learner_rates_their_own_attempt_one_question_at_a_time(
    open_screen: OpenScreen, clock: HandClock
) -> None:
    screen = open_screen()
    form = screen.session.ground.form
    click(scale(screen).keys[2], clock)
    for _ in form.dimensions:
        click(scale(screen).keys[3], clock)
    click(scale(screen).keys[1], clock)
    state = screen.session.state
    assert state.overall == 3
    assert set(state.dimensions.values()) == {4}
    assert len(state.dimensions) == len(form.dimensions)
    assert state.independence == 2
    page = words_page(screen)
    page.fields[Slot.STRENGTH].setPlainText("I stayed calm.")
    page.fields[Slot.CHANGE].setPlainText("Set my hands before I begin.")
    click(screen.next_key, clock)
    state = screen.session.state
    assert state.sealed
    assert screen.session.text(state.texts["change"], "text") == "Set my hands before I begin."
    assert screen.lock_panel.isVisible()
    assert not screen.lock_panel.back_key.isVisible(), "what is sealed is not gone back to"


def test_a_double_press_answers_one_question(open_screen: OpenScreen, clock: HandClock) -> None:
    screen = open_screen()
    click(scale(screen).keys[4], clock)
    QTest.mouseClick(scale(screen).keys[4], LEFT)
    assert screen.at == 1
    assert not screen.session.state.dimensions


def test_an_answer_may_be_changed_until_the_end(open_screen: OpenScreen, clock: HandClock) -> None:
    screen = open_screen()
    click(scale(screen).keys[0], clock)
    click(screen.back_key, clock)
    assert scale(screen).keys[0].face.chosen
    click(scale(screen).keys[4], clock)
    assert screen.session.state.overall == 5


def test_p2_a_peer_says_done_or_not_yet_and_two_remarks(
    open_screen: OpenScreen, clock: HandClock
) -> None:
    screen = open_screen(peer=True)
    first = screen.pages[0]
    assert isinstance(first, StepsPage)
    ids = [step.id for _, step in first.steps]
    click(first.keys[ids[0]][0], clock)
    click(first.keys[ids[1]][1], clock)
    assert screen.session.state.mark(ids[0]) == DONE
    assert screen.session.state.mark(ids[1]) == NOT_DONE
    assert first.keys[ids[0]][0].face.chosen
    assert not first.keys[ids[0]][1].face.chosen
    page = words_page(screen)
    click(screen.next_key, clock)
    assert not screen.session.state.sealed
    assert screen.said == "Still open: “Keep doing” and “Change one thing”."
    page.fields[Slot.STRENGTH].setPlainText("Clear words")
    page.fields[Slot.CHANGE].setPlainText("Wait for the answer")
    click(screen.next_key, clock)
    assert screen.session.state.sealed


@pytest.mark.parametrize("peer", [False, True])
def test_p2_it_shows_nothing_of_others(open_screen: OpenScreen, peer: bool) -> None:
    screen = open_screen(peer=peer)
    for place in range(len(screen.pages)):
        screen.at = place
        screen.refresh()
        texts = [f"{key.accessibleName()} {key.face.content}" for key in keys_of(screen)]
        said = " ".join((*texts, screen.accessibleName(), screen.title()))
        assert NAMES[0] in said
        assert not [name for name in NAMES[1:] if name in said]
        assert "Petra" not in said
        assert "eat " not in said, "no seats"
        assert "%" not in said


def test_p2_only_the_observers_pin_leads_out(
    open_screen: OpenScreen, held: Pins, clock: HandClock, qtbot: QtBot
) -> None:
    held.choose("o-1", "2718", "2718")
    screen = open_screen()
    click(screen.give_key, clock)
    pad = screen.lock_panel.pad
    with qtbot.assertNotEmitted(screen.returned):
        QTest.keyClicks(pad, "2717")
        for key in (Qt.Key.Key_Escape, Qt.Key.Key_F11, Qt.Key.Key_Tab, Qt.Key.Key_1):
            QTest.keyClick(screen, key)
    assert "not the PIN" in pad.sentence()
    with qtbot.waitSignal(screen.returned):
        QTest.keyClicks(pad, "2718")


def test_p2_the_learner_goes_back_to_the_answers(open_screen: OpenScreen, clock: HandClock) -> None:
    screen = open_screen()
    click(scale(screen).keys[1], clock)
    click(screen.give_key, clock)
    click(screen.lock_panel.back_key, clock)
    assert screen.lock_panel.isHidden()
    assert screen.at == 1


def test_p2_while_it_is_locked_no_answer_can_be_given(
    open_screen: OpenScreen, clock: HandClock
) -> None:
    screen = open_screen()
    click(screen.give_key, clock)
    place = scale(screen).keys[0].mapTo(screen, scale(screen).keys[0].rect().center())
    assert screen.childAt(place) in (screen.lock_panel, *screen.lock_panel.findChildren(Key))


def test_what_is_typed_is_kept_whichever_way_it_is_left(open_screen: OpenScreen) -> None:
    screen = open_screen()
    page = words_page(screen)
    field: QPlainTextEdit = page.fields[Slot.CHANGE]
    field.setPlainText("Slower")
    screen.hide()
    state = screen.session.state
    assert screen.session.text(state.texts["change"], "text") == "Slower"


def test_what_cannot_be_kept_is_said_and_tried_again(
    open_screen: OpenScreen, clock: HandClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    screen = open_screen()

    def full(*_: object, **__: object) -> None:
        raise Surroundings("The disk is full.", remedy="Call the observer.")

    monkeypatch.setattr(screen.session.logbook, "append", full)
    click(scale(screen).keys[2], clock)
    assert screen.said == "The disk is full. Call the observer."
    assert screen.at == 0
    assert not scale(screen).keys[2].face.chosen
    monkeypatch.undo()
    click(scale(screen).keys[2], clock)
    assert screen.session.state.overall == 3
    assert not screen.said


def test_in_practice_mode_words_are_not_asked_for(
    open_screen: OpenScreen, clock: HandClock
) -> None:
    screen = open_screen(mode=Mode.PRACTICE)
    click(scale(screen).keys[2], clock)
    words_page(screen)
    click(screen.next_key, clock)
    assert screen.session.state.sealed


@pytest.mark.parametrize("size", ["tablet", "desktop", "least on a tablet", "least on a desktop"])
@pytest.mark.parametrize("peer", [False, True])
def test_every_text_has_room(
    open_screen: OpenScreen, misfits: list[Misfit], size: str, peer: bool
) -> None:
    width, height, dpi = SCREENS[size]
    screen = open_screen(peer=peer, names=LONG_NAMES)
    screen.skin.set_screen(dpi)
    screen.skin.set_theme(DARK)
    for place in range(len(screen.pages)):
        screen.at = place
        screen.refresh()
        painted(screen, width, height)
        for key in keys_of(screen):
            assert key.height() >= screen.skin.mm(12), key.accessibleName()
    screen.lock()
    painted(screen, width, height)
    assert misfits == []
