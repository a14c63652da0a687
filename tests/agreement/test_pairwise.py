"""Pairwise agreement against counting every pair."""

from itertools import combinations

import pytest
from hypothesis import given

from observe.agreement import Ratings
from observe.agreement.pairwise import pairwise
from tests.agreement.tables import gappy, gwet_four


def test_observed_agreement_of_four_observers_with_gaps() -> None:
    """Gwet (2014): 0.818 from the 11 of 12 units rated twice or more."""
    found = pairwise(gwet_four())
    assert found.n == 12
    assert int(found.shared.sum()) == 11
    assert found.observed == pytest.approx(0.8181818182)


@given(gappy())
def test_agrees_with_counting_every_pair(rows: list[list[int | None]]) -> None:
    found = pairwise(Ratings.from_table(rows, categories=[0, 1, 2]))
    rated = [[v for v in row if v is not None] for row in rows]
    rated = [row for row in rated if row]
    shares = [
        sum(a == b for a, b in pairs) / len(pairs)
        for pairs in (list(combinations(row, 2)) for row in rated)
        if pairs
    ]
    assert found.observed == pytest.approx(sum(shares) / len(shares))
    for category in (0, 1, 2):
        mean = sum(row.count(category) / len(row) for row in rated) / len(rated)
        assert found.shares[category] == pytest.approx(mean)
