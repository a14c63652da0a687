"""Seats as the room stands: swap, free places, late learners, who is not here (rules W1, E7)."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from observe.desk.live.arrange import ABSENT, ARRIVED, LATE, PLACE, ArrangeView
from observe.desk.live.model import LiveModel
from observe.desk.live.questions import Questions
from observe.desk.live.seats_view import SeatsView
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.domain.marks import DONE
from observe.domain.troubles import Surroundings
from observe.work.logbooks import Logbook
from tests.desk.people import LONG_NAMES, painted

Arranging = Callable[..., ArrangeView]


@pytest.fixture
def arranging(make_model: Callable[..., LiveModel], skin: Skin, parent: QWidget) -> Arranging:
    def make(seats: int = 8, **options: object) -> ArrangeView:
        model = make_model(seats, **options)
        parent.resize(1280, 730)
        under = SeatsView(skin, model, parent)
        questions = Questions(skin, parent)
        view = ArrangeView(skin, model, questions, parent)
        for one in (under, view):
            one.setGeometry(0, 0, 1280, 730)
        questions.setGeometry(330, 250, 620, 470)
        under.hide()
        parent.show()
        under.arrange()

        def again() -> None:
            under.arrange()
            if under.plan is not None:
                view.lay_out(under.plan, under.places)

        model.places_changed.connect(again)
        if under.plan is not None:
            view.begin(under.plan, under.places)
        QApplication.processEvents()
        return view

    return make


def names(view: ArrangeView) -> list[str]:
    return [view.model.name(seat) for seat in view.model.here]


def press(view: ArrangeView, seat: int) -> None:
    next(card for card in view.cards if card.seat == seat).sentence.click()


def test_two_presses_swap_two_learners_and_the_marks_go_along(arranging: Arranging) -> None:
    view = arranging()
    view.model.mark(0, DONE)
    press(view, 0)
    assert "press another seat" in view.said
    press(view, 4)
    assert names(view)[0] == "Ravi Senapathi"
    assert names(view)[4] == "Amara Voss"
    assert view.model.state(4).mark("LPX-01") == DONE
    assert view.model.name(view.model.front) == "Amara Voss"


def test_a_second_press_on_the_same_learner_lets_them_go(arranging: Arranging) -> None:
    view = arranging()
    press(view, 3)
    press(view, 3)
    assert view.chosen is None


def test_who_is_not_here_leaves_a_free_place_and_may_come_later(arranging: Arranging) -> None:
    view = arranging()
    press(view, 2)
    view.ways[ABSENT].click()
    assert "Lucía Marrek" not in names(view)
    assert any("Lucía Marrek is not here" in key.accessibleName() for key in view.free_keys)
    view.ways[ARRIVED].click()
    view.questions.answer(1)
    assert "Lucía Marrek" in names(view)


def test_who_has_marks_was_here_and_the_refusal_says_so(arranging: Arranging) -> None:
    view = arranging()
    view.model.mark(2, DONE)
    view.model.turn_clock(2)
    press(view, 2)
    view.ways[ABSENT].click()
    assert "so they were here" in view.refusal
    assert "Lucía Marrek" in names(view)


def test_a_late_learner_gets_a_free_place(arranging: Arranging) -> None:
    view = arranging(7)
    (free,) = [key for key in view.free_keys if key.isVisible()]
    free.click()
    QTest.keyClicks(view.questions.texts.field, "Jonas Adair")
    view.questions.texts.keep_key.click()
    view.questions.answer(1)
    assert names(view)[-1] == "Jonas Adair"
    assert len(view.model) == 8


def test_any_free_place_of_both_rooms_can_be_chosen(arranging: Arranging) -> None:
    view = arranging(4)
    press(view, 0)
    view.ways[PLACE].click()
    labels = [key.accessibleName() for key in view.questions.choices.answers if key.isVisible()]
    assert labels[0] == "Seat 5, room 1"
    view.questions.answer(1)
    assert names(view) == ["Idris Kalnin", "Lucía Marrek", "Tove Halden", "Amara Voss"]


def test_a_second_room_is_shown_by_itself(arranging: Arranging) -> None:
    view = arranging(4)
    press(view, 0)
    view.ways[PLACE].click()
    keys = view.questions.choices.answers
    other = next(n for n, key in enumerate(keys, 1) if "room 2" in key.accessibleName())
    view.questions.answer(other)
    model = view.model
    assert model.rooms == (1, 2)
    seen = set()
    for _ in model.rooms:
        model.next_room()
        seen.add((model.shown_room, len(model.here)))
    assert seen == {(1, 3), (2, 1)}


@pytest.mark.parametrize("seats", [1, 4, 7, 8, 12])
def test_every_text_has_room(
    arranging: Arranging, parent: QWidget, misfits: list[Misfit], seats: int
) -> None:
    view = arranging(seats, names=LONG_NAMES)
    press(view, 0)
    painted(parent, 1280, 730)
    view.ways[LATE].click()
    painted(parent, 1280, 730)
    assert misfits == []


def test_a_number_presses_a_seat_or_a_free_place(arranging: Arranging) -> None:
    view = arranging(4)
    first = view.model.name(0)
    view.press_number(1)
    view.press_number(4)
    assert view.model.name(3) == first
    view.press_number(4)
    view.press_number(6)
    assert next(s for s in range(4) if view.model.name(s) == first) == 3
    assert view.model.number(3) == 6
    view.press_number(99)
    assert view.chosen is None


def test_on_a_full_disk_it_says_that_nothing_was_changed_and_keeps_the_late_name(
    arranging: Arranging, monkeypatch: pytest.MonkeyPatch
) -> None:
    view = arranging(4)
    before = names(view)

    def refuse(*_: object, **__: object) -> None:
        raise Surroundings("This disk is full.", remedy="Free some space.")

    with monkeypatch.context() as full:
        full.setattr(Logbook, "append", refuse)
        view.ways[LATE].click()
        QTest.keyClicks(view.questions.texts.field, "Odile Brandt")
        view.questions.texts.keep_key.click()
        view.questions.choices.answers[0].click()
        assert names(view) == before
        assert view.refusal == "Nothing was changed. This disk is full."
    view.model.try_again()
    view.ways[LATE].click()
    assert view.questions.texts.field.toPlainText() == "Odile Brandt"
    view.questions.texts.keep_key.click()
    view.questions.choices.answers[0].click()
    assert names(view) == [*before, "Odile Brandt"]
    view.ways[LATE].click()
    assert view.questions.texts.field.toPlainText() == ""
