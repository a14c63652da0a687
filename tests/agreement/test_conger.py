"""Conger's kappa: what it is of two observers, and a package on random tables."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings

from observe.agreement import Ratings, cohen_kappa, conger_kappa
from observe.agreement.ratings import Value, Whole
from tests.agreement.peers import irrcac, ratings_of_codes, same_as, tables
from tests.agreement.tables import Table, any_table, gwet_four, gwet_two, ratings_of


@given(any_table())
def test_of_two_observers_without_gaps_it_is_cohens_kappa(table: Table) -> None:
    ratings = ratings_of(table)
    one, other = conger_kappa(ratings), cohen_kappa(ratings)
    assert (one.value is None) == (other.value is None)
    if one.value is not None:
        assert one.value == pytest.approx(other.value, abs=1e-12)


def test_four_observers_with_gaps() -> None:
    """Gwet (2014), cac.raw4raters; value and error of irrCAC 0.4.4."""
    found = conger_kappa(gwet_four())
    assert found.value == pytest.approx(0.76207, abs=5e-6)
    assert found.details["standard error"] == pytest.approx(0.15011, abs=5e-6)
    assert (found.units, found.used, found.observers) == (12, 12, 4)


def test_with_gaps_each_observer_keeps_all_of_their_shares() -> None:
    one, other = conger_kappa(gwet_two()), cohen_kappa(gwet_two())
    assert one.value != pytest.approx(other.value, abs=1e-4)
    assert one.notes[0].startswith("Agreement comes from units rated twice or more (10);")


@given(tables(gaps=False))
def test_chance_is_the_mean_of_all_pairs_of_observers(table: tuple[Whole, int]) -> None:
    codes, q = table
    found = conger_kappa(ratings_of_codes(codes, q))
    if found.value is None:
        return
    shares = [np.bincount(column, minlength=q) / len(column) for column in codes.T]
    chance = [float(a @ b) for a, b in combinations(shares, 2)]
    assert found.details["chance agreement"] == pytest.approx(sum(chance) / len(chance))


@settings(max_examples=500)
@given(tables())
def test_a_package_agrees_with_its_interval(table: tuple[Whole, int]) -> None:
    """irrCAC 0.4.4, which has no answer where an observer gave no rating."""
    codes, q = table
    codes = codes[:, (codes >= 0).any(axis=0)]
    for weights in ("identity", "quadratic", "linear"):
        own = "unweighted" if weights == "identity" else weights
        found = conger_kappa(ratings_of_codes(codes, q), weights=own)
        if found.value is not None and found.details["standard error"]:
            same_as(found, irrcac(codes, q, "conger", weights))


@given(tables())
def test_the_order_of_observers_does_not_matter(table: tuple[Whole, int]) -> None:
    codes, q = table
    one, other = (conger_kappa(ratings_of_codes(c, q)) for c in (codes, codes[:, ::-1]))
    assert one.value == pytest.approx(other.value, abs=1e-12)
    assert one.low == pytest.approx(other.low, abs=1e-9)


def test_what_it_cannot_say() -> None:
    same = conger_kappa(Ratings.from_table([[1, 1, 1]] * 12, categories=[0, 1]))
    assert "every rating is the same" in (same.undefined or "")
    rows: list[list[Value | None]] = [[1, None], [None, 1]]
    assert "no unit was rated" in (conger_kappa(Ratings.from_table(rows)).undefined or "")
    nominal = conger_kappa(gwet_four(), weights="linear")
    assert "weights need an order" in (nominal.undefined or "")


def test_too_many_observers_and_categories_is_a_sentence() -> None:
    rows: list[tuple[str, str, Value | None]] = [
        (f"u{unit}", f"observer {2 * unit + who}", unit) for unit in range(5000) for who in range(2)
    ]
    found = conger_kappa(Ratings.from_long(rows))
    assert "more than are computed" in (found.undefined or "")
