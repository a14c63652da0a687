"""A reason in one's own words: a draft at every letter, given only by its key."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from observe.desk.live.typed_reason import LONGEST, TypedReason, Typing
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from tests.desk.live.hands import OpenRoom
from tests.desk.people import painted

K = Qt.Key


class Heard:
    """What a panel told."""

    def __init__(self) -> None:
        self.given: list[str] = []
        self.drafts: list[str] = []
        self.backs = 0

    def back(self) -> None:
        self.backs += 1


@pytest.fixture
def heard() -> Heard:
    return Heard()


@pytest.fixture
def panel(skin: Skin, parent: QWidget, heard: Heard) -> TypedReason:
    made = TypedReason(skin, parent)
    made.resize(600, 360)
    asked = Typing("Why was it none?", "why:x", "Withdraw it", heard.given.append, ("Too dark",))
    made.ask(asked, "so far", draft=heard.drafts.append, back=heard.back)
    return made


def test_every_letter_is_a_draft_and_only_the_key_gives_it(
    panel: TypedReason, heard: Heard
) -> None:
    assert panel.text == "so far"
    panel.field.insertPlainText(" and no further")
    assert heard.drafts == ["so far and no further"]
    panel.back_key.click()
    assert (heard.given, heard.backs) == ([], 1)
    panel.give_key.click()
    assert heard.given == ["so far and no further"]


def test_nothing_cannot_be_given(panel: TypedReason, heard: Heard) -> None:
    panel.field.setPlainText("  ")
    assert not panel.give_key.isEnabled()
    panel.give()
    assert heard.given == []


def test_a_further_reason_is_given_with_one_press(panel: TypedReason, heard: Heard) -> None:
    panel.pick_keys[0].click()
    assert heard.given == ["Too dark"]


def test_asked_again_it_leaves_what_is_being_typed(panel: TypedReason, heard: Heard) -> None:
    panel.field.setPlainText("half a sen")
    again = panel.asked
    assert again is not None
    panel.ask(again, "so far", draft=heard.drafts.append, back=heard.back)
    assert panel.text == "half a sen"


def test_it_is_no_longer_than_has_room_on_a_sheet(panel: TypedReason) -> None:
    panel.field.setPlainText("a" * (LONGEST + 5))
    assert len(panel.text) == LONGEST


def test_it_has_room(panel: TypedReason, parent: QWidget, misfits: list[Misfit]) -> None:
    painted(parent, 600, panel.least_height(600))
    assert misfits == []
    assert not panel.field.geometry().intersects(panel.give_key.geometry())


@pytest.mark.also_in_memory
def test_letters_go_into_the_field_and_afterwards_keys_are_the_rooms_again(
    open_room: OpenRoom,
) -> None:
    hands = open_room()
    hands.click(hands.view.well.stop)
    hands.click(hands.view.well.end)
    hands.click(hands.view.well.panel.answers[4])
    typed = hands.view.well.typed
    hands.view.activateWindow()
    hands.qtbot.waitUntil(typed.field.hasFocus)
    QTest.keyClicks(typed.field, "2 nurses left")
    assert hands.view.model.front == 0
    assert typed.text == "2 nurses left"
    hands.click(typed.give_key)
    assert hands.state(0).void
    assert hands.view.hasFocus()
    hands.press(K.Key_2)
    assert hands.view.model.front == 1


def test_escape_goes_back_and_keeps_what_was_typed(open_room: OpenRoom) -> None:
    hands = open_room()
    hands.click(hands.view.well.stop)
    hands.click(hands.view.well.end)
    hands.click(hands.view.well.panel.answers[4])
    typed = hands.view.well.typed
    typed.field.setPlainText("alarm")
    QTest.keyClick(typed.field, K.Key_Escape)
    assert not typed.isVisible()
    assert hands.view.well.panel.isVisible()
    hands.click(hands.view.well.panel.answers[4])
    assert typed.text == "alarm"
