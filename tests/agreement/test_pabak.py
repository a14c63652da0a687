"""PABAK with prevalence and bias index."""

import pytest
from hypothesis import given

from observe.agreement import Ratings, pabak, percent_agreement
from tests.agreement.tables import Table, any_table, ratings_of


@pytest.mark.parametrize(
    ("table", "value", "indices"),
    [
        ([[40, 9], [6, 45]], 0.70, "Prevalence index -0.05, bias index 0.03 (0 counted as first)."),
        ([[80, 10], [5, 5]], 0.70, "Prevalence index 0.75, bias index 0.05 (0 counted as first)."),
        (
            [[22, 2], [4, 11]],
            0.6923076923,
            "Prevalence index 0.28, bias index -0.05 (0 counted as first).",
        ),
    ],
)
def test_published_tables(table: Table, value: float, indices: str) -> None:
    """Byrt, Bishop & Carlin (1993) on Feinstein & Cicchetti's tables; Sim & Wright (2005)."""
    found = pabak(ratings_of(table))
    assert found.value == pytest.approx(value)
    assert found.notes == (indices,)
    n = sum(map(sum, table))
    assert found.details["prevalence index"] == (table[0][0] - table[1][1]) / n
    assert found.details["bias index"] == (table[0][1] - table[1][0]) / n


def test_every_rating_the_same_is_full_agreement_of_two_declared_categories() -> None:
    found = pabak(ratings_of([[0, 0], [0, 12]]))
    assert found.value == 1.0
    assert found.high == 1.0
    assert found.low == pytest.approx(2 * 0.025 ** (1 / 12) - 1)


@given(any_table(largest=2))
def test_it_is_twice_the_agreement_less_one_with_its_interval(table: Table) -> None:
    ratings = ratings_of(table)
    share, found = percent_agreement(ratings), pabak(ratings)
    for of_share, of_kappa in zip(
        (share.value, share.low, share.high), (found.value, found.low, found.high), strict=True
    ):
        assert of_share is not None
        assert of_kappa == pytest.approx(2 * of_share - 1)


def test_it_needs_two_observers_two_categories_and_a_pair() -> None:
    assert "there are 3" in (pabak(ratings_of([[1, 0, 0], [0, 1, 0], [0, 0, 1]])).undefined or "")
    three = Ratings.from_table([[1, 1, 2]], categories=[1, 2])
    assert "compares two observers, and there are 3" in (pabak(three).undefined or "")
    once = Ratings.from_table([[1, None]], categories=[1, 2])
    assert "no unit was rated" in (pabak(once).undefined or "")
