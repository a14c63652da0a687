"""Before a deed that touches several learners it is said what it will do (rules E3, F5, M2)."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from observe.desk.live import across, reading
from observe.desk.live.model import LiveModel
from observe.domain import gestures
from observe.domain.marks import DONE
from tests.desk.people import HandClock

MakeModel = Callable[..., LiveModel]


@pytest.fixture
def model(make_model: MakeModel) -> LiveModel:
    return make_model(4)


def test_taking_back_and_putting_back_one_share_says_that_the_others_keep_theirs(
    model: LiveModel,
) -> None:
    model.room.together("LPX-01", DONE)
    state = model.state(0)
    assert reading.entry_words(state, state.entries[-1]) == "Done, step 1, for 4 together"
    assert reading.take_back_words(state) == "Done, step 1, for this learner only"
    model.do(0, gestures.take_back)
    assert reading.put_back_words(model.state(0)) == "Done, step 1, for this learner only"
    assert reading.take_back_words(model.state(1)) == "Done, step 1, for this learner only"


def test_e3_taking_a_moved_mark_back_says_to_whom_it_goes(model: LiveModel) -> None:
    model.do(0, gestures.mark, "LPX-01", DONE)
    one, two = model.sessions[:2]
    model.room.move_marks(one, two)
    assert reading.take_back_words(one.state) == ""
    assert reading.put_back_words(one.state) == ""
    home = model.room.home_of(two)
    assert home is one
    assert reading.take_back_words(two.state, home=model.name(0)) == (
        f"Done, step 1, back to {model.name(0)}"
    )
    entry = two.state.entries[-1]
    assert reading.entry_words(two.state, entry) == "Done, step 1, moved here"
    assert reading.take_back_words(two.state) == "Done, step 1, moved here"


def test_both_cards_change_when_a_moved_mark_goes_back(model: LiveModel) -> None:
    model.do(0, gestures.mark, "LPX-01", DONE)
    model.room.move_marks(*model.sessions[:2])
    seen: list[int] = []
    model.changed.connect(seen.append)
    model.do(1, gestures.take_back)
    assert model.state(0).mark("LPX-01") == DONE
    assert 0 in seen


def test_a_late_entry_says_both_times() -> None:
    assert across.late_words(390 * 10**9, 550 * 10**9) == "seen about 06:30, entered 09:10"
    assert across.late_words(5, 5) == ""


def test_an_entry_says_both_times_only_where_they_differ_to_the_reader(
    model: LiveModel, clock: HandClock
) -> None:
    model.do(0, gestures.mark, "LPX-01", DONE)
    clock.go(550)
    model.do(0, gestures.mark, "LPX-02", DONE)
    assert across.entry_late_words(model.state(0).last) == ""
    model.do(0, gestures.mark, "LPX-03", DONE, observed_ns=390 * 10**9)
    assert across.entry_late_words(model.state(0).last) == "seen about 06:30, entered 09:10"
    assert across.entry_late_words(None) == ""
