"""The borderline group: Livingston & Zieky (1982); tables in tests/standards/data.py."""

import math
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.standards.borderline import borderline_group
from observe.standards.cut import Asking
from tests.standards.data import GRADES, SCORES, SIXTEEN_GRADES, SIXTEEN_SCORES


def test_twelve_borderline_learners_of_forty() -> None:
    cut = borderline_group(SCORES, GRADES, borderline=2)
    assert (cut.value, cut.n, cut.given, cut.statistic) == (53.5, 12, 40, "median")
    assert cut.details["mean"] == pytest.approx(53.25)
    assert cut.details["sd"] == pytest.approx(5.528849954, abs=1e-6)
    assert cut.se is not None
    assert cut.seed == 0
    assert cut.low is not None
    assert cut.high is not None
    assert cut.low <= 53.5 <= cut.high


def test_the_mean_is_a_named_choice_with_its_own_standard_error() -> None:
    cut = borderline_group(SCORES, GRADES, borderline=2, statistic="mean")
    assert cut.value == 53.25
    assert cut.se == pytest.approx(5.528849954 / math.sqrt(12))
    assert cut.seed is None
    # Student's t with 11 degrees of freedom, 97.5 %: 2.200985 (any table).
    assert cut.high == pytest.approx(53.25 + 2.200985 * 5.528849954 / math.sqrt(12), abs=1e-5)
    sixteen = borderline_group(SIXTEEN_SCORES, SIXTEEN_GRADES, borderline=2, statistic="mean")
    assert sixteen.value == 58.0
    assert any("3 candidates in the borderline group: under 10" in w for w in sixteen.warnings)


def test_nobody_or_one_in_the_group_is_no_cut() -> None:
    nobody = borderline_group(SCORES, GRADES, borderline=6)
    assert nobody.undefined == "The cut is not estimable: nobody was graded borderline."
    one = borderline_group(SCORES, GRADES, borderline=1)
    assert "one candidate was graded borderline, and 2 are needed" in one.undefined


def test_a_group_that_scored_alike_has_no_standard_error() -> None:
    cut = borderline_group([50, 50, 70], [2, 2, 3], borderline=2)
    assert (cut.value, cut.se, cut.low) == (50.0, None, None)
    assert any("no standard error" in note for note in cut.notes)


def test_another_statistic_is_refused() -> None:
    with pytest.raises(BadInput, match="no statistic 'mode'"):
        borderline_group(SCORES, GRADES, borderline=2, statistic="mode")


@given(st.lists(st.tuples(st.integers(0, 100), st.integers(1, 3)), max_size=25), st.integers(0, 9))
def test_only_the_group_counts_and_its_order_does_not(
    data: list[tuple[int, int]], seed: int
) -> None:
    group = [score for score, grade in data if grade == 2]
    scores, grades = [score for score, _ in data], [grade for _, grade in data]
    cut = borderline_group(scores, grades, borderline=2, asking=Asking(seed=seed))
    back = borderline_group(scores[::-1], grades[::-1], borderline=2)
    assert cut.value == back.value
    assert cut.value == (median(group) if len(group) > 1 else None)
    assert (cut.undefined == "") == (len(group) > 1)
