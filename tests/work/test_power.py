"""The battery: a word in time, none where it lasts."""

from types import SimpleNamespace

import psutil
import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.work.cautions import Reading
from observe.work.power import (
    Battery,
    battery,
    battery_caution,
    battery_words,
    minutes_left,
    minutes_needed,
)


def level(percent: float, minutes: int | None, needed: int | None) -> int:
    found = battery_caution(Battery(percent, plugged=False, minutes=minutes), needed=needed)
    return found.level if found else 0


def test_it_says_how_much_how_long_what_is_needed_and_what_to_do() -> None:
    found = battery_caution(Battery(14, plugged=False, minutes=25), needed=40)
    assert found is not None
    assert found.sentence == (
        "Battery 14 %, about 25 minutes at this rate; the workshop needs about 40. Plug in."
    )
    bare = battery_caution(Battery(9, plugged=False))
    assert bare is not None
    assert bare.sentence == "Battery 9 %. Plug in."


def test_it_warns_before_it_is_too_late() -> None:
    """A third of the battery is left, and it is not enough for what is still to come."""
    assert level(33, 45, 40) == 1
    assert level(33, 55, 40) == 0


def test_a_battery_that_outlasts_the_workshop_is_left_alone() -> None:
    assert level(18, 60, 20) == 0
    assert level(4, 60, 20) == 3


@pytest.mark.parametrize(("percent", "expected"), [(21, 0), (20, 1), (10, 2), (5, 3), (0, 3)])
def test_where_no_time_is_told_the_percent_decides(percent: float, expected: int) -> None:
    assert level(percent, None, None) == expected
    assert level(percent, None, 40) == expected


def test_no_battery_or_a_plug_needs_no_word() -> None:
    assert battery_caution(None) is None
    assert battery_caution(Battery(2, plugged=True)) is None


@given(
    st.floats(0, 100),
    st.floats(0, 100),
    st.integers(0, 300),
    st.integers(0, 300),
    st.none() | st.integers(0, 200),
)
def test_with_less_left_the_word_is_never_weaker(
    one: float, other: float, first: int, second: int, needed: int | None
) -> None:
    less, more = sorted((one, other)), sorted((first, second))
    assert level(less[0], more[0], needed) >= level(less[1], more[1], needed)


def test_what_was_measured_comes_before_what_the_machine_says() -> None:
    fallen = [Reading(0, 40), Reading(600, 30)]
    assert minutes_left(Battery(30, plugged=False, minutes=300), fallen) == 30
    assert minutes_left(Battery(30, plugged=False, minutes=300)) == 300
    assert minutes_left(Battery(30, plugged=True), fallen) is None


def test_the_workshop_needs_what_its_own_pace_says() -> None:
    assert minutes_needed(passed=100, steps=300, elapsed_s=1200, to_rate=0) == 40
    assert minutes_needed(passed=100, steps=300, elapsed_s=1200, to_rate=10) == 60
    assert minutes_needed(passed=300, steps=300, elapsed_s=1200, to_rate=3) == 6


@pytest.mark.parametrize(("passed", "steps", "elapsed"), [(29, 300, 600), (5, 0, 600), (50, 50, 0)])
def test_too_early_nothing_is_said_of_the_pace(passed: int, steps: int, elapsed: float) -> None:
    assert minutes_needed(passed, steps, elapsed, 3) is None


@pytest.mark.parametrize(
    ("told", "expected"),
    [
        (None, None),
        ((55.5, 3600, False), Battery(55.5, plugged=False, minutes=60)),
        ((55.5, -1, False), Battery(55.5, plugged=False)),
        ((100, -2, True), Battery(100, plugged=True)),
        ((103, 60, None), Battery(100, plugged=False, minutes=1)),
    ],
)
def test_what_the_machine_tells_is_read(
    told: tuple[float, int, bool] | None, expected: Battery | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = told and SimpleNamespace(percent=told[0], secsleft=told[1], power_plugged=told[2])
    monkeypatch.setattr(psutil, "sensors_battery", lambda: found, raising=False)
    assert battery() == expected


def test_a_machine_that_cannot_tell_has_no_battery(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delattr(psutil, "sensors_battery", raising=False)
    assert battery() is None


def test_the_battery_in_words() -> None:
    assert battery_words(None) == "This machine tells of no battery."
    assert battery_words(Battery(80, plugged=True)) == "Battery 80 %, plugged in."
    assert battery_words(Battery(80, False, 1)) == (
        "Battery 80 %, not plugged in, about 1 minute left."
    )
