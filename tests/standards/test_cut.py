"""The answer repeats the question and says what the cut is not (rule A9)."""

import pytest

from observe.domain.troubles import BadInput
from observe.standards.cut import IS_NOT, LABELS, PERCENT, RAW, Asking, Cut, raw, student


def test_every_method_says_what_its_cut_is_not() -> None:
    assert set(IS_NOT) == set(LABELS)
    cut = Cut("hofstee", "mean", PERCENT, 0.95, 5, "candidates", 6)
    assert cut.label == "Hofstee (mean)"
    assert "not a level of safety" in cut.is_not
    assert cut.without("reason.").undefined == "The cut is not estimable: reason."


def test_percent_needs_a_declared_maximum() -> None:
    assert raw(20).percent(5) == 25
    assert RAW.percent(5) is None
    assert PERCENT.percent(None) is None
    with pytest.raises(BadInput, match="no scale"):
        raw(0)


def test_a_cut_in_points_is_told_in_percent() -> None:
    cut = Cut("angoff", "", raw(20), 0.95, 5, "judges", 5, value=13.0, se=0.5, low=12.0, high=14.0)
    told = cut.in_percent()
    assert (told.value, told.se, told.low, told.high) == (65, 2.5, 60, 70)
    assert told.scale is PERCENT
    with pytest.raises(BadInput, match="not declared"):
        Cut("angoff", "", RAW, 0.95, 5, "judges", 5, value=13.0).in_percent()


def test_a_level_and_a_seed_that_cannot_be() -> None:
    with pytest.raises(BadInput, match="level of 95"):
        Asking(level=95)
    with pytest.raises(BadInput, match="seed of -1"):
        Asking(seed=-1)


def test_student_limits_as_in_any_table() -> None:
    """97.5 % with 10 degrees of freedom: 2.228139."""
    assert student(0, 1, 10, 0.95) == pytest.approx((-2.228139, 2.228139), abs=1e-6)
