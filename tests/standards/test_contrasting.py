"""Contrasting groups: Livingston & Zieky (1982); tables in tests/standards/data.py."""

from statistics import NormalDist, fmean, stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.standards.contrasting import STATISTICS, contrasting_groups
from observe.standards.errors import Loss
from tests.standards.data import QUALIFIED, SCORES, SIXTEEN_GRADES, SIXTEEN_SCORES

ABOVE_TWO = [grade >= 3 for grade in SIXTEEN_GRADES]


def test_the_logistic_fifty_per_cent_point_as_in_r() -> None:
    cut = contrasting_groups(SCORES, QUALIFIED)
    assert cut.value == pytest.approx(59.62196878, abs=1e-6)
    assert cut.details["logit_intercept"] == pytest.approx(-37.38071866, abs=1e-4)
    assert cut.details["logit_slope"] == pytest.approx(0.6269621656, abs=1e-4)
    assert (cut.details["n_qualified"], cut.details["n_not_qualified"]) == (27, 13)
    assert cut.details["median_midpoint"] == 61.5
    assert cut.se is not None
    assert cut.se > 0


def test_the_cut_with_the_fewest_wrong_decisions() -> None:
    cut = contrasting_groups(SCORES, QUALIFIED, statistic="fewest errors")
    assert cut.details["fewest_errors"] == 2
    assert cut.details["fewest_errors_cut_min_score"] == 58
    assert cut.details["fewest_errors_cut_max_score"] == 60
    assert cut.value == 60
    assert any("58 and 60 make as few errors" in note for note in cut.notes)


def test_a_costlier_false_pass_raises_the_cut() -> None:
    even = contrasting_groups(SCORES, QUALIFIED, statistic="fewest errors")
    strict = contrasting_groups(
        SCORES, QUALIFIED, statistic="fewest errors", loss=Loss(false_pass=10)
    )
    assert even.value is not None
    assert strict.value is not None
    assert strict.value > even.value
    assert strict.details["false_pass"] == 0


def test_midpoint_and_normal_crossing_of_sixteen() -> None:
    middle = contrasting_groups(SIXTEEN_SCORES, ABOVE_TWO, statistic="midpoint")
    assert middle.value == pytest.approx(65.0417, abs=1e-4)
    assert middle.details["mean_not_qualified"] == 54.0
    assert middle.details["mean_qualified"] == pytest.approx(76.0833, abs=1e-4)
    crossing = contrasting_groups(SIXTEEN_SCORES, ABOVE_TWO, statistic="normal")
    assert crossing.value == pytest.approx(64.9830, abs=1e-4)


def test_complete_separation_has_no_finite_estimate_and_offers_the_middle() -> None:
    cut = contrasting_groups([1, 2, 3, 7, 8, 9], [False] * 3 + [True] * 3)
    assert cut.value is None
    assert "the groups do not overlap" in cut.undefined
    assert "no finite estimate" in cut.undefined
    assert cut.details["midpoint_between_groups"] == 5.0
    fewest = contrasting_groups(
        [1, 2, 3, 7, 8, 9], [False] * 3 + [True] * 3, statistic="fewest errors"
    )
    assert (fewest.value, fewest.details["fewest_errors"]) == (7.0, 0)


def test_groups_that_touch_at_one_score_have_no_finite_estimate_either() -> None:
    cut = contrasting_groups([1, 2, 5, 5, 8, 9], [False] * 3 + [True] * 3)
    assert "but at one score" in cut.undefined


@pytest.mark.parametrize(
    ("scores", "groups", "statistic", "reason"),
    [
        ([1, 2], [True, True], "logistic", "nobody was judged not qualified"),
        ([1, 2], [False, False], "midpoint", "nobody was judged qualified"),
        ([], [], "normal", "nobody was judged qualified"),
        ([5, 5, 5], [True, False, True], "logistic", "every score is the same"),
        ([5, 6, 7], [True, False, False], "normal", "each group needs two or more"),
        ([5, 6, 7, 8], [True, True, False, False], "normal", "do not score higher"),
        ([5, 5, 7, 7], [False, False, True, True], "normal", "do not cross"),
        ([1, 2, 3, 4, 1], [True, False, False, False, False], "fewest errors", "nobody passes"),
        ([1, 2, 3, 1, 2, 3], [True] * 3 + [False] * 3, "logistic", "does not change with score"),
    ],
)
def test_not_estimable_in_a_sentence(
    scores: list[float], groups: list[bool], statistic: str, reason: str
) -> None:
    cut = contrasting_groups(scores, groups, statistic=statistic)
    assert cut.value is None
    assert reason in cut.undefined


def test_a_curve_that_falls_is_said() -> None:
    cut = contrasting_groups([1, 2, 3, 4, 5, 6], [True, True, False, True, False, False])
    assert cut.value is not None
    assert any("The curve falls" in said for said in cut.warnings)
    assert any("do not score higher" in said for said in cut.warnings)


def test_bad_input() -> None:
    with pytest.raises(BadInput, match="no statistic 'roc'"):
        contrasting_groups([1, 2], [True, False], statistic="roc")


groups = st.lists(st.tuples(st.integers(0, 40), st.booleans()), min_size=2, max_size=30)


@given(groups, st.sampled_from(STATISTICS))
def test_every_table_has_a_number_or_a_sentence(
    data: list[tuple[int, bool]], statistic: str
) -> None:
    scores, flags = zip(*data, strict=True)
    cut = contrasting_groups(scores, flags, statistic=statistic)
    assert (cut.value is None) == bool(cut.undefined)


some = st.lists(st.integers(0, 40), min_size=2, max_size=15)


@given(some, some, st.integers(0, 30))
def test_the_densities_are_equal_where_they_cross(
    high: list[int], low: list[int], apart: int
) -> None:
    high = [score + apart for score in high]
    flags = [True] * len(high) + [False] * len(low)
    cut = contrasting_groups([*high, *low], flags, statistic="normal")
    if cut.value is None:
        assert cut.undefined
        return
    first, second = (NormalDist(fmean(group), stdev(group)) for group in (high, low))
    assert second.mean <= cut.value <= first.mean
    assert first.pdf(cut.value) == pytest.approx(second.pdf(cut.value), rel=1e-6)
