"""What the well asks: never in the way, never forgotten (rules C2, C3, M6)."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QWidget

from observe.desk.live.asks import Asks
from observe.desk.live.model import LiveModel
from observe.desk.live.panels import AskPanel
from observe.desk.live.typed_reason import TypedReason
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.marks import DONE
from tests.desk.people import HandClock


@pytest.fixture
def model(make_model: Callable[..., LiveModel]) -> LiveModel:
    return make_model(2)


@pytest.fixture
def asks(model: LiveModel, skin: Skin, parent: QWidget) -> Asks:
    rated: list[int] = []
    made = Asks(model, AskPanel(skin, parent), TypedReason(skin, parent), rated.append)
    model.changed.connect(made.show_for)
    return made


def test_nothing_is_asked_without_an_event(asks: Asks) -> None:
    assert not asks.show_for(0)


def test_an_event_is_asked_for_its_name_and_then_for_what_became_of_it(
    asks: Asks, model: LiveModel
) -> None:
    model.critical(0)
    assert "which one?" in asks.panel.question
    asks.panel.answer(1)
    assert asks.panel.question.startswith("Sterile break goes on")
    asks.panel.answer(2)
    assert model.state(0).occurrences[0].verdict is Verdict.AVERTED


def test_put_off_it_is_not_asked_again_by_the_well_but_before_sealing(
    asks: Asks, model: LiveModel
) -> None:
    model.critical(0)
    asks.panel.leave()
    assert not asks.show_for(0)
    assert "Say which critical item was recorded." in gestures.missing(model.state(0))


def test_after_a_start_it_is_asked_again_what_became_of_a_named_event(
    asks: Asks, model: LiveModel, skin: Skin, parent: QWidget
) -> None:
    model.critical(0)
    asks.panel.answer(1)
    again = Asks(model, AskPanel(skin, parent), TypedReason(skin, parent), lambda _: None)
    assert again.show_for(0)
    assert again.panel.question.startswith("Sterile break goes on")
    again.panel.leave()
    assert not again.show_for(0)


def test_another_learner_in_front_puts_it_off(asks: Asks, model: LiveModel) -> None:
    model.critical(0)
    assert asks.show_for(0)
    assert not asks.show_for(1)
    assert not asks.show_for(0)


def test_it_can_be_taken_back(asks: Asks, model: LiveModel, clock: HandClock) -> None:
    model.critical(0)
    clock.go(1)
    asks.panel.ways[1].click()
    assert model.state(0).occurrences == ()


def test_an_item_that_adds_up_needs_no_verdict(asks: Asks, model: LiveModel) -> None:
    model.critical(0)
    asks.panel.answer(7)
    assert model.state(0).occurrences[0].verdict is Verdict.COUNTED
    assert not asks.show_for(0)


def test_an_ending_that_is_not_the_learners_is_void(
    asks: Asks, model: LiveModel, clock: HandClock
) -> None:
    """Rule M6."""
    model.do(0, gestures.stop_for_safety)
    clock.go(1)
    asks.show_for(0)
    asks.end()
    assert asks.panel.question == "Why did the attempt end?"
    asks.panel.answer(2)
    state = model.state(0)
    assert model.sessions[0].text(state.void, "reason") == "The learner is unwell"


def test_c2_what_was_none_is_withdrawn_with_a_reason_that_is_offered(
    asks: Asks, model: LiveModel, clock: HandClock
) -> None:
    model.critical(0)
    asks.panel.answer(1)
    clock.go(1)
    asks.panel.ways[1].click()
    assert "Why was “Sterile break goes on” none?" in asks.panel.question
    asks.panel.answer(0)
    one = model.state(0).occurrences[0]
    assert one.verdict is Verdict.WITHDRAWN
    last = model.state(0).last
    assert last is not None
    assert model.sessions[0].text(last.id, "reason") == "Pressed by mistake"
    assert not asks.is_open


def test_c2_or_with_one_in_ones_own_words_that_survives_another_press(
    asks: Asks, model: LiveModel, clock: HandClock
) -> None:
    model.critical(0)
    asks.panel.answer(1)
    clock.go(1)
    asks.panel.ways[1].click()
    asks.panel.answer(3)
    assert asks.panel.isHidden()
    asks.typed.field.setPlainText("It was the helper's glove")
    model.look(1)
    asks.show_for(1)
    assert not asks.is_open
    assert any("what became of" in one for one in gestures.missing(model.state(0)))
    model.look(0)
    asks.show_for(0)
    assert not asks.is_open, "put off, it is not asked again by the well"
    asks._withdraw_with(model.state(0).occurrences[0].id)
    asks.panel.answer(3)
    assert asks.typed.text == "It was the helper's glove"
    asks.typed.give()
    assert model.state(0).occurrences[0].verdict is Verdict.WITHDRAWN
    assert model.drafts == {}


def test_the_second_tap_of_a_finger_answers_nothing(
    asks: Asks, model: LiveModel, clock: HandClock
) -> None:
    model.critical(0)
    asks.panel.answers[1].click()
    assert model.state(0).occurrences[0].item == ""
    clock.go(1)
    asks.panel.answers[1].click()
    asks.panel.answers[1].click()
    assert model.state(0).occurrences[0].verdict is None
    clock.go(1)
    asks.panel.answers[1].click()
    assert model.state(0).occurrences[0].verdict is Verdict.RECOVERED
    assert model.mark(0, DONE) is None
    clock.go(1)
    assert model.mark(0, DONE) is not None
