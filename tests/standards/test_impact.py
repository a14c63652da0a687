"""What a cut would do, counted on the tables of tests/standards/data.py."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.standards.impact import impact
from tests.standards.data import SCORES, SIXTEEN_SCORES


def test_cuts_side_by_side_against_the_present_one() -> None:
    found = impact(
        SIXTEEN_SCORES, {"line": (56.83673, 1.19286), "more": (56.83673 + 4.4721, None)}, present=60
    )
    line, more = found.effects
    assert (line.failed, line.passed, line.rate) == (2, 14, 12.5)
    assert (more.failed, more.near) == (4, None)
    assert (line.newly_failing, line.newly_passing) == (0, 1)
    assert (more.newly_failing, more.newly_passing) == (1, 0)
    assert (line.near, line.failed_low, line.failed_high) == (1, 2, 3)
    assert found.distribution == (42, 63.25, 71, 78.75, 91)


def test_a_score_on_the_cut_passes_whatever_rounding_left() -> None:
    (effect,) = impact([0.3, 0.2], {"x": (0.1 + 0.2, None)}).effects
    assert effect.failed == 1


def test_missing_scores_are_counted_and_none_at_all_is_refused() -> None:
    assert impact([*SCORES, None], {}).missing == 1
    with pytest.raises(BadInput, match="No candidate"):
        impact([None], {})


@given(
    st.lists(st.integers(0, 100), min_size=1, max_size=30),
    st.integers(0, 100),
    st.integers(0, 100),
)
def test_nobody_is_lost_and_changes_add_up(scores: list[int], cut: int, now: int) -> None:
    (effect,) = impact(scores, {"x": (cut, None)}, present=now).effects
    assert effect.passed + effect.failed == len(scores)
    assert effect.newly_failing is not None
    assert effect.newly_passing is not None
    before = sum(score < now for score in scores)
    assert effect.failed == before + effect.newly_failing - effect.newly_passing
