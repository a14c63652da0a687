"""Before the seal: what is missing, reasons still asked, and time that ran out."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QWidget

from observe.desk.live.model import LiveModel
from observe.desk.rating.summary import SummaryPane
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.marks import DONE, NOT_APPLICABLE, NOT_DONE
from tests.desk.people import ready_to_seal


@pytest.fixture
def model(make_model: Callable[..., LiveModel]) -> LiveModel:
    return make_model(1)


@pytest.fixture
def pane(model: LiveModel, skin: Skin, parent: QWidget) -> SummaryPane:
    made = SummaryPane(skin, model, 0, parent)
    model.changed.connect(made.refresh)
    made.refresh()
    return made


def test_it_says_what_is_missing(model: LiveModel, pane: SummaryPane) -> None:
    assert "Give the overall grade." in pane.missing()
    ready_to_seal(model, 0)
    assert pane.missing() == ()


def test_time_that_was_up_turns_what_was_not_reached_into_not_done(
    model: LiveModel, pane: SummaryPane
) -> None:
    """Rule M4: one explicit act."""
    model.mark(0, DONE)
    assert "30 steps" in pane.time_key.accessibleName()
    pane.time_key.click()
    assert model.state(0).mark("LPX-31") == NOT_DONE
    assert pane.time_key.isHidden()


def test_an_open_reason_is_asked_with_the_forms_own(model: LiveModel, pane: SummaryPane) -> None:
    model.do(0, gestures.move_to, "LPX-17")
    model.do(0, gestures.mark, "LPX-17", NOT_APPLICABLE)
    assert pane.reasons[0].accessibleName() == "Pencil-point needle used"
    pane.reasons[0].click()
    assert "LPX-17" in model.state(0).reasons
    assert pane.reasons[0].isHidden()
