"""K1: another observer takes over the tablet in six presses; T3: and sees nothing of the first."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from observe.desk.keys import Key
from observe.desk.live.model import LiveModel
from observe.desk.paint import Misfit
from observe.desk.sharing.switch import SwitchPanel, Watcher, watchers
from observe.desk.theme import Skin
from observe.look.tokens import DARK
from observe.work.pins import WAITS_S, Pins
from tests.desk.people import LONG_NAMES, SCREENS, HandClock, keys_of, painted

LEFT = Qt.MouseButton.LeftButton
PEOPLE = (Watcher("o-1", "Dr Petra Lindqvale", 8), Watcher("o-2", "Dr Quill", 3))


@pytest.fixture
def panel(skin: Skin, held: Pins, qtbot: QtBot) -> SwitchPanel:
    made = SwitchPanel(skin, held, PEOPLE, now="o-1")
    qtbot.addWidget(made)
    painted(made, 1280, 800)
    return made


class Presses:
    """Presses keys by what they say, and counts."""

    def __init__(self, panel: SwitchPanel) -> None:
        self.panel, self.count = panel, 0

    def press(self, said: str) -> None:
        QTest.mouseClick(self.key(said), LEFT)
        self.count += 1

    def digits(self, pin: str) -> None:
        for digit in pin:
            QTest.mouseClick(self.panel.pad.keys[digit], LEFT)
            self.count += 1

    def key(self, said: str) -> Key:
        found = [key for key in keys_of(self.panel) if key.accessibleName().startswith(said)]
        assert found, [key.accessibleName() for key in keys_of(self.panel)]
        return found[0]


def test_k1_with_a_pin_of_four_it_takes_a_name_and_four_digits(
    panel: SwitchPanel, held: Pins, qtbot: QtBot
) -> None:
    held.choose("o-2", "2718", "2718")
    hand = Presses(panel)
    with qtbot.waitSignal(panel.switched) as heard:
        hand.press("Dr Quill")
        hand.digits("2718")
    assert heard.args == ["o-2"]
    assert hand.count == 1 + 4, "and one that opened the panel"


def test_k1_nobody_gets_in_with_a_wrong_pin_or_without_it(
    panel: SwitchPanel, held: Pins, qtbot: QtBot
) -> None:
    held.choose("o-2", "2718", "2718")
    hand = Presses(panel)
    with qtbot.assertNotEmitted(panel.switched):
        hand.press("Dr Quill")
        hand.digits("2719")
        assert panel.pad.sentence() == "That is not the PIN. Try again."
        hand.press("Back")
        hand.press("Dr Quill")
        hand.digits("0000")
    assert panel.pad.isVisible(), "a sentence, not a dialog"


def test_after_three_wrong_ones_it_waits_even_when_left_and_come_back_to(
    panel: SwitchPanel, held: Pins, clock: HandClock, qtbot: QtBot
) -> None:
    held.choose("o-2", "2718", "2718")
    hand = Presses(panel)
    hand.press("Dr Quill")
    for _ in range(3):
        hand.digits("0001")
    assert panel.pad.sentence() == f"Wait {WAITS_S[2]} seconds."
    hand.press("Back")
    hand.press("Dr Quill")
    assert panel.pad.sentence() == f"Wait {WAITS_S[2]} seconds."
    hand.press("Back")
    clock.go(WAITS_S[2])
    hand.press("Dr Quill")
    with qtbot.waitSignal(panel.switched):
        hand.digits("2718")


def test_without_a_pin_one_is_asked_once_to_set_one_and_may_decline(
    panel: SwitchPanel, held: Pins, qtbot: QtBot
) -> None:
    hand = Presses(panel)
    hand.press("Dr Quill")
    with qtbot.waitSignal(panel.switched):
        hand.press("Not now")
    panel.show_people()
    with qtbot.waitSignal(panel.switched):
        hand.press("Dr Quill")
    assert not held.has("o-2")


def test_a_pin_is_set_by_typing_it_twice(panel: SwitchPanel, held: Pins, qtbot: QtBot) -> None:
    hand = Presses(panel)
    hand.press("Dr Quill")
    hand.press("Set a PIN")
    hand.digits("27182")
    hand.press("Go on")
    hand.digits("27183")
    assert "not the same" in panel.pad.sentence()
    assert not held.has("o-2")
    hand.digits("27182")
    hand.press("Go on")
    with qtbot.waitSignal(panel.switched):
        hand.digits("27182")
    assert held.digits("o-2") == 5


def test_one_observer_alone_is_asked_for_nothing(skin: Skin, held: Pins, qtbot: QtBot) -> None:
    panel = SwitchPanel(skin, held, PEOPLE[:1])
    qtbot.addWidget(panel)
    painted(panel, 1280, 800)
    with qtbot.waitSignal(panel.switched):
        Presses(panel).press("Dr Petra")


def test_a_forgotten_pin_is_removed_by_another_observer(panel: SwitchPanel, held: Pins) -> None:
    held.choose("o-2", "2718", "2718")
    hand = Presses(panel)
    hand.press("Dr Quill")
    hand.press("Forgotten")
    assert str(held.path) == panel.where, "nobody else has one: the file is named"
    held.choose("o-1", "3141", "3141")
    hand.press("Back")
    hand.press("Dr Quill")
    hand.press("Forgotten")
    hand.press("Dr Petra")
    hand.digits("0001")
    assert held.has("o-2")
    hand.digits("3141")
    assert not held.has("o-2")
    assert "is removed" in panel.text


def test_a_damaged_file_is_said_and_can_be_set_aside(panel: SwitchPanel, held: Pins) -> None:
    held.path.write_text("{", "utf-8")
    hand = Presses(panel)
    hand.press("Dr Quill")
    assert "damaged" in panel.title
    assert "No mark is touched" in panel.title
    hand.press("Set the file aside")
    assert panel.title == "Who observes now?"
    assert len(list(held.path.parent.glob("*.damaged-*"))) == 1


def test_t3_the_panel_says_how_many_learners_and_nothing_else(
    make_model: Callable[..., LiveModel],
) -> None:
    model = make_model(4, looks=2)
    room = model.room
    found = watchers(room.workshop, room.names)
    assert [(one.id, one.watches) for one in found] == [("o-1", 4), ("o-2", 2)]
    assert set(Watcher.__dataclass_fields__) == {"id", "name", "watches"}


def test_who_is_at_the_tablet_goes_back_to_their_seats(panel: SwitchPanel, qtbot: QtBot) -> None:
    with qtbot.waitSignal(panel.left):
        Presses(panel).press("Dr Petra")
    with qtbot.waitSignal(panel.left):
        QTest.keyClick(panel, Qt.Key.Key_Escape)


def test_the_keyboard_alone_is_enough(panel: SwitchPanel, held: Pins, qtbot: QtBot) -> None:
    held.choose("o-2", "2718", "2718")
    with qtbot.waitSignal(panel.switched):
        QTest.keyClick(panel, Qt.Key.Key_2)
        QTest.keyClicks(panel.pad, "2718")


def test_k1_from_the_start_page_a_room_with_a_pin_asks_for_it_too(
    skin: Skin, held: Pins, qtbot: QtBot
) -> None:
    held.choose("o-2", "2718", "2718")
    held.asked.add("o-1")
    panel = SwitchPanel(skin, held, PEOPLE)
    qtbot.addWidget(panel)
    painted(panel, 1280, 800)
    with qtbot.waitSignal(panel.switched) as heard:
        panel.choose("o-1")
    assert heard.args == ["o-1"], "nothing is asked of those without one"
    with qtbot.assertNotEmitted(panel.switched):
        panel.choose("o-2")
    with qtbot.waitSignal(panel.switched) as heard:
        QTest.keyClicks(panel.pad, "2718")
    assert heard.args == ["o-2"]
    panel.show_people()
    with qtbot.waitSignal(panel.left):
        Presses(panel).press("Back")


@pytest.mark.parametrize("size", ["tablet", "desktop", "least on a tablet", "least on a desktop"])
def test_every_text_has_room(
    panel: SwitchPanel, held: Pins, misfits: list[Misfit], size: str
) -> None:
    width, height, dpi = SCREENS[size]
    panel.skin.set_screen(dpi)
    panel.skin.set_theme(DARK)
    many = tuple(Watcher(f"o-{n}", name, 12) for n, name in enumerate(LONG_NAMES[:8]))
    panel.people = many
    panel.show_people()
    painted(panel, width, height)
    held.choose("o-1", "2718", "2718")
    panel._choose(many[1])
    painted(panel, width, height)
    panel._forgotten()
    painted(panel, width, height)
    panel._choose(many[2])
    painted(panel, width, height)
    assert misfits == []
