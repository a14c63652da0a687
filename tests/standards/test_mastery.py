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


@given(st.lists(st.lists(st.booleans(), min_size=1, max_size=6), min_size=1, max_size=12))
def test_the_share_only_grows_and_is_one_of_all(series: list[list[bool]]) -> None:
    found = mastery(series)
    shares = [one.share for one in found]
    assert shares == sorted(shares)
    assert all(0 <= share <= 1 for share in shares)
    assert sum(one.reached for one in found) == sum(any(some) for some in series)
