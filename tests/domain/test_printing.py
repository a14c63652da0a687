"""Exact numbers as people read them (rule S4)."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from observe.domain.printing import MOST_PLACES, against, clock, percent, points, rounded

shares = st.fractions(0, 1, max_denominator=10_000)
MINUS = "\u2212"


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (Fraction(1, 2), 0, "1"),
        (Fraction(3, 2), 0, "2"),
        (Fraction(49, 100), 0, "0"),
        (Fraction(1, 4), 1, "0.3"),
        (Fraction(5, 100), 1, "0.1"),
        (Fraction(4, 100), 1, "0.0"),
        (Fraction(-4, 100), 1, "0.0"),
        (Fraction(-1, 4), 1, f"{MINUS}0.3"),
        (Fraction(12345, 100), 1, "123.5"),
        (Fraction(0), 2, "0.00"),
    ],
)
def test_s4_rounds_half_up_with_a_true_minus_and_no_minus_zero(
    value: Fraction, places: int, text: str
) -> None:
    assert rounded(value, places) == text


@given(st.decimals(-1000, 1000, allow_nan=False, allow_infinity=False, places=5), st.integers(0, 4))
def test_s4_rounds_as_decimal_text_does(value: Decimal, places: int) -> None:
    there = abs(value).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    sign = MINUS if value < 0 and there else ""
    assert rounded(Fraction(value), places) == f"{sign}{there}"


def test_s4_one_decimal() -> None:
    assert percent(Fraction(849, 1000)) == "84.9"
    assert percent(Fraction(7, 9)) == "77.8"
    assert percent(Fraction(7, 9), 3) == "77.778"


@pytest.mark.parametrize(
    ("score", "cut", "printed"),
    [
        (Fraction(4, 5), Fraction(4, 5), ("80.0", "80.0")),
        (Fraction(9, 10), Fraction(4, 5), ("90.0", "80.0")),
        (Fraction(79, 100), Fraction(4, 5), ("79.0", "80.0")),
        (Fraction(7995, 10_000), Fraction(4, 5), ("79.95", "80.00")),
        (Fraction(79_996, 100_000), Fraction(4, 5), ("79.996", "80.000")),
        (Fraction(2, 3), Fraction(6667, 10_000), ("66.667", "66.670")),
    ],
)
def test_s4_a_failing_score_never_prints_at_or_above_the_cut(
    score: Fraction, cut: Fraction, printed: tuple[str, str]
) -> None:
    assert against(score, cut) == printed


def test_s4_a_score_under_the_cut_by_less_than_can_be_printed_is_said_to_be_under() -> None:
    cut = Fraction(4, 5)
    shown, needed = against(cut - Fraction(1, 10**20), cut)
    assert shown == f"under {needed}"
    assert needed == percent(cut, MOST_PLACES)


@given(shares, shares)
@example(Fraction(79_999, 100_000), Fraction(4, 5))
def test_s4_print_never_contradicts_the_comparison(score: Fraction, cut: Fraction) -> None:
    shown, needed = against(score, cut)
    assert (Decimal(shown) >= Decimal(needed)) is (score >= cut)


@given(shares, shares)
def test_s4_the_cut_has_as_many_digits_and_never_more_than_it_needs(
    score: Fraction, cut: Fraction
) -> None:
    shown, needed = against(score, cut)
    places = len(shown.partition(".")[2])
    assert places == len(needed.partition(".")[2])
    if places > 1:
        assert percent(score, places - 1) == percent(cut, places - 1)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(0), "0"),
        (Fraction(7), "7"),
        (Fraction(120), "120"),
        (Fraction(15, 2), "7.5"),
        (Fraction(1, 8), "0.125"),
        (Fraction(7, 10), "0.7"),
        (Fraction(1, 3), "1/3"),
        (Fraction(35, 6), "35/6"),
        (Fraction(-1, 4), f"{MINUS}0.25"),
    ],
)
def test_exact_points_are_a_decimal_if_that_ends_else_a_fraction(
    value: Fraction, text: str
) -> None:
    assert points(value) == text


@given(st.fractions(-100, 100, max_denominator=500))
def test_exact_points_lose_nothing(value: Fraction) -> None:
    assert Fraction(points(value).replace(MINUS, "-")) == value


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0, "00:00"), (59.999, "00:59"), (764, "12:44"), (3599, "59:59"), (3723, "1:02:03")],
)
def test_a_time_on_the_clock(seconds: float, text: str) -> None:
    assert clock(int(seconds * 10**9)) == text
