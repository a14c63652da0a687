"""What a cell says of one step: its mark, its time, where the learner is."""

from __future__ import annotations

from collections.abc import Callable

from observe.desk.live.grid.cells import MISSING, Place, cells_of, missing_cell, short_word
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT, NOT_APPLICABLE, Mark, PromptSource, State
from observe.look.marks import MarkLook
from observe.look.signs import SignLook
from tests.desk.people import HandClock


def test_a_mark_has_its_picture_word_and_time(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    model = make_model(1)
    model.mark(0, DONE)
    clock.go(561)
    model.mark(0, INCORRECT)
    cells = cells_of(model.state(0))
    cell = cells["LPX-02"]
    assert (cell.look, cell.word, cell.time) == (MarkLook.INCORRECT, "incorrect", "09:21")
    assert cell.said == "incorrect, 9 21"
    assert cell.entered == ""
    assert cells["LPX-03"].place is Place.NOW
    assert cells["LPX-03"].said == "now"
    assert cells["LPX-04"].said == "ahead"


def test_a_late_mark_says_when_it_was_seen_and_when_entered(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    """Rule E2: observed-at and entered-at differ for late marks."""
    model = make_model(1)
    model.do(0, gestures.move_to, model.state(0).steps[2].id)
    clock.go(100)
    model.do(0, gestures.mark, "LPX-01", DONE, observed_ns=40_000_000_000)
    cell = cells_of(model.state(0))["LPX-01"]
    assert (cell.time, cell.entered) == ("00:40", "entered 01:40")
    assert cell.said == "done, 0 40, entered 1 40"


def test_what_was_gone_past_is_not_seen_and_has_dots(make_model: Callable[..., LiveModel]) -> None:
    model = make_model(1)
    model.pass_unseen(0)
    cell = cells_of(model.state(0))["LPX-01"]
    assert (cell.look, cell.word, cell.said) == (MarkLook.NOT_SEEN, "not seen", "not seen")


def test_while_an_earlier_step_is_visited_the_learner_waits_at_theirs(
    make_model: Callable[..., LiveModel],
) -> None:
    model = make_model(1)
    model.mark(0, DONE)
    model.do(0, gestures.move_to, "LPX-01")
    cells = cells_of(model.state(0))
    assert cells["LPX-01"].place is Place.NOW
    assert cells["LPX-02"].place is Place.WAITS


def test_a_critical_event_stands_on_the_step_where_it_fell(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    model = make_model(1)
    model.mark(0, DONE)
    clock.go(60)
    model.critical(0)
    cell = cells_of(model.state(0))["LPX-02"]
    assert cell.flags == (SignLook.ABSOLUTE,)
    assert "critical time kept, not named at 1 00" in cell.said


def test_a_step_of_another_variant_says_so(make_model: Callable[..., LiveModel]) -> None:
    """Rule F5: it is no unmarked step."""
    model = make_model(1)
    state = model.state(0)
    cell = missing_cell(state, state.ground.form.whole_digest, "LPX-07")
    assert cell.place is Place.MISSING
    other = missing_cell(state, "another", "X")
    assert other.word == "not in this form"
    assert other.word != MISSING


def test_words_are_short_and_say_help_and_voice() -> None:
    assert short_word(Mark(State.DONE, 2, PromptSource.OBSERVER)) == "cued"
    assert short_word(Mark(State.DONE, voiced=True)) == "voiced"
    assert short_word(Mark(State.INCORRECT, voiced=True)) == "incorrect, voiced"
    assert short_word(NOT_APPLICABLE) == "not appl."
