"""Limits of agreement against Bland & Altman (1986), Lancet 327:307."""

from __future__ import annotations

import pytest

from observe.agreement.limits import bland_altman, proportional_bias, repeatability
from observe.agreement.ratings import Ratings, Scale

# Their table: first readings of peak flow, large meter and mini meter, 17 subjects.
LARGE = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
MINI = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]


def readings() -> Ratings:
    return Ratings.from_table([*zip(LARGE, MINI, strict=True)], scale=Scale.INTERVAL)


def test_the_published_example() -> None:
    """Printed: mean difference -2.1; the interval of it -22.0 to 17.8."""
    bias, lower, upper = bland_altman(readings())
    assert [one.form for one in (bias, lower, upper)] == ["bias", "lower limit", "upper limit"]
    assert bias.value == pytest.approx(-2.117647059, abs=1e-6)
    assert (bias.low, bias.high) == pytest.approx((-22.0488377, 17.81354358), abs=1e-5)
    assert lower.value == pytest.approx(-78.09590547, abs=1e-5)
    assert upper.value == pytest.approx(73.86061135, abs=1e-5)
    assert (lower.used, lower.observers) == (17, 2)


def test_intervals_of_the_limits_lie_round_them() -> None:
    for one in bland_altman(readings()):
        assert one.value is not None
        assert one.low is not None
        assert one.high is not None
        assert one.low < one.value < one.high


def test_the_first_observer_minus_the_second() -> None:
    turned = Ratings.from_table([*zip(MINI, LARGE, strict=True)], scale=Scale.INTERVAL)
    (bias, lower, _), (other, _, upper) = bland_altman(readings()), bland_altman(turned)
    assert bias.value == pytest.approx(-(other.value or 0))
    assert lower.value == pytest.approx(-(upper.value or 0))


def test_no_trend_is_seen_in_the_published_example() -> None:
    """They report none: the differences do not grow with the flow."""
    found = proportional_bias(readings())
    assert found.low is not None
    assert found.high is not None
    assert found.low < 0 < found.high


@pytest.mark.parametrize("rows", [[(1, 2)], [(1, 2, 3), (2, 3, 4)], [(1, None), (None, 2)]])
def test_what_cannot_be_estimated_says_why(rows: list[tuple[int | None, ...]]) -> None:
    for one in bland_altman(Ratings.from_table(rows, scale=Scale.INTERVAL)):
        assert one.value is None
        assert one.undefined


def test_two_readings_of_one_meter() -> None:
    """Bland and Altman (1986): large meter, 17 subjects; 21.6 about 0, not 21.7 about the mean."""
    first = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
    second = [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421]
    table = Ratings.from_table(list(zip(first, second, strict=True)), scale="interval")
    assert repeatability(table) == pytest.approx(21.64689898)
    bias, low, high = bland_altman(table)
    assert (bias.value, bias.low, bias.high) == pytest.approx(
        (4.941176471, -6.228293169, 16.11064611)
    )
    assert (low.value, high.value) == pytest.approx((-37.63715545, 47.51950839))


def test_one_reading_has_no_repeatability() -> None:
    assert repeatability(Ratings.from_table([[1], [2]], scale="interval")) is None
