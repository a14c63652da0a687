"""The lamp in Live: lights one seat, says why, holds still, and never without a record."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from observe.desk.live.lamp import Lamplight, keeper, reached_ns, sightings
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.bodies import Because
from observe.domain.marks import DONE
from observe.planning.looking import Suggestion
from tests.desk.people import HandClock, ready_to_seal


class Kept:
    """What was put on the disk; where the disk is full, nothing is."""

    def __init__(self) -> None:
        self.found: list[Suggestion] = []
        self.is_full = False

    def __call__(self, found: Suggestion) -> bool:
        if not self.is_full:
            self.found.append(found)
        return not self.is_full


@pytest.fixture
def kept() -> Kept:
    return Kept()


@pytest.fixture
def model(make_model: Callable[..., LiveModel], clock: HandClock) -> LiveModel:
    """Four learners, each with three steps marked, some seconds apart; 20 s later."""
    made = make_model(4)
    for _ in range(3):
        for seat in range(4):
            clock.go(8)
            made.mark(seat, DONE)
    clock.go(20)
    return made


@pytest.fixture
def lamp(model: LiveModel, kept: Kept) -> Lamplight:
    return Lamplight(model, kept, on=True)


def lit_words(lamp: Lamplight) -> tuple[int | None, bool]:
    """The lit seat, and whether anything is said."""
    return lamp.lit, bool(lamp.words())


def wait_until_lit(lamp: Lamplight, clock: HandClock) -> int:
    """Seconds go by until a seat is lit."""
    for _ in range(300):
        lamp.tick()
        if lamp.lit is not None:
            return lamp.lit
        clock.go(1)
    raise AssertionError("the lamp never came on")


def test_it_lights_a_seat_and_says_who_what_why_and_how_long_ago(
    lamp: Lamplight, model: LiveModel, kept: Kept, clock: HandClock
) -> None:
    seat = wait_until_lit(lamp, clock)
    (found,) = kept.found
    assert found.seat == seat
    assert found.waited_ns == model.since_look_ns(seat)
    said = lamp.words()
    assert said.startswith(f"{model.name(seat)}: step ")
    assert "last look " in said
    assert said.endswith(" ago")


@pytest.mark.parametrize(
    ("because", "words"),
    [
        (Because.CRITICAL, "step 9, watched for a critical item, is due; last look 0:28 ago"),
        (Because.ESSENTIAL, "step 9, essential, is due; last look 0:28 ago"),
        (Because.UNSEEN, "step 9 or further; last look 0:28 ago"),
    ],
)
def test_each_reason_has_its_words(
    lamp: Lamplight, model: LiveModel, because: Because, words: str
) -> None:
    step = model.state(2).steps[8].id
    lamp.lamp = lamp.lamp.shown(Suggestion(2, step, because, 0, 1.0), 10**15)
    assert lamp.words() == f"{model.name(2)}: {words}"


def test_a5_what_could_not_be_kept_is_not_lit(
    lamp: Lamplight, kept: Kept, clock: HandClock
) -> None:
    kept.is_full = True
    for _ in range(60):
        lamp.tick()
        clock.go(1)
        assert lamp.lit is None
    kept.is_full = False
    assert wait_until_lit(lamp, clock) is not None
    assert len(kept.found) == 1


def test_it_goes_out_when_its_seat_is_touched(
    lamp: Lamplight, model: LiveModel, clock: HandClock
) -> None:
    seat = wait_until_lit(lamp, clock)
    model.look((seat + 1) % 4)
    assert lit_words(lamp) == (seat, True)
    model.look(seat)
    assert lit_words(lamp) == (None, False)


def test_it_is_still_for_two_seconds_after_any_touch(
    lamp: Lamplight, model: LiveModel, clock: HandClock
) -> None:
    seat = wait_until_lit(lamp, clock)
    model.look(seat)
    for _ in range(60):
        clock.go(1)
        model.look(seat)
        lamp.tick()
        assert lamp.lit is None


def test_turned_off_it_is_dark_and_nothing_is_suggested(
    lamp: Lamplight, kept: Kept, clock: HandClock
) -> None:
    wait_until_lit(lamp, clock)
    lamp.turn(on=False)
    assert lamp.lit is None
    for _ in range(60):
        clock.go(1)
        lamp.tick()
    assert lamp.lit is None
    assert len(kept.found) == 1


def test_it_says_when_it_changed(lamp: Lamplight, model: LiveModel, clock: HandClock) -> None:
    heard: list[tuple[object, object]] = []
    lamp.changed.connect(lambda before, after: heard.append((before, after)))
    seat = wait_until_lit(lamp, clock)
    model.look(seat)
    assert heard == [(None, seat), (seat, None)]


def test_paused_sealed_and_stopped_learners_are_never_lit(
    lamp: Lamplight, model: LiveModel, clock: HandClock
) -> None:
    model.turn_clock(0)
    ready_to_seal(model, 1)
    model.do(1, gestures.seal)
    model.do(2, gestures.stop_for_safety)
    running = [one.seat for one in lamp.learners() if one.running]
    assert running == [3]
    clock.go(30)
    assert wait_until_lit(lamp, clock) == 3


def test_the_cue_is_told_where_a_learner_is_by_their_marks(
    lamp: Lamplight, model: LiveModel
) -> None:
    state = model.state(1)
    told = lamp.learners()[1]
    places = {step.id: place for place, step in enumerate(state.steps)}
    assert told.marked == {0, 1, 2}
    assert told.front == 3
    assert [place for place, _ in told.seen] == [0, 1, 2]
    assert sightings(state, places)[-1][1] == told.since_ns
    assert told.now_ns - told.since_ns == model.since_look_ns(1)


def test_a_move_ahead_tells_where_a_learner_is_too(
    lamp: Lamplight, model: LiveModel, clock: HandClock
) -> None:
    clock.go(5)
    model.do(1, gestures.move_to, model.state(1).steps[9].id)
    told = lamp.learners()[1]
    assert told.front == 9
    assert told.since_ns == told.now_ns


def test_before_any_mark_a_learner_is_at_the_first_step(
    make_model: Callable[..., LiveModel],
) -> None:
    model = make_model(1)
    assert reached_ns(model.state(0), {}, frozenset(), 0) == 0
    (told,) = Lamplight(model, lambda _: True, on=True).learners()
    assert (told.front, told.running, told.marked) == (0, False, frozenset())


def test_each_suggestion_is_in_the_logbook_before_its_seat_is_lit(
    model: LiveModel, clock: HandClock
) -> None:
    lamp = Lamplight(model, keeper(model), on=True)
    seat = wait_until_lit(lamp, clock)
    front = model.front
    events = model.room.logbook.observation(model.state(seat).id)
    assert events[-1].kind == "look-suggested"
    assert lamp.lamp.lit is not None
    assert events[-1].body["step"] == lamp.lamp.lit.step
    assert events[-1].body["because"] == lamp.lamp.lit.because
    assert model.front == front, "a suggestion is no look"
    assert model.mark(seat, DONE) is not None, "marks go on after it"


def test_a_sealed_observation_keeps_no_suggestion(model: LiveModel) -> None:
    ready_to_seal(model, 1)
    model.do(1, gestures.seal)
    step = model.state(1).steps[5].id
    assert not keeper(model)(Suggestion(1, step, Because.UNSEEN, 0, 1.0))
