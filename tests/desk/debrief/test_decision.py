"""The panel of the decision: what it offers, and in which words."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from observe.desk.debrief.decision import DecisionPanel
from observe.desk.debrief.shown import shown
from observe.desk.live.model import LiveModel
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.marks import NOT_DONE
from tests.desk.people import HandClock, painted, ready_to_seal


def test_before_the_seal_it_offers_the_rating(
    make_model: Callable[..., LiveModel], skin: Skin, parent: QWidget
) -> None:
    panel = DecisionPanel(skin, parent)
    panel.show_decision(shown(make_model(1), 0), "", "")
    assert panel.sign_key.accessibleName() == "Rate and seal"
    assert not panel.sheet_key.isEnabled()
    assert panel.lines == ()


def test_a_failed_line_says_so_to_the_reader_and_by_numbers_where_names_are_too_long(
    make_model: Callable[..., LiveModel], skin: Skin, parent: QWidget, clock: HandClock
) -> None:
    model = make_model(1)
    for _ in range(31):
        clock.go(1)
        model.mark(0, NOT_DONE)
    ready_to_seal(model, 0)
    model.do(0, gestures.seal)
    panel = DecisionPanel(skin, parent)
    panel.resize(1000, 220)
    panel.show_decision(shown(model, 0), "", "")
    painted(parent, 1000, 220)
    essential = panel.rows[1]
    assert essential.accessibleName().startswith("Essential steps, failed.")
    short = essential.face.content[-1]
    assert short.startswith("Not done, or with too much help: steps 2, 8, 9")
