"""The well: the full set of keys for the learner in front, in every state of an attempt."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk.live.model import LiveModel
from observe.desk.live.well import WellPanel
from observe.desk.paint import Misfit
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.marks import DONE, NOT_APPLICABLE
from tests.desk.people import HandClock, painted, ready_to_seal


@pytest.fixture
def model(make_model: Callable[..., LiveModel]) -> LiveModel:
    return make_model(5)


@pytest.fixture
def well(model: LiveModel, skin: Skin, parent: QWidget) -> WellPanel:
    made = WellPanel(skin, model, parent)
    model.changed.connect(made.refresh)
    model.front_changed.connect(made.refresh)
    made.resize(631, 478)
    painted(parent, 631, 478)
    return made


def test_it_follows_the_learner_in_front(well: WellPanel, model: LiveModel) -> None:
    model.look(3)
    assert well.seat == 3
    assert well.name_row.accessibleName().startswith("Seat 4, Tove Halden")


def test_a_well_of_ones_own_stays_with_its_learner(
    model: LiveModel, skin: Skin, parent: QWidget
) -> None:
    own = WellPanel(skin, model, parent, seat=1)
    model.look(3)
    assert own.seat == 1


def test_not_applicable_is_offered_only_where_the_form_lets(well: WellPanel) -> None:
    assert not well.marks[3].isEnabled()


def test_a_reason_may_be_ignored_and_stays_open(
    well: WellPanel, model: LiveModel, clock: HandClock
) -> None:
    model.do(0, gestures.move_to, "LPX-17")
    clock.go(1)
    well.set_aside()
    assert well.offers.keys[0].isVisible()
    clock.go(1)
    well.mark_done()
    assert not well.offers.keys[0].isVisible()
    assert model.state(0).mark("LPX-17") == NOT_APPLICABLE
    assert any("step 17" in one for one in gestures.missing(model.state(0)))


def test_a_visit_says_the_way_back(well: WellPanel, model: LiveModel, clock: HandClock) -> None:
    for _ in range(3):
        model.mark(0, DONE)
        clock.go(1)
    model.do(0, gestures.move_to, "LPX-01")
    assert well.not_seen.accessibleName() == "Not seen: Back to 4"
    clock.go(1)
    well.not_seen.click()
    assert model.state(0).board.at == "LPX-04"


def test_a_sealed_attempt_leads_to_its_decision(
    well: WellPanel, model: LiveModel, qtbot: QtBot
) -> None:
    ready_to_seal(model, 0)
    model.do(0, gestures.seal)
    assert not well.marks[0].isVisible()
    with qtbot.waitSignal(well.debrief):
        well.finish.click()


def test_past_the_last_step_it_leads_to_the_rating(
    well: WellPanel, model: LiveModel, qtbot: QtBot
) -> None:
    model.do(0, gestures.move_to, "")
    with qtbot.waitSignal(well.rate):
        well.finish.click()


def test_a_further_step_can_be_gone_to(well: WellPanel, model: LiveModel) -> None:
    well.resize(631, 718)
    well.refresh()
    well.further[1].click()
    assert model.state(0).board.at == "LPX-04"


def test_a_well_with_the_lamp_says_look_here(
    model: LiveModel, skin: Skin, parent: QWidget, clock: HandClock, misfits: list[Misfit]
) -> None:
    own = WellPanel(skin, model, parent, seat=1)
    model.mark(1, DONE)
    clock.go(754)
    for wide, high in ((631, 478), (480, 330)):
        own.resize(wide, high)
        own.light(lit=True)
        painted(parent, wide, high)
        assert "look here, looked 12:34 ago" in own.name_row.accessibleName()
        own.light(lit=False)
        assert "look here" not in own.name_row.accessibleName()
    assert misfits == []
