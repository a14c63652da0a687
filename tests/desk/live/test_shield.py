"""P2: a shield covers the marks when learners crowd the tablet; the work goes on behind it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from observe.desk.live.model import LiveModel
from observe.desk.live.page import LivePage
from observe.desk.live.rod_strip import rod_reading
from observe.desk.live.shield import Shield, covered_rod, is_up, shield_face, shield_of
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, NOT_SEEN, Mark
from observe.look.marks import MarkLook
from tests.desk.live.hands import OpenRoom
from tests.desk.people import DESK, HAND, HandClock, keys_of, work_through

MarksOf = tuple[Mark, ...]
TELLING = ("% seen", "incorrect", "recorded", "not named", "prompt", "not done, step", "needs ")


def texts(page: LivePage) -> list[str]:
    """What the keys say, to the eye and to the reader of the screen."""
    return [f"{key.accessibleName()} {key.face.content}" for key in keys_of(page)]


def test_one_press_covers_and_one_uncovers(open_room: OpenRoom) -> None:
    hands = open_room(8)
    model = hands.view.model
    shield = shield_of(model)
    assert not is_up(model)
    shield.turn()
    assert is_up(model)
    shield.turn()
    assert not is_up(model)
    assert model.findChildren(Shield) == [shield]


@pytest.mark.parametrize("seats", [1, 6])
def test_p2_under_the_shield_no_key_says_what_was_marked(open_room: OpenRoom, seats: int) -> None:
    hands = open_room(seats)
    model = hands.view.model
    work_through(model, hands.clock)
    for seat in range(seats):
        model.look(seat)
        shield_of(model).turn()
        said = [text for text in texts(hands.view) if any(word in text.lower() for word in TELLING)]
        buttons = ("Done after prompt", "Incorrect. Seat")
        assert [text for text in said if not text.startswith(buttons)] == []
        shield_of(model).turn()
    assert any("% seen" in text for text in texts(hands.view))


@pytest.mark.parametrize(("seats", "dpi"), [(1, HAND), (4, HAND), (8, HAND), (8, DESK)])
def test_p2_under_the_shield_two_records_look_the_same(
    make_model: Callable[..., LiveModel],
    skin: Skin,
    clock: HandClock,
    qtbot: QtBot,
    seats: int,
    dpi: float,
) -> None:
    """The same presses at the same times with other marks give the same picture."""
    skin.set_screen(dpi)
    model = make_model(seats)
    page = LivePage(skin, model)
    qtbot.addWidget(page)
    page.resize(*((1280, 800) if dpi == HAND else (1920, 1080)))
    page.show()
    shield = shield_of(model)
    steps = model.state(0).steps

    def pictures(marks: MarksOf) -> tuple[QImage, QImage]:
        """Covered and open, after these marks at 5, 10 and 15 seconds; then all is taken back."""
        for place, mark in enumerate(marks):
            clock.go(5)
            model.do(0, gestures.mark, steps[place].id, mark)
        clock.go(5)
        shield.turn()
        page.tick()
        covered = page.grab().toImage()
        shield.turn()
        shown = page.grab().toImage()
        for _ in marks:
            model.do(0, gestures.take_back)
        clock.go(-20)
        return covered, shown

    QApplication.processEvents()
    well = pictures((DONE, DONE, DONE))
    badly = pictures((NOT_DONE, INCORRECT, NOT_DONE))
    assert well[0] == badly[0]
    assert well[1] != badly[1]


def test_p2_done_and_critical_work_behind_the_shield(open_room: OpenRoom) -> None:
    hands = open_room(8)
    shield_of(hands.view.model).turn()
    card = hands.view.seats.cards[2]
    hands.click(card.sentence)
    hands.click(card.critical)
    state = hands.state(2)
    assert state.mark(state.steps[0].id) == DONE
    assert len(state.occurrences) == 1
    assert "recorded" not in card.critical.accessibleName()
    assert not hands.view.well.panel.isVisible()
    shield_of(hands.view.model).turn()
    assert "1 recorded" in card.critical.accessibleName()
    assert hands.view.well.panel.isVisible(), "what waited is asked now"


def test_p2_behind_the_shield_no_decision_is_opened(open_room: OpenRoom) -> None:
    hands = open_room(8)
    model = hands.view.model
    model.do(1, gestures.void, "The trainer broke")
    model.seal_in_sight(1)
    hands.clock.go(5)
    model.seal(1)
    shield_of(model).turn()
    assert not hands.view.seats.cards[1].sentence.isEnabled()
    model.look(1)
    assert not hands.view.well.finish.isEnabled()
    shield_of(model).turn()
    assert hands.view.well.finish.isEnabled()


def test_the_note_after_an_interruption_keeps_the_mark_to_itself(open_room: OpenRoom) -> None:
    hands = open_room(8)
    model = hands.view.model
    model.mark(0, INCORRECT)
    hands.clock.go(60)
    model.came_back(60)
    assert "Incorrect" in hands.view.note.accessibleName()
    shield_of(model).turn()
    assert "Incorrect" not in hands.view.note.accessibleName()
    assert "seat 1" in hands.view.note.accessibleName()


def test_a_covered_rod_keeps_its_steps_and_shows_no_mark(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    model = make_model(2)
    work_through(model, clock)
    shown = rod_reading(model.state(1))
    covered = covered_rod(shown)
    assert [step.weight for step in covered.steps] == [step.weight for step in shown.steps]
    assert {step.look for step in covered.steps} == {MarkLook.AHEAD}
    assert not covered.flags


@pytest.mark.parametrize("seats", [1, 4, 8, 12])
def test_every_text_has_room_under_the_shield(
    open_room: OpenRoom, misfits: list[Misfit], seats: int
) -> None:
    hands = open_room(seats)
    hands.view.model.critical(0)
    shield_of(hands.view.model).turn()
    hands.view.grab()
    assert misfits == []


def test_the_key_says_what_it_does_and_how_it_stands() -> None:
    assert shield_face(up=False).name == "Shield: cover all marks"
    assert shield_face(up=True).name == "Shield is up: show marks again"
    assert shield_face(up=True).chosen


K = Qt.Key


@pytest.mark.parametrize("keys", [(K.Key_T,), (K.Key_A,), (K.Key_M,), (K.Key_X, K.Key_Y)])
def test_p2_nor_does_anything_that_opens_over_the_seats(
    open_room: OpenRoom, keys: tuple[Qt.Key, ...]
) -> None:
    hands = open_room(8)
    work_through(hands.view.model, hands.clock)
    hands.view.model.look(2)
    bare = set(texts(hands.view))
    hands.press(K.Key_H)
    for key in keys:
        hands.press(key)
    opened = [one for one in texts(hands.view) if one not in bare]
    opened.append(hands.view.questions.choices.question)
    standing = ("done, prompt", "marked already", "incorrect,", "not done,", "step 8", "words to")
    together = ("Incorrect. for", "Not done. for", "Done after prompt")
    said = [one for one in opened if any(word in one.lower() for word in standing)]
    assert [one for one in said if not one.startswith(together)] == []


def test_p2_the_last_mark_can_be_moved_unseen(open_room: OpenRoom) -> None:
    hands = open_room(8)
    for key in (K.Key_3, K.Key_N, K.Key_H, K.Key_M, K.Key_5):
        hands.press(key)
    assert hands.state(2).mark("LPX-01") == NOT_SEEN
    assert hands.state(4).mark("LPX-01") == NOT_DONE


def test_p2_the_rating_is_not_opened_by_its_key_either(open_room: OpenRoom) -> None:
    hands = open_room(8)
    asked: list[int] = []
    hands.view.rate.connect(asked.append)
    hands.press(K.Key_H)
    hands.press(K.Key_R)
    assert not asked
    hands.press(K.Key_H)
    hands.press(K.Key_R)
    assert asked == [0]
