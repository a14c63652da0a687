"""Hofstee (1983): the step curve, against walking up it; tables in tests/standards/data.py."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput, Stopped
from observe.standards.cut import Asking
from observe.standards.hofstee import ABOVE, BELOW, JUMP, STEP, Box, crossing, hofstee
from tests.standards.data import SIXTEEN_SCORES, SIXTY


def test_sixty_scores_cross_at_a_jump() -> None:
    cut = hofstee(SIXTY, [Box(50, 68, 5, 25)])
    assert cut.value == 54
    expected = {
        "fail_rate_line": 20.55555556,
        "fail_rate_at_cut": 15.0,
        "fail_rate_just_above_cut": 23.33333333,
    }
    assert {key: cut.details[key] for key in expected} == pytest.approx(expected)
    assert (cut.details["crosses"], cut.details["where"]) == (True, JUMP)
    assert (cut.n, cut.of, cut.seed) == (60, "candidates", 0)


def test_a_third_failing_at_the_lowest_cut_is_no_intersection() -> None:
    cut = hofstee(SIXTY, [Box(58, 68, 5, 20)])
    assert cut.value is None
    assert cut.undefined.endswith("no intersection: the fail-rate curve is above the box.")
    assert cut.details["crosses"] is False
    assert cut.details["where"] == "fail-rate curve is above the box"
    assert cut.details["fail_rate_at_min_cut"] == pytest.approx(33.33333333)


def test_sixteen_scores() -> None:
    """The curve jumps from 18.75 to 25 at 61, where the line is at 22.5."""
    cut = hofstee(SIXTEEN_SCORES, [Box(55, 75, 5, 30)])
    assert cut.value == 61
    assert cut.details["fail_rate_line"] == pytest.approx(22.5)
    assert cut.details["fail_rate_just_above_cut"] == 25


def test_a_line_that_meets_the_level_between_two_scores() -> None:
    cut = hofstee([10, 20, 30, 40], [Box(12, 18, 20, 30)])
    assert cut.details["where"] == STEP
    assert cut.value == pytest.approx(15)


def test_all_failing_too_few_is_said_with_its_side() -> None:
    cut = hofstee([80, 90, 95], [Box(50, 60, 5, 20)])
    assert cut.undefined.endswith("the fail-rate curve is below the box.")


def test_judges_are_averaged_or_their_median_taken() -> None:
    judges = [Box(48, 66, 3, 20), Box(52, 70, 7, 30), Box(50, 68, 5, 25)]
    assert hofstee(SIXTY, judges).value == 54
    high = [*judges, Box(60, 90, 5, 60)]
    mean, middle = hofstee(SIXTY, high), hofstee(SIXTY, high, statistic="median")
    assert mean.details["min_cut"] == 52.5
    assert middle.details["min_cut"] == 51
    assert (mean.statistic, mean.details["judges"]) == ("mean", 4)
    assert any("4 judges: 6 or more" in said for said in mean.warnings)


def test_one_cut_that_all_judges_name_stands_if_its_failures_can_be_borne() -> None:
    assert hofstee(SIXTY, [Box(54, 54, 5, 25)]).value == 54
    assert hofstee(SIXTY, [Box(58, 58, 5, 25)]).details["where"] == ABOVE
    assert hofstee(SIXTY, [Box(46, 46, 5, 25)]).details["where"] == BELOW


def test_missing_scores_are_dropped_and_rates_under_one_per_cent_doubted() -> None:
    cut = hofstee([*SIXTY, None], [Box(40, 68, 0, 0.5)])
    assert (cut.n, cut.given) == (60, 61)
    assert cut.dropped == ("1 candidate without a score left out.",)
    assert any("read in percent" in said for said in cut.warnings)
    assert "no candidate has a score" in hofstee([None], [Box(1, 2, 3, 4)]).undefined


@pytest.mark.parametrize("limits", [(60, 50, 5, 20), (50, 60, 20, 5), (50, 60, -1, 5)])
def test_limits_upside_down_are_refused(limits: tuple[float, float, float, float]) -> None:
    with pytest.raises(BadInput, match="no limits"):
        Box(*limits)


def test_bad_input_and_stopping() -> None:
    with pytest.raises(BadInput, match="no judge"):
        hofstee(SIXTY, [])
    with pytest.raises(BadInput, match="no statistic"):
        hofstee(SIXTY, [Box(50, 68, 5, 25)], statistic="mode")

    def stop(_done: int, _total: int) -> None:
        raise Stopped

    with pytest.raises(Stopped):
        hofstee(SIXTY, [Box(50, 68, 5, 25)], asking=Asking(tick=stop))


@given(
    st.lists(st.integers(0, 20), min_size=1, max_size=15),
    st.integers(0, 19),
    st.integers(1, 20),
    st.integers(0, 99),
    st.integers(1, 100),
)
def test_the_cut_is_where_failures_pass_the_line(
    scores: list[int], low: int, wide: int, least: int, more: int
) -> None:
    box = Box(low, low + wide, least, min(100, least + more))
    met = crossing(np.array(scores, dtype=float), box)

    def line(cut: Fraction) -> Fraction:
        return box_max - (box_max - least) * (cut - low) / wide

    def failing(cut: Fraction, *, on: bool) -> Fraction:
        count = sum(score <= cut if on else score < cut for score in scores)
        return Fraction(100 * count, len(scores))

    box_max = Fraction(min(100, least + more))
    if met.cut is None:
        if met.where == ABOVE:
            assert failing(Fraction(low), on=False) > box_max
        else:
            assert failing(Fraction(low + wide), on=True) < least
        return
    cut = Fraction(met.cut).limit_denominator(10**6)
    assert low <= cut <= low + wide
    assert failing(cut, on=False) <= line(cut) + Fraction(1, 1000)
    assert failing(cut, on=True) >= line(cut) - Fraction(1, 1000)
