"""How many of a cohort reached their first success by which attempt (Kaplan and Meier 1958)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.standards.mastery import mastery

# By hand: four learners; at attempt 1 one of 4 reaches it; one stops after 1; at 2 one of 2.
COHORT = [[True], [False], [False, True], [False, False, False]]


def test_by_hand() -> None:
    one, two, three = mastery(COHORT)
    assert (one.trying, one.reached, one.share) == (4, 1, 0.25)
    assert (two.trying, two.reached) == (2, 1)
    assert two.share == pytest.approx(1 - 0.75 * 0.5)
    assert (three.trying, three.reached, three.share) == (1, 0, two.share)
    assert one.se == pytest.approx(0.75 * (1 / (4 * 3)) ** 0.5)


def test_nobody_tried_nothing_is_said() -> None:
    assert mastery([]) == ()


def test_all_reached_has_no_error_left() -> None:
    assert mastery([[True], [True]])[0].se == 0


# Weeks in remission of 21 patients with 6-mercaptopurine (Freireich et al. 1963, Blood 21:699-716);
# a + is a patient who was still in remission. The curve, its error and the intervals on the
# log-log scale are those printed in textbooks of survival analysis for these data, to 4 decimals.
ENDED = (6, 6, 6, 7, 10, 13, 16, 22, 23)
GOING_ON = (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35)
LEFT = {
    6: (0.8571, 0.0764, 0.6197, 0.9516),
    7: (0.8067, 0.0869, 0.5631, 0.9228),
    10: (0.7529, 0.0963, 0.5032, 0.8894),
    13: (0.6902, 0.1068, 0.4316, 0.8491),
    16: (0.6275, 0.1141, 0.3675, 0.8049),
    22: (0.5378, 0.1282, 0.2678, 0.7468),
    23: (0.4482, 0.1346, 0.1881, 0.6801),
}


def test_published_curve_with_its_error_and_interval() -> None:
    series = [[False] * (week - 1) + [True] for week in ENDED]
    series += [[False] * week for week in GOING_ON]
    found = {one.attempt: one for one in mastery(series)}
    for week, (left, se, low, high) in LEFT.items():
        one = found[week]
        assert 1 - one.share == pytest.approx(left, abs=5e-5)
        assert one.se == pytest.approx(se, abs=5e-5)
        assert one.low is not None
        assert one.high is not None
        assert 1 - one.high == pytest.approx(low, abs=5e-5)
        assert 1 - one.low == pytest.approx(high, abs=5e-5)


def test_where_all_or_none_have_reached_it_there_is_no_interval() -> None:
    one, two = mastery([[False, True], [False, True]])
    assert (one.share, one.low, one.high) == (0, None, None)
    assert (two.share, two.low, two.high) == (1, None, None)


@given(st.lists(st.lists(st.booleans(), min_size=1, max_size=6), min_size=1, max_size=12))
def test_the_share_only_grows_and_is_one_of_all(series: list[list[bool]]) -> None:
    found = mastery(series)
    shares = [one.share for one in found]
    assert shares == sorted(shares)
    assert all(0 <= share <= 1 for share in shares)
    assert sum(one.reached for one in found) == sum(any(some) for some in series)
    for one in found:
        assert (one.low is None) == (one.share in (0, 1))
        if one.low is not None and one.high is not None:
            assert 0 < one.low < one.share < one.high < 1
