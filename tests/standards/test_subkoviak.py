"""One administration (Subkoviak 1976, Table 1), and KR-21."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.standards.subkoviak import kr21, subkoviak

# Ten learners, five items, pass at 4; the reliability .58 is the report's input.
SCORES = [0, 4, 2, 0, 2, 2, 1, 3, 4, 5]


def test_table_1() -> None:
    found = subkoviak(SCORES, 5, 4, 0.58)
    assert found.shares[:3] == pytest.approx((0.1932, 0.6572, 0.4252))
    assert found.per_learner == pytest.approx(
        [0.9882902958, 0.5066488363, 0.8075782348, 0.9882902958, 0.8075782348, 0.8075782348,
         0.9335730927, 0.6318629819, 0.5066488363, 0.5659959317]
    )  # fmt: skip
    assert found.agreement == pytest.approx(0.7544044975)
    assert found.chance == pytest.approx(0.6591310775)
    assert found.kappa == pytest.approx(0.2795016316)


def test_kr21_of_the_same_table() -> None:
    """The reliability recomputed from the table's own mean and variance is .655."""
    assert kr21(SCORES, 5) == pytest.approx(0.655, abs=0.002)


@pytest.mark.parametrize("scores", [[3, 3, 3], [3]])
def test_scores_that_do_not_vary_have_no_kr21(scores: list[float]) -> None:
    assert kr21(scores, 5) is None


@pytest.mark.parametrize(
    ("scores", "items", "cut", "reliability"),
    [([1, 6], 5, 4, 0.5), ([1.5, 2], 5, 4, 0.5), ([1, 2], 5, 0, 0.5), ([1, 2], 5, 4, 1.5),
     ([], 5, 4, 0.5), ([1, 2], 1, 1, 0.5)],
)  # fmt: skip
def test_what_cannot_be_judged_is_told(
    scores: list[float], items: int, cut: float, reliability: float
) -> None:
    with pytest.raises(BadInput):
        subkoviak(scores, items, cut, reliability)


@given(
    st.lists(st.integers(0, 12), min_size=2, max_size=40),
    st.integers(1, 12),
    st.floats(0, 1),
)
def test_two_decisions_agree_in_half_of_cases_or_more(
    scores: list[int], cut: int, reliability: float
) -> None:
    found = subkoviak([float(one) for one in scores], 12, cut, reliability)
    assert 0.5 - 1e-12 <= found.agreement <= 1 + 1e-12
    assert found.agreement >= found.chance - 1e-12
