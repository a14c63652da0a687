"""The attempt in time, and what would settle an undecided one (rule D2)."""

from __future__ import annotations

import itertools
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.debrief.page import DebriefPage
from observe.desk.debrief.story import StoryPanel, looks_of, moments, settling_lists, spread
from observe.desk.live.model import LiveModel
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT
from observe.domain.transcript import Transcript
from observe.look.marks import MarkLook
from observe.work.debrief import Reveal, reveal
from tests.desk.people import SCREENS, HandClock, painted, ready_to_seal
from tests.domain.builders import Log, a_form, steps


@pytest.fixture
def found(make_model: Callable[..., LiveModel], clock: HandClock) -> Reveal:
    model = make_model(1)
    for one in (DONE, INCORRECT):
        model.mark(0, one)
        clock.go(60)
    ready_to_seal(model, 0)
    model.do(0, gestures.seal)
    return reveal(model.state(0))


def test_marks_stand_at_their_minute(found: Reveal) -> None:
    shown = moments(found.observation)
    assert [(one.at, one.number, one.look) for one in shown] == [
        (0, 1, MarkLook.DONE),
        (60 * 10**9, 2, MarkLook.INCORRECT),
    ]


def test_t5_the_parts_of_a_watch_stand_on_one_line() -> None:
    left, came = Log(a_form(steps(3))), Log(a_form(steps(3)))
    left.mark("1", "2")
    came.mark("2", mark=INCORRECT)
    came.do(gestures.mark, "3", DONE, observed_ns=90 * 10**9)
    shown = moments(left.state, came.state)
    assert [(one.number, one.look) for one in shown] == [
        (1, MarkLook.DONE),
        (2, MarkLook.INCORRECT),
        (3, MarkLook.DONE),
    ]


def test_a_typed_mark_without_a_time_stands_on_no_line() -> None:
    log = Log(a_form(steps(2)))
    log.do(gestures.begin_transcription, Transcript("p-1"))
    log.mark("1")
    log.do(gestures.mark, "2", DONE, observed_ns=5)
    assert [one.number for one in moments(log.state)] == [2]


@given(st.lists(st.floats(0, 900), max_size=30).map(sorted), st.floats(1, 20))
def test_marks_never_cover_each_other(places: list[float], apart: float) -> None:
    pushed = spread(places, apart, 1000)
    for one, other in itertools.pairwise(pushed):
        assert other - one >= apart - 1e-6
    assert all(place <= 1000 for place in pushed)


def test_an_undecided_attempt_names_both_lists(
    make_model: Callable[..., LiveModel], clock: HandClock, skin: Skin, parent: QWidget
) -> None:
    model = make_model(1)
    model.mark(0, DONE)
    clock.go(5)
    ready_to_seal(model, 0)
    model.do(0, gestures.seal)
    undecided = reveal(model.state(0))
    titles = [title for title, _ in settling_lists(undecided)]
    assert titles == [
        "Pass would follow if these were done",
        "Remediate would follow if these were not done",
    ]
    panel = StoryPanel(skin, parent)
    panel.show_time(undecided)
    assert "Pass would follow" in panel.accessibleName()


def test_a_decided_attempt_has_nothing_to_settle(found: Reveal) -> None:
    assert settling_lists(found) == ()


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("decided", [True, False])
def test_how_it_was_entered_is_said_quietly_below_the_line(
    screen: str,
    decided: bool,
    make_model: Callable[..., LiveModel],
    clock: HandClock,
    qtbot: QtBot,
    skin: Skin,
    misfits: list[paint.Misfit],
) -> None:
    """After the seal; in words for a reader too, and never behind a line of the rule."""
    width, height, dots = SCREENS[screen]
    model = make_model(1)
    steps = len(model.state(0).steps)
    for place in range(steps if decided else 8):
        clock.go(400 if place == 2 else 3)
        model.mark(0, DONE)
    ready_to_seal(model, 0)
    for one in model.state(0).ground.form.dimensions:
        model.do(0, gestures.rate_dimension, one.id, 4)
    model.do(0, gestures.seal)
    skin.set_screen(dots)
    page = DebriefPage(skin, model, 0, lambda _: True)
    qtbot.addWidget(page)
    painted(page, width, height - 102)
    said = page.story.accessibleName()
    assert "steps were entered within" in said
    assert "dimensions that were rated were given 4" in said
    assert not [one for one in misfits if "were entered within" in one.text]
    found = page.shown.mine
    assert found is not None
    page.story.show_steps(found, "Score", ())
    assert page.story.readings == ()


def test_looks_are_shown_at_marks_and_without_one(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    model = make_model(2)
    model.mark(0, DONE)
    clock.go(30)
    model.look(0)
    clock.go(20)
    model.mark(0, DONE)
    assert looks_of((model.state(0),)) == (0, 30 * 10**9, 50 * 10**9)
