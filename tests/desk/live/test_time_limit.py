"""The time a form allows: words beside the clock, and when the rest is asked about (rule M4)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from observe.desk.live import time_limit
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.marks import DONE
from observe.domain.observation import Observation
from tests.desk.people import HandClock

MINUTE = 60_000_000_000


def limited(state: Observation, seconds: int | None = 900) -> Observation:
    """The same observation under a form with a time limit."""
    form = state.ground.form
    rule = replace(form.rule, time_limit_s=seconds)
    return replace(state, ground=replace(state.ground, form=replace(form, rule=rule)))


@pytest.fixture
def model(make_model: Callable[..., LiveModel]) -> LiveModel:
    return make_model(1)


def test_a_form_without_a_limit_says_nothing(model: LiveModel) -> None:
    model.mark(0, DONE)
    state = limited(model.state(0), None)
    assert time_limit.below_words(state, 90 * MINUTE) == ""
    assert time_limit.limit_words(state, 90 * MINUTE) == ""
    assert not time_limit.is_asked(state, 90 * MINUTE)


def test_the_limit_stands_below_the_running_clock_until_it_is_reached(model: LiveModel) -> None:
    model.mark(0, DONE)
    state = limited(model.state(0))
    assert time_limit.below_words(state, 15 * MINUTE - 1) == "of 15:00"
    assert time_limit.limit_words(state, 15 * MINUTE - 1) == " of 15:00"
    assert not time_limit.is_over(state, 15 * MINUTE - 1)
    assert time_limit.below_words(state, 15 * MINUTE) == "time is up"
    assert time_limit.limit_words(state, 15 * MINUTE) == " of 15:00, time is up"


def test_a_clock_that_stands_says_so(model: LiveModel) -> None:
    assert time_limit.below_words(limited(model.state(0)), 0) == "start"
    model.turn_clock(0)
    model.turn_clock(0)
    assert time_limit.below_words(limited(model.state(0)), MINUTE) == "paused"


def test_what_is_left_is_asked_about_while_the_attempt_is_open(
    model: LiveModel, clock: HandClock
) -> None:
    """Rule M4: one explicit act, so only what that act could change is asked about."""
    model.mark(0, DONE)
    clock.go(1)
    state = limited(model.state(0))
    assert time_limit.unreached(state) == len(state.steps) - 1
    assert time_limit.is_asked(state, 15 * MINUTE)
    model.do(0, gestures.stop_for_safety)
    assert not time_limit.is_asked(limited(model.state(0)), 15 * MINUTE)
    model.do(0, gestures.go_on)
    model.do(0, gestures.call_time)
    assert time_limit.unreached(model.state(0)) == 0
    assert not time_limit.is_asked(limited(model.state(0)), 15 * MINUTE)
