"""Cautions come before it is too late, and do not nag."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.work.cautions import REPEAT_S, Caution, Reading, Reminder, falls_by

LOW = Caution("battery", 1, "Low.")
LOWER = Caution("battery", 2, "Lower.")
FULL = Caution("disk", 1, "Full.")


def readings(*pairs: tuple[float, float]) -> tuple[Reading, ...]:
    return tuple(Reading(minute * 60, value) for minute, value in pairs)


def test_a_fall_is_told_by_the_minute() -> None:
    assert falls_by(readings((0, 50), (5, 45), (10, 40))) == pytest.approx(1.0)


@pytest.mark.parametrize(
    "found",
    [
        (),
        ((0, 50),),
        ((0, 50), (4, 46)),  # too short
        ((0, 50), (10, 50)),  # does not fall
        ((0, 40), (10, 30), (11, 45), (13, 44)),  # plugged in between
    ],
)
def test_no_rate_is_told_from_too_little(found: tuple[tuple[float, float], ...]) -> None:
    assert falls_by(readings(*found)) is None


def test_after_a_rise_the_fall_is_counted_anew() -> None:
    assert falls_by(readings((0, 90), (5, 20), (6, 80), (16, 70))) == pytest.approx(1.0)


@given(st.lists(st.floats(0, 100), max_size=20))
def test_a_rate_is_never_below_nothing(values: list[float]) -> None:
    found = falls_by([Reading(60.0 * n, value) for n, value in enumerate(values)])
    assert found is None or found > 0


def test_a_caution_is_said_at_once_and_again_after_its_time() -> None:
    reminder = Reminder()
    assert reminder.due([LOW, FULL], 0) == (LOW, FULL)
    assert reminder.due([LOW, FULL], REPEAT_S[1] - 1) == ()
    assert reminder.due([LOW, FULL], REPEAT_S[1]) == (LOW, FULL)


def test_a_caution_that_got_worse_is_said_at_once_and_oftener() -> None:
    reminder = Reminder()
    reminder.due([LOW], 0)
    assert reminder.due([LOWER], 60) == (LOWER,)
    assert reminder.due([LOWER], 60 + REPEAT_S[2]) == (LOWER,)
    assert reminder.due([LOW], 61 + REPEAT_S[2]) == ()


def test_a_caution_that_comes_back_is_news() -> None:
    reminder = Reminder()
    reminder.due([LOW], 0)
    assert reminder.due([], 60) == ()
    assert reminder.due([LOW], 120) == (LOW,)


def test_the_worse_the_sooner_it_is_said_again() -> None:
    assert REPEAT_S[1] > REPEAT_S[2] > REPEAT_S[3]
