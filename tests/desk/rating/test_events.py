"""Critical events before the seal (rules C1 to C3)."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from observe.desk.live.model import LiveModel
from observe.desk.rating.events import CriticalsPane, WatchedPane, events_said, unwatched
from observe.desk.theme import Skin
from observe.domain.board import Verdict
from observe.domain.marks import DONE
from tests.desk.people import HandClock


@pytest.fixture
def model(make_model: Callable[..., LiveModel]) -> LiveModel:
    return make_model(1)


def pane_for(model: LiveModel, skin: Skin, parent: QWidget) -> CriticalsPane:
    pane = CriticalsPane(skin, model, 0, parent)
    model.changed.connect(pane.refresh)
    pane.refresh()
    return pane


def test_an_event_is_named_and_then_judged(model: LiveModel, skin: Skin, parent: QWidget) -> None:
    """Rule C3."""
    model.critical(0)
    pane = pane_for(model, skin, parent)
    assert events_said(model.state(0)) == "1 open"
    pane.panel.answer(0)
    pane.panel.answer(0)
    one = model.state(0).occurrences[0]
    assert (one.item, one.verdict) == ("LPX-C1", Verdict.FATAL)
    assert events_said(model.state(0)) == "1 event"


def test_an_absolute_item_cannot_be_put_right(
    model: LiveModel, skin: Skin, parent: QWidget
) -> None:
    """Rule C2: only a recoverable item is recovered."""
    model.critical(0, "LPX-C1")
    pane = pane_for(model, skin, parent)
    said = [key.accessibleName() for key in pane.panel.answers if not key.isHidden()]
    assert [one.split(".")[0] for one in said] == ["It went on", "A hand stopped it"]


def test_withdrawing_asks_for_a_reason(model: LiveModel, skin: Skin, parent: QWidget) -> None:
    model.critical(0)
    pane = pane_for(model, skin, parent)
    pane.panel.leave()
    pane.panel.answer(1)
    one = model.state(0).occurrences[0]
    assert one.verdict is Verdict.WITHDRAWN
    event = model.state(0).entries[-1].id
    assert model.sessions[0].text(event, "reason") == "Wrong learner"


def test_an_event_can_be_named_differently(model: LiveModel, skin: Skin, parent: QWidget) -> None:
    model.critical(0, "LPX-C1")
    pane = pane_for(model, skin, parent)
    pane.panel.leave()
    pane.panel.answer(2)
    assert model.state(0).occurrences[0].item == "LPX-C3"


def test_items_with_unseen_watch_steps_can_be_attested_and_unattested(
    model: LiveModel, skin: Skin, parent: QWidget, clock: HandClock
) -> None:
    """Rule C1."""
    for _ in range(7):
        model.mark(0, DONE)
        clock.go(1)
    pane = WatchedPane(skin, model, 0, parent)
    pane.refresh()
    items = [one.item.id for one in unwatched(model.state(0))]
    assert "LPX-C1" in items
    pane.keys[0].click()
    assert model.state(0).attested == {items[0]}
    assert len(unwatched(model.state(0))) == len(items)
    pane.keys[0].click()
    assert model.state(0).attested == frozenset()


def test_a_reason_in_ones_own_words_is_kept_until_it_is_given(
    model: LiveModel, skin: Skin, parent: QWidget
) -> None:
    parent.resize(900, 700)
    parent.show()
    model.critical(0)
    pane = pane_for(model, skin, parent)
    pane.setGeometry(0, 0, 900, 700)
    pane.panel.leave()
    pane.panel.answer(3)
    QTest.keyClicks(pane.typed.field, "The drape was a spare one")
    pane.typed.back_key.click()
    pane.panel.answer(3)
    assert pane.typed.text == "The drape was a spare one"
    pane.typed.give_key.click()
    event = model.state(0).entries[-1].id
    assert model.sessions[0].text(event, "reason") == "The drape was a spare one"
    assert not model.drafts
