"""The pad: large keys in a fixed order, dots instead of digits, fingers and keyboard alike."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.paint import Misfit
from observe.desk.sharing.pad import KEY_MM, PinPad
from observe.desk.theme import Skin
from tests.desk.people import LONG_NAMES, SCREENS, painted

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def pad(skin: Skin, parent: QWidget) -> PinPad:
    made = PinPad(skin, parent)
    painted(parent, 1280, 800)
    made.setGeometry(100, 20, 760, 660)
    made.show()
    return made


def press(pad: PinPad, text: str) -> None:
    for digit in text:
        QTest.mouseClick(pad.keys[digit], LEFT)


def test_where_the_length_is_known_the_last_digit_enters(pad: PinPad, qtbot: QtBot) -> None:
    pad.ask("Dr Quill", "Enter your PIN.", digits=4)
    assert not pad.keys["ok"].isVisible()
    with qtbot.waitSignal(pad.entered) as heard:
        press(pad, "2718")
    assert heard.args == ["2718"]
    assert pad.typed == ""


def test_a_new_pin_of_any_length_is_ended_by_a_key(pad: PinPad, qtbot: QtBot) -> None:
    pad.ask("Dr Quill", "Choose.")
    press(pad, "314")
    assert not pad.keys["ok"].isEnabled()
    press(pad, "15")
    with qtbot.waitSignal(pad.entered) as heard:
        QTest.mouseClick(pad.keys["ok"], LEFT)
    assert heard.args == ["31415"]


def test_no_more_than_six_digits_are_taken(pad: PinPad) -> None:
    pad.ask("Dr Quill", "Choose.")
    press(pad, "314159")
    assert not pad.keys["2"].isEnabled()
    QTest.mouseClick(pad.keys["back"], LEFT)
    assert pad.typed == "31415"


def test_the_keyboard_does_the_same(pad: PinPad, qtbot: QtBot) -> None:
    pad.ask("Dr Quill", "Choose.")
    QTest.keyClicks(pad, "31x41")
    QTest.keyClick(pad, Qt.Key.Key_Backspace)
    QTest.keyClicks(pad, "59")
    with qtbot.waitSignal(pad.entered) as heard:
        QTest.keyClick(pad, Qt.Key.Key_Return)
    assert heard.args == ["31459"]


def test_digits_are_shown_as_dots_to_the_eye_and_counted_to_the_ear(pad: PinPad) -> None:
    """Two PINs of one length give one picture."""
    pictures = []
    for digits in ("271", "890"):
        pad.ask("Dr Quill", "Enter your PIN.", digits=4)
        press(pad, digits)
        for key in pad.keys.values():
            key.setDown(False)
        pictures.append(pad.grab().toImage())
        assert "3 digits typed" in pad.accessibleName()
        assert digits not in pad.accessibleName()
    assert pictures[0] == pictures[1]


def test_what_was_wrong_is_a_sentence_and_nothing_stays_typed(pad: PinPad) -> None:
    pad.ask("Dr Quill", "Enter your PIN.", digits=4)
    press(pad, "27")
    pad.refuse("That is not the PIN. Try again.")
    assert pad.typed == ""
    assert pad.sentence() == "That is not the PIN. Try again."
    press(pad, "2")
    assert pad.sentence() == "", "the next digit takes it away"


def test_while_it_waits_no_digit_is_heard(pad: PinPad) -> None:
    pad.ask("Dr Quill", "Enter your PIN.", digits=4)
    pad.refuse("Too many wrong PINs.", wait_s=2)
    assert pad.sentence() == "Wait 2 seconds."
    assert not pad.keys["1"].isEnabled()
    QTest.keyClicks(pad, "2718")
    assert pad.typed == ""
    pad._tick()
    pad._tick()
    assert pad.keys["1"].isEnabled()
    assert pad.sentence() == "Try again."


def test_a_pad_that_is_left_forgets_what_was_typed(pad: PinPad) -> None:
    pad.ask("Dr Quill", "Enter your PIN.", digits=4)
    press(pad, "27")
    pad.hide()
    assert pad.typed == ""


@pytest.mark.parametrize("size", ["tablet", "desktop", "least on a tablet", "least on a desktop"])
def test_keys_are_fourteen_millimetres_and_every_text_has_room(
    pad: PinPad, misfits: list[Misfit], size: str
) -> None:
    width, height, dpi = SCREENS[size]
    pad.skin.set_screen(dpi)
    pad.resize(min(760, width - 40), height - 130)
    pad.ask(LONG_NAMES[1], f"Your own PIN removes that of {LONG_NAMES[0]}.")
    pad.refuse("That is not the PIN. Wait 300 seconds.")
    painted(pad, pad.width(), pad.height())
    least = pad.skin.mm(KEY_MM)
    for key in pad.keys.values():
        assert min(key.width(), key.height()) >= least
        assert pad.rect().contains(key.geometry())
    assert misfits == []
