"""Percent agreement and specific agreement."""

import pytest
from hypothesis import given

from observe.agreement import Ratings, percent_agreement, specific_agreement
from observe.agreement.ratings import Value
from tests.agreement.tables import Table, any_table, gwet_four, gwet_two, ratings_of


@pytest.mark.parametrize(
    ("table", "value", "low", "high"),
    [
        pytest.param([[4, 0], [0, 4]], 1.0, 0.63058, 1.0, id="8 of 8"),
        pytest.param([[9, 1], [1, 9]], 0.9, 0.68302, 0.98765, id="18 of 20"),
    ],
)
def test_two_observers_get_the_exact_interval(
    table: Table, value: float, low: float, high: float
) -> None:
    """Clopper-Pearson limits; rule A2 gives them under ten pairs too."""
    found = percent_agreement(ratings_of(table))
    assert found.value == value
    assert (found.low, found.high) == pytest.approx((low, high), abs=5e-6)
    assert found.interval == "exact (Clopper-Pearson)"
    assert found.form == "two observers"


def test_counts_are_said() -> None:
    found = percent_agreement(ratings_of([[80, 10], [5, 5]], categories=["done", "not done"]))
    assert found.notes == (
        "Agreeing pairs: 85 of 100.",
        "Specific agreement, done: 91.4 %; not done: 40.0 %.",
    )


@pytest.mark.parametrize(
    ("table", "first", "second"),
    [
        ([[80, 10], [5, 5]], 0.91429, 0.40),
        ([[40, 9], [6, 45]], 0.84211, 0.85714),
        ([[46, 2], [2, 0]], 0.95833, 0.0),
        ([[22, 2], [4, 11]], 0.88, 0.78571),
    ],
)
def test_specific_agreement(table: Table, first: float, second: float) -> None:
    """Tables of Feinstein & Cicchetti (1990) and Sim & Wright (2005)."""
    assert specific_agreement(ratings_of(table)) == pytest.approx({0: first, 1: second}, abs=5e-6)


def test_a_category_that_neither_used_has_no_specific_agreement() -> None:
    ratings = ratings_of([[0, 0], [0, 12]], categories=["not done", "done"])
    assert specific_agreement(ratings) == {"not done": None, "done": 1.0}
    assert "not done: never used" in percent_agreement(ratings).note


def test_units_rated_once_are_left_out() -> None:
    found = percent_agreement(gwet_two())
    assert found.value == 0.8
    assert (found.units, found.used) == (12, 10)
    assert "2 units are left out: rated by one observer only." in found.notes


def test_more_ratings_per_unit_are_averaged_over_units_without_an_exact_interval() -> None:
    found = percent_agreement(gwet_four())
    assert found.value == pytest.approx(0.8181818182)
    assert found.form == "pairs of observers, averaged over units"
    assert found.low is None
    assert "not independent trials" in found.note


def test_two_of_several_observers_per_unit_are_independent_pairs() -> None:
    rows: list[list[Value | None]] = [[1, 1, None], [1, None, 2], [None, 2, 2]]
    found = percent_agreement(Ratings.from_table(rows, categories=[1, 2]))
    assert found.value == pytest.approx(2 / 3)
    assert found.form == "two of 3 observers per unit"
    assert found.interval == "exact (Clopper-Pearson)"


def test_nothing_rated_twice_is_not_estimable() -> None:
    rows: list[list[Value | None]] = [[1, None], [None, 2], [0, None], [None, 1]]
    found = percent_agreement(Ratings.from_table(rows, categories=[0, 1, 2]))
    assert found.value is None
    assert found.undefined == (
        "Percent agreement is not estimable: no unit was rated by two or more observers."
    )


@given(any_table())
def test_it_is_the_diagonal_over_all(table: Table) -> None:
    found = percent_agreement(ratings_of(table))
    agreeing = sum(table[place][place] for place in range(len(table)))
    assert found.value == agreeing / sum(map(sum, table))
    assert f"Agreeing pairs: {agreeing} of {found.used}." in found.notes
