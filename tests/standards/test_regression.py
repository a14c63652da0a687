"""Borderline regression: Wood, Humphrey-Murto & Norman (2006); data as in `data.py` here."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput, Stopped
from observe.standards.cut import HALO, PERCENT, Asking, raw
from observe.standards.regression import borderline_regression, fitted
from tests.standards.data import GRADES, SCORES, SIXTEEN_GRADES, SIXTEEN_SCORES


def test_forty_learners_as_in_r_and_statsmodels() -> None:
    cut = borderline_regression(SCORES, GRADES, borderline=2)
    assert cut.value == pytest.approx(53.14663462, abs=5e-6)
    assert cut.se == pytest.approx(1.255858117, abs=1e-6)
    assert (cut.low, cut.high) == pytest.approx((50.60428277, 55.68898646), abs=5e-6)
    expected = {
        "slope": 10.63942308,
        "intercept": 31.86778846,
        "r_squared": 0.8095113809,
        "rmse": 5.400027647,
        "se_cut_prediction_mean": 1.255858117,
        "fail_count": 7,
    }
    assert {key: cut.details[key] for key in expected} == pytest.approx(expected, abs=1e-6)
    assert (cut.n, cut.of, cut.given, cut.undefined) == (40, "candidates", 40, "")


def test_sixteen_learners_delta_and_bootstrap() -> None:
    cut = borderline_regression(SIXTEEN_SCORES, SIXTEEN_GRADES, borderline=2)
    assert cut.value == pytest.approx(56.83673, abs=1e-5)
    assert cut.se == pytest.approx(1.19286, abs=1e-5)
    assert cut.details["se_bootstrap"] == pytest.approx(1.37, abs=0.1)
    assert cut.details["fail_count"] == 2
    assert any("16 candidates: under 50" in said for said in cut.warnings)
    assert HALO in cut.warnings


def test_the_same_seed_gives_the_same_answer_and_another_seed_another() -> None:
    one, again, other = (
        borderline_regression(SCORES, GRADES, borderline=2, asking=Asking(seed=seed))
        for seed in (5, 5, 6)
    )
    assert one == again
    assert one.details["se_bootstrap"] != other.details["se_bootstrap"]
    assert one.value == other.value


def test_missing_scores_and_grades_are_dropped_and_counted() -> None:
    cut = borderline_regression([*SCORES, None, 50, None], [*GRADES, 2, None, None], borderline=2)
    assert cut.value == pytest.approx(53.14663462)
    assert (cut.n, cut.given) == (40, 43)
    assert cut.dropped == (
        "2 candidates without a score left out.",
        "1 candidate without a grade left out.",
    )


@pytest.mark.parametrize(
    ("scores", "grades", "reason"),
    [
        ([50, 60, 70], [2, 2, 2], "every candidate has the same grade, 2"),
        ([50, 60], [2, 3], "2 candidates have score and grade, and 3 are needed"),
        ([50, None], [2, 3], "1 candidate has score and grade"),
        ([], [], "no candidate has score and grade"),
    ],
)
def test_not_estimable_in_a_sentence(
    scores: list[float | None], grades: list[float | None], reason: str
) -> None:
    cut = borderline_regression(scores, grades, borderline=2)
    assert cut.value is None
    assert cut.se is None
    assert reason in cut.undefined


def test_what_whoever_approves_it_must_weigh_is_said() -> None:
    cut = borderline_regression([70, 60, 65, 50, 71], [2, 3, 3, 5, 2], borderline=1)
    said = " ".join(cut.warnings)
    assert "The slope is not above 0" in said
    assert "extrapolated beyond the grades 2 to 5" in said
    assert "outside the scores seen" in said
    between = borderline_regression([50, 60, 65, 90], [1, 2, 2, 4], borderline=3)
    assert any("Nobody was graded 3" in one for one in between.warnings)
    loose = borderline_regression([50, 90, 65, 60, 91], [1, 1, 2, 3, 3], borderline=2)
    assert any("R² is 0.0" in one for one in loose.warnings)


def test_a_cut_outside_a_declared_scale_is_said() -> None:
    cut = borderline_regression([5, 50, 95], [2, 3, 4], borderline=1, asking=Asking(PERCENT))
    assert cut.value == pytest.approx(-40)
    assert "The cut lies outside the scale from 0 to 100." in cut.warnings
    with pytest.raises(BadInput, match="not on the scale from 0 to 20"):
        borderline_regression([5, 50, 15], [2, 3, 4], borderline=2, asking=Asking(raw(20)))


def test_points_on_a_line_and_a_flat_one_have_no_standard_error() -> None:
    exact = borderline_regression([10, 20, 30, 40], [1, 2, 3, 4], borderline=2.5)
    assert (exact.value, exact.se, exact.low) == (25.0, None, None)
    assert any("no error" in note for note in exact.notes)
    flat = borderline_regression([0.1, 0.1, 0.1], [1, 2, 3], borderline=2)
    assert flat.value == pytest.approx(0.1)
    assert "r_squared" not in flat.details
    assert any("R² is not estimable" in note for note in flat.notes)


def test_bad_input_and_stopping() -> None:
    with pytest.raises(BadInput, match="3 scores and 2 of grade"):
        borderline_regression([1, 2, 3], [1, 2], borderline=2)
    with pytest.raises(BadInput, match="Score number 2"):
        borderline_regression([1, float("nan"), 3], [1, 2, 3], borderline=2)

    def stop(_done: int, _total: int) -> None:
        raise Stopped

    with pytest.raises(Stopped):
        borderline_regression(SCORES, GRADES, borderline=2, asking=Asking(tick=stop))


candidate = st.tuples(st.integers(0, 100), st.integers(1, 5))


@given(st.lists(candidate, min_size=3, max_size=30), st.integers(1, 5))
def test_the_line_is_that_of_least_squares(data: list[tuple[int, int]], at: int) -> None:
    y, g = (np.array(column, dtype=float) for column in zip(*data, strict=True))
    if g.min() == g.max():
        return
    line = fitted(g, y, at)
    slope, intercept = np.polyfit(g, y, 1)
    assert line.slope == pytest.approx(slope, abs=1e-8)
    assert line.at == pytest.approx(intercept + slope * at, abs=1e-6)


@given(st.lists(candidate, min_size=3, max_size=15), st.integers(-50, 50))
def test_scores_moved_up_move_the_cut_as_far(data: list[tuple[int, int]], by: int) -> None:
    scores, grades = zip(*data, strict=True)
    one = borderline_regression(scores, grades, borderline=2)
    two = borderline_regression([score + by for score in scores], grades, borderline=2)
    if one.value is None or two.value is None:
        assert one.undefined == two.undefined
    else:
        assert two.value == pytest.approx(one.value + by, abs=1e-6)
