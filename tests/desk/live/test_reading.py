"""What Live says of a learner: coverage of what was passed, never a score (rule D3)."""

from __future__ import annotations

import itertools
from collections.abc import Callable

import pytest

from observe.desk.live import reading
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, Mark, State
from observe.look.marks import MarkLook
from observe.look.signs import SignLook
from tests.desk.people import HandClock

MakeModel = Callable[..., LiveModel]


@pytest.fixture
def model(make_model: MakeModel) -> LiveModel:
    return make_model(2)


def mark(model: LiveModel, clock: HandClock, *marks: Mark | None) -> None:
    """Mark the steps of seat 1 one after the other; None passes one unseen."""
    for one in marks:
        clock.go(10)
        if one is None:
            model.pass_unseen(0)
        else:
            model.mark(0, one)


@pytest.mark.parametrize(
    ("mark", "look"),
    [
        (DONE, MarkLook.DONE),
        (Mark(State.DONE, 3), MarkLook.PROMPT_3),
        (Mark(State.INCORRECT, 2), MarkLook.INCORRECT),
        (NOT_DONE, MarkLook.NOT_DONE),
        (Mark(State.DONE, voiced=True), MarkLook.DONE),
    ],
)
def test_height_is_independence_and_what_went_wrong_hangs(mark: Mark, look: MarkLook) -> None:
    assert reading.mark_look(mark) is look


def test_coverage_is_of_the_weight_that_was_passed(model: LiveModel, clock: HandClock) -> None:
    """Steps 1 to 3 weigh 1, 3 and 3; of 7, step 2 was not seen: 4 of 7, never rounded up."""
    mark(model, clock, DONE, None, INCORRECT)
    assert reading.seen_words(model.state(0)) == "57 % seen"


def test_before_anything_is_passed_nothing_is_said_of_coverage(model: LiveModel) -> None:
    assert reading.seen_so_far(model.state(0)) is None
    assert reading.seen_words(model.state(0)) == "not begun"


def test_the_rod_tells_passed_unseen_from_ahead(model: LiveModel, clock: HandClock) -> None:
    mark(model, clock, DONE, None, NOT_DONE)
    looks = [step.look for step in reading.rod_of(model.state(0))][:4]
    assert looks == [MarkLook.DONE, MarkLook.NOT_SEEN, MarkLook.NOT_DONE, MarkLook.AHEAD]


def test_phases_stand_apart_in_the_rod(model: LiveModel) -> None:
    steps = model.state(0).steps
    parted = [step.new_phase for step in reading.rod_of(model.state(0))]
    assert sum(parted) == sum(a.phase != b.phase for a, b in itertools.pairwise(steps))


def test_a_pennant_stands_where_the_learner_was(model: LiveModel, clock: HandClock) -> None:
    mark(model, clock, DONE, DONE)
    model.critical(0)
    assert reading.flags_of(model.state(0)) == ((2, SignLook.ABSOLUTE),)


def test_a_withdrawn_event_has_no_pennant(model: LiveModel) -> None:
    model.critical(0)
    one = model.state(0).occurrences[0].id
    model.do(0, gestures.classify, one, Verdict.WITHDRAWN, "Pressed by mistake")
    assert reading.flags_of(model.state(0)) == ()
    assert reading.recorded(model.state(0)) == ()


def test_order_is_asked_after_a_tap_that_broke_it_and_claimed_once(
    model: LiveModel, clock: HandClock
) -> None:
    """Rule M5: consent (2) needs introduction (1), which was not seen."""
    mark(model, clock, None)
    assert reading.needs(model.state(0), model.state(0).steps[1]) == (1,)
    mark(model, clock, DONE)
    asked = reading.order_question(model.state(0))
    assert asked is not None
    assert asked.id == "LPX-02"
    model.do(0, gestures.claim_order, asked.id)
    assert reading.order_question(model.state(0)) is None


def test_an_omission_is_no_question_of_order(model: LiveModel, clock: HandClock) -> None:
    mark(model, clock, NOT_DONE, DONE)
    assert reading.order_question(model.state(0)) is None


def test_what_take_back_would_do_is_said_before_it_is_done(
    model: LiveModel, clock: HandClock
) -> None:
    mark(model, clock, INCORRECT)
    assert reading.take_back_words(model.state(0)) == "Incorrect, step 1"
    model.do(0, gestures.take_back)
    assert reading.take_back_words(model.state(0)) == ""
    assert reading.put_back_words(model.state(0)) == "Incorrect, step 1"


def test_every_kind_of_entry_has_words(model: LiveModel, clock: HandClock) -> None:
    mark(model, clock, DONE, None)
    model.critical(0)
    event = model.state(0).occurrences[0].id
    model.do(0, gestures.name_critical, event, "LPX-C1")
    model.do(0, gestures.classify, event, Verdict.FATAL)
    model.do(0, gestures.claim_order, "LPX-03")
    model.do(0, gestures.choose_variant, "sitting")
    model.do(0, gestures.call_time)
    state = model.state(0)
    said = [reading.entry_words(state, entry) for entry in state.entries]
    assert said == [
        "Done, step 1",
        "Went to step 3",
        "Critical at 00:10",
        "Critical named",
        "Critical: fatal",
        "Out of order, step 3",
        "Variant: Sitting, without pressure",
        "Time was up",
    ]


def test_occurrences_say_what_they_are_so_far(model: LiveModel) -> None:
    model.critical(0)
    one = model.state(0).occurrences[0]
    assert reading.occurrence_words(model.state(0), one) == "time kept, not named"
    model.do(0, gestures.name_critical, one.id, "LPX-C8")
    one = model.state(0).occurrences[0]
    assert reading.occurrence_words(model.state(0), one) == "1 of 5"


@pytest.mark.parametrize(
    ("nanoseconds", "said"),
    [(0, "0:00"), (41 * 10**9, "0:41"), (205 * 10**9, "3:25"), (-5, "0:00")],
)
def test_times_since_a_look(nanoseconds: int, said: str) -> None:
    assert reading.ago(nanoseconds) == said


@pytest.mark.parametrize(
    ("name", "shorter"),
    [
        ("Ravi Senapathi", ("R. Senapathi",)),
        ("Anne-Katharina Wolf-Marrek", ("A. Wolf-Marrek", "A. Wolf-M.")),
        ("马克西米利安·奥伯霍尔策", ("马·奥伯霍尔策",)),
        ("Madonna", ()),
    ],
)
def test_names_shorten_to_initial_and_family_name(name: str, shorter: tuple[str, ...]) -> None:
    assert reading.initials(name) == shorter
