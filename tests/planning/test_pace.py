"""The pace: a learner's own marks say it, the group and a first guess hold it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from observe.planning.pace import STEP_NS, Sighting, paces

S = 1_000_000_000


def steady(seconds: float, steps: int, every: int = 1) -> list[Sighting]:
    """Marks of a learner who takes so long for each step; only some are seen."""
    return [(place, round((place + 1) * seconds * S)) for place in range(0, steps, every)]


def test_before_any_mark_it_is_the_first_guess() -> None:
    (one,) = paces([[]])
    assert one.step_ns == STEP_NS
    assert one.spread > 0


def test_a_slow_group_is_taken_for_slow_and_a_fast_one_for_fast() -> None:
    slow = paces([steady(70, 12, every=3) for _ in range(6)])
    fast = paces([steady(12, 12, every=3) for _ in range(6)])
    assert all(55 * S < one.step_ns < 75 * S for one in slow)
    assert all(10 * S < one.step_ns < 18 * S for one in fast)


def test_a_learner_of_whom_little_is_known_goes_as_the_group_does() -> None:
    known = [steady(60, 15) for _ in range(5)]
    *_, newcomer = paces([*known, []])
    assert newcomer.step_ns == pytest.approx(60 * S, rel=0.1)


def test_more_marks_make_the_pace_surer() -> None:
    few, many = paces([steady(30, 2), steady(30, 20)])
    assert many.spread < few.spread


def test_one_long_silence_does_not_make_a_slow_learner() -> None:
    walk = steady(30, 12)
    paused = [(place, at + (600 * S if place > 5 else 0)) for place, at in walk]
    (one,) = paces([paused])
    assert one.step_ns < 1.3 * STEP_NS


def test_a_mark_that_started_the_clock_says_nothing_about_the_pace() -> None:
    (one,) = paces([[(4, 0)]])
    assert one.step_ns == STEP_NS


@settings(max_examples=40)
@given(
    marks=st.lists(
        st.lists(st.tuples(st.integers(0, 59), st.integers(0, 10**13)), max_size=20), max_size=5
    )
)
def test_whatever_the_marks_a_pace_is_positive_and_near_the_usual(
    marks: list[list[Sighting]],
) -> None:
    found = paces([sorted(one, key=lambda pair: pair[1]) for one in marks])
    assert len(found) == len(marks)
    assert all(one.step_ns > 0 and 0 < one.spread <= 1 for one in found)
