"""How an attempt ended: void with a reason, countersigned in summative mode, and time-out."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QWidget

from observe.desk.live.asks import Asks
from observe.desk.live.endings import VOID_SLOT, countersigners
from observe.desk.live.model import LiveModel
from observe.desk.live.panels import AskPanel
from observe.desk.live.typed_reason import TypedReason
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.form import Mode
from observe.domain.marks import DONE, NOT_DONE, NOT_SEEN
from tests.desk.people import HandClock

OpenAsks = Callable[..., Asks]
BROKE, ELSE = 1, 4


@pytest.fixture
def open_asks(
    make_model: Callable[..., LiveModel], skin: Skin, parent: QWidget, clock: HandClock
) -> OpenAsks:
    """What a well asks of the one learner, stopped for safety a second ago."""

    def make(**options: object) -> Asks:
        model = make_model(1, **options)
        asks = Asks(model, AskPanel(skin, parent), TypedReason(skin, parent), lambda _seat: None)
        model.changed.connect(asks.show_for)
        model.mark(0, DONE)
        model.do(0, gestures.stop_for_safety)
        clock.go(1)
        asks.end()
        return asks

    return make


def said(asks: Asks) -> str:
    """The reason of the void that is kept."""
    return asks.model.sessions[0].text(asks.model.state(0).void, "reason")


def test_m6_a_void_takes_a_reason_in_ones_own_words(open_asks: OpenAsks) -> None:
    asks = open_asks()
    asks.panel.answer(ELSE)
    asks.typed.give()
    assert not asks.model.state(0).void, "nothing was typed"
    asks.typed.field.setPlainText("Power cut in the whole wing")
    asks.typed.give()
    assert said(asks) == "Power cut in the whole wing"
    assert asks.model.drafts == {}
    assert not asks.is_open


def test_a_typed_reason_is_a_draft_until_it_is_given(open_asks: OpenAsks) -> None:
    asks = open_asks()
    asks.panel.answer(ELSE)
    asks.typed.field.setPlainText("Power cut")
    asks.close()
    assert asks.panel.answers[ELSE].accessibleName() == "Something else …. what you typed is kept"
    asks.close()
    assert not asks.is_open
    assert not asks.model.state(0).void
    assert gestures.missing(asks.model.state(0)), "asked before sealing"
    asks.end()
    asks.panel.answer(ELSE)
    assert asks.typed.text == "Power cut"


def test_m6_a_summative_void_is_countersigned_by_another_observer(open_asks: OpenAsks) -> None:
    asks = open_asks(mode=Mode.SUMMATIVE)
    asked: list[str] = []
    held: list[Callable[[], None]] = []

    def confirm(person: str, then: Callable[[], None]) -> None:
        asked.append(person)
        held.append(then)

    asks.model.confirm = confirm
    asks.panel.answer(BROKE)
    assert "second signature" in asks.panel.question
    asks.panel.answer(0)
    assert asked == ["o-2"]
    assert not asks.model.state(0).void, "not before they confirmed"
    held[0]()
    assert asks.model.state(0).countersigned == "o-2"
    assert said(asks) == "The trainer broke"


def test_m6_nobody_signs_for_themselves(open_asks: OpenAsks) -> None:
    asks = open_asks(mode=Mode.SUMMATIVE)
    model = asks.model
    assert model.room.observer not in countersigners(model, model.state(0))


def test_m6_with_nobody_to_sign_the_reason_is_kept_and_the_attempt_stays_stopped(
    open_asks: OpenAsks,
) -> None:
    asks = open_asks(mode=Mode.SUMMATIVE, observers=("Dr Petra Lindqvale",))
    asks.panel.answer(BROKE)
    assert "is kept, and the attempt stays stopped" in asks.panel.question
    asks.panel.answer(0)
    asks.panel.leave()
    state = asks.model.state(0)
    assert state.stopped
    assert not state.void
    assert asks.model.drafts == {(0, VOID_SLOT): "The trainer broke"}


@pytest.mark.parametrize("mode", [Mode.PRACTICE, Mode.FORMATIVE])
def test_m6_otherwise_no_second_signature_is_asked(open_asks: OpenAsks, mode: Mode) -> None:
    asks = open_asks(mode=mode)
    asks.panel.answer(BROKE)
    assert asks.model.state(0).void


def test_m4_the_panel_turns_what_is_left_into_not_done_or_leaves_it(open_asks: OpenAsks) -> None:
    asks = open_asks(time_limit=15)
    model = asks.model
    asks.close()
    model.do(0, gestures.go_on)
    asks.endings.ask_time(0)
    asks.panel.answer(1)
    assert model.state(0).mark("LPX-05") == NOT_SEEN
    assert not asks.endings.is_time_open(model.state(0))
    asks.endings.ask_time(0)
    assert asks.panel.answers[0].accessibleName().startswith("30 steps become not done")
    asks.panel.answer(0)
    assert model.state(0).mark("LPX-05") == NOT_DONE
    assert not asks.is_open
