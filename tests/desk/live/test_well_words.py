"""Keys of the well say what they will do."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from observe.desk.live import reading, well_words
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.marks import DONE
from tests.desk.people import HandClock


@pytest.fixture
def model(make_model: Callable[..., LiveModel]) -> LiveModel:
    return make_model(2, looks=1)


def said(model: LiveModel) -> tuple[str, str]:
    state = model.state(0)
    return well_words.take_back_said(state, reading.take_back_words(state))


def test_take_back_names_the_step_or_the_deed(model: LiveModel) -> None:
    assert said(model) == (
        "Take back",
        "",
    )
    model.mark(0, DONE)
    assert said(model) == (
        "Take back 1",
        "Introduces self and confirms identity",
    )
    model.do(0, gestures.move_to, "LPX-05")
    assert said(model) == (
        "Take back",
        "Went to step 5",
    )


def test_e2_a_late_mark_says_both_times_on_the_key(model: LiveModel, clock: HandClock) -> None:
    model.mark(0, DONE)
    clock.go(60)
    model.do(0, gestures.mark, "LPX-02", DONE, observed_ns=20 * 10**9)
    assert said(model) == ("Take back 2", "seen about 00:20, entered 01:00")


def test_not_seen_says_where_it_goes_on(model: LiveModel, clock: HandClock) -> None:
    said = well_words.pass_said(model.state(0))
    assert said == ("Not seen, go to 2", "Obtains consent with headache and other risks")
    model.mark(0, DONE)
    clock.go(1)
    model.do(0, gestures.move_to, "LPX-01")
    assert well_words.pass_said(model.state(0))[0] == "Back to 2"
    model.do(0, gestures.move_to, "LPX-31")
    assert well_words.pass_said(model.state(0)) == ("Not seen, go on", "")
    model.do(0, gestures.move_to, "")
    model.do(0, gestures.move_to, "LPX-03")
    assert well_words.pass_said(model.state(0))[0] == "Past the last step"


def test_reasons_are_the_forms_own_or_two_that_always_fit(model: LiveModel) -> None:
    steps = model.state(0).ground.form.step
    assert well_words.offered_reasons(steps["LPX-17"]) == ("Pencil-point needle used",)
    assert well_words.offered_reasons(steps["LPX-01"]) == well_words.DEFAULT_REASONS


def test_the_header_says_who_and_how_long_ago(model: LiveModel, clock: HandClock) -> None:
    assert well_words.header_reading(model, 0).looked == "clock not started"
    model.mark(0, DONE)
    clock.go(75)
    shown = well_words.header_reading(model, 0)
    assert (shown.number, shown.name) == (1, "Amara Voss")
    assert (shown.seen, shown.looked) == ("100 % seen", "looked 1:15 ago")


def test_a_place_for_voiced_is_kept_where_the_form_has_one(model: LiveModel) -> None:
    assert well_words.voiced_somewhere(model)
