"""A seat at the table: two keys that work at once, and what it says in each state."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.live.layout import Edge
from observe.desk.live.model import LiveModel
from observe.desk.live.seat import SeatCard
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.marks import DONE
from observe.work.session import Room
from tests.desk.people import HandClock, painted, ready_to_seal


@pytest.fixture
def model(make_model: Callable[..., LiveModel]) -> LiveModel:
    return make_model(2, looks=1)


@pytest.fixture
def card(model: LiveModel, skin: Skin, parent: QWidget) -> SeatCard:
    made = SeatCard(skin, model, 0, parent, edge=Edge.LEFT)
    model.changed.connect(made.refresh)
    model.front_changed.connect(made.refresh)
    made.resize(312, 236)
    painted(parent, 312, 236)
    return made


def test_stopped_the_sentence_lets_it_go_on(card: SeatCard, model: LiveModel) -> None:
    model.mark(0, DONE)
    model.do(0, gestures.stop_for_safety)
    assert card.sentence.accessibleName() == "Go on"
    assert "stopped at 00:00" in card.head.accessibleName()
    card.sentence.click()
    assert not model.state(0).stopped


def test_sealed_it_is_held_by_a_clamp_and_leads_to_the_decision(
    card: SeatCard, model: LiveModel, qtbot: QtBot
) -> None:
    model.mark(0, DONE)
    ready_to_seal(model, 0)
    model.do(0, gestures.seal)
    assert card.critical.isHidden()
    assert card.sentence.width() > 250
    with qtbot.waitSignal(card.debrief) as asked:
        card.sentence.click()
    assert asked.args == [0]


def test_t3_the_wall_between_two_observers_goes_once_both_have_sealed(
    card: SeatCard, model: LiveModel
) -> None:
    seat = next(seat for seat in range(2) if model.is_shared(seat))
    card.seat = seat
    room = model.room
    second = LiveModel(Room(room.logbook, room.workshop, "o-2"))
    ready_to_seal(second, 0)
    second.do(0, gestures.seal)
    model.see_seals()
    card.refresh()
    assert "blind" in card.head.accessibleName(), "nothing is told before one's own seal"
    ready_to_seal(model, seat)
    model.do(seat, gestures.seal)
    assert "both sealed" in card.head.accessibleName()


def test_sealed_first_a_seat_stays_blind_until_the_other_has_sealed(
    card: SeatCard, model: LiveModel
) -> None:
    seat = next(seat for seat in range(2) if model.is_shared(seat))
    card.seat = seat
    ready_to_seal(model, seat)
    model.do(seat, gestures.seal)
    assert "blind" in card.head.accessibleName()
    room = model.room
    second = LiveModel(Room(room.logbook, room.workshop, "o-2"))
    ready_to_seal(second, 0)
    second.do(0, gestures.seal)
    model.see_seals()
    card.refresh()
    assert "both sealed" in card.head.accessibleName()


def test_paused_it_says_so(card: SeatCard, model: LiveModel) -> None:
    model.mark(0, DONE)
    model.turn_clock(0)
    assert "paused" in card.head.accessibleName()


def test_a_void_attempt_waits_only_for_its_seal(
    card: SeatCard, model: LiveModel, qtbot: QtBot
) -> None:
    model.do(0, gestures.stop_for_safety)
    model.do(0, gestures.void, "Alarm")
    assert card.critical.isHidden()
    assert card.sentence.accessibleName() == "Void: seal it"
    assert "stopped" not in card.head.accessibleName()
    with qtbot.waitSignal(card.rate):
        card.sentence.click()


def test_a_low_seat_has_no_rod_and_the_same_two_keys(card: SeatCard, skin: Skin) -> None:
    card.resize(312, 177)
    assert card.low
    assert min(card.sentence.width(), card.sentence.height()) >= skin.mm(20)
    assert min(card.critical.width(), card.critical.height()) >= skin.mm(20)


def test_every_second_only_the_edge_and_the_head_are_repainted(
    card: SeatCard, clock: HandClock, model: LiveModel, monkeypatch: pytest.MonkeyPatch
) -> None:
    model.mark(0, DONE)
    touched: list[object] = []
    monkeypatch.setattr(card, "update", lambda *area: touched.append(area))
    clock.go(1)
    card.tick()
    assert touched
    assert all(area for area in touched), "never the whole seat"


@pytest.mark.parametrize(("wide", "high"), [(312, 236), (312, 177), (290, 72), (290, 40)])
def test_lit_it_says_look_here_wherever_it_stands(
    model: LiveModel,
    skin: Skin,
    parent: QWidget,
    clock: HandClock,
    misfits: list[Misfit],
    wide: int,
    high: int,
) -> None:
    seat = next(seat for seat in range(2) if model.is_shared(seat))
    model.mark(seat, DONE)
    clock.go(205)
    card = SeatCard(skin, model, seat, parent, edge=Edge.RIGHT_TOP, names_only=high < 100)
    card.resize(wide, high)
    card.light(lit=True)
    painted(parent, wide, high)
    assert "look here, 3:25 ago" in card.head.accessibleName()
    assert misfits == []
    card.light(lit=False)
    assert "look here" not in card.head.accessibleName()
