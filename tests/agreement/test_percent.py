"""Percent agreement and specific agreement."""

import pytest
from hypothesis import given

from observe.agreement import Ratings, percent_agreement
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


def test_units_rated_once_are_left_out() -> None:
    """Gwet (2021), cac.raw2raters; the error is that of R irrCAC 1.4, the interval exact."""
    found = percent_agreement(gwet_two())
    assert found.value == 0.8
    assert found.details["standard error"] == pytest.approx(0.1705605731, abs=1e-9)
    assert (found.units, found.used) == (12, 10)
    assert "2 units are left out: rated by one observer only (9, 11)." in found.notes


@pytest.mark.parametrize(
    ("weights", "value", "error"),
    [
        ("unweighted", 0.8181818182, 0.1256089599),
        ("linear", 0.9393939394, 0.09367910264),
        ("quadratic", 0.9753787879, 0.09061627832),
        ("ordinal", 0.9681818182, 0.09085742333),
    ],
)
def test_more_ratings_per_unit_are_averaged_over_units(
    weights: str, value: float, error: float
) -> None:
    """Gwet (2014), cac.raw4raters of R irrCAC 1.4, which prints .818 unweighted."""
    found = percent_agreement(gwet_four("ordinal"), weights=weights)
    assert found.value == pytest.approx(value, abs=1e-9)
    assert found.details["standard error"] == pytest.approx(error, abs=1e-9)
    assert found.form.endswith("pairs of observers, averaged over units")
    assert found.interval is not None
    assert "Gwet (2014)" in found.interval
    assert 0 <= (found.low or 0) <= value <= (found.high or 0) <= 1


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
