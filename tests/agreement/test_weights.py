"""Distances between categories: by name, by a square of one's own, by value."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.agreement import Ratings
from observe.agreement.weights import NAMES, Distance, distance, places, positioned, squares
from observe.domain.troubles import BadInput

FOUR = Ratings.from_table([[1, 2]], scale="ordinal", categories=[1, 2, 3, 4])


def square(found: Distance) -> list[list[float]]:
    rows: list[list[float]] = found.block(0, found.q).tolist()
    return rows


def test_named_weights_of_four_categories() -> None:
    """Gwet (2014), chapter 3, as weights of agreement: 1 less these."""
    assert square(distance(FOUR))[0] == [0, 1, 1, 1]
    assert square(distance(FOUR, "linear"))[0] == pytest.approx([0, 1 / 3, 2 / 3, 1])
    assert square(distance(FOUR, "quadratic"))[0] == pytest.approx([0, 1 / 9, 4 / 9, 1])
    assert square(distance(FOUR, "ordinal"))[0] == pytest.approx([0, 1 / 6, 1 / 2, 1])
    assert square(distance(FOUR, "radical"))[0] == pytest.approx([0, 3**-0.5, (2 / 3) ** 0.5, 1])


@given(st.sampled_from(sorted(NAMES)), st.integers(2, 7), st.randoms())
def test_across_is_the_square_times_the_shares(name: str, q: int, luck: object) -> None:
    del luck
    ratings = Ratings.from_table([[0, 1]], scale="ordinal", categories=list(range(q)))
    found = distance(ratings, name)
    shares = np.random.default_rng(q).dirichlet(np.ones(q), 3)
    assert found.across(shares) == pytest.approx(shares @ np.array(square(found)).T)
    assert found.mean == pytest.approx(np.mean(square(found)))
    first, second = np.meshgrid(np.arange(q), np.arange(q), indexing="ij")
    assert found.between(first[None], second[None])[0] == pytest.approx(np.array(square(found)))


def test_own_weights_of_disagreement_and_of_agreement_are_the_same() -> None:
    three = Ratings.from_table([[1, 2]], categories=[1, 2, 3])
    apart = distance(three, [[0, 1, 3], [1, 0, 6], [3, 6, 0]])
    alike = distance(three, [[1, 5 / 6, 0.5], [5 / 6, 1, 0], [0.5, 0, 1]])
    assert square(apart) == pytest.approx(np.array(square(alike)))
    assert apart.form == "custom"
    assert apart.symmetric


def test_direction_counts_until_observers_have_no_order() -> None:
    three = Ratings.from_table([[1, 2]], categories=[1, 2, 3])
    found = distance(three, [[0, 1, 4], [1, 0, 6], [2, 2, 0]])
    assert not found.symmetric
    assert square(found)[0][2] == pytest.approx(4 / 6)
    assert square(found.both_ways())[0][2] == square(found.both_ways())[2][0] == pytest.approx(0.5)
    shares = np.array([[0.2, 0.3, 0.5]])
    whole = np.array(square(found))
    assert found.across(shares) == pytest.approx(shares @ whole.T)
    assert found.across(shares, turned=True) == pytest.approx(shares @ whole)


@pytest.mark.parametrize(
    ("weights", "sentence"),
    [
        ("cubic", "no weights 'cubic'"),
        ([[0, 1], [1, 0]], "no square of 3 by 3"),
        ([[0, 1, 1], [1, 0], [1, 1, 0]], "no square of 3 by 3"),
        ([[0, -1, 1], [1, 0, 1], [1, 1, 0]], "negative, or no number"),
        ([[0, float("nan"), 1], [1, 0, 1], [1, 1, 0]], "negative, or no number"),
        ([[0, 1, 1], [1, 2, 1], [1, 1, 0]], "diagonal is neither"),
        ([[1, 2, 0], [0, 1, 0], [0, 0, 1]], "diagonal is neither"),
        ([[0, 0, 0]] * 3, "All weights are the same"),
        ([[1, 1, 1]] * 3, "All weights are the same"),
    ],
)
def test_weights_that_cannot_be(weights: str | list[list[float]], sentence: str) -> None:
    with pytest.raises(BadInput, match=sentence):
        distance(Ratings.from_table([[1, 2]], scale="ordinal", categories=[1, 2, 3]), weights)


def test_a_nominal_scale_has_no_order_to_weigh() -> None:
    with pytest.raises(BadInput, match="need an order"):
        distance(Ratings.from_table([[1, 2]]), "linear")


def test_very_many_categories_need_no_square() -> None:
    many = Ratings.from_table([[1, 2]], scale="ordinal", categories=list(range(20_000)))
    shares = np.full((1, 20_000), 1 / 20_000)
    for name in ("unweighted", "quadratic"):
        assert np.isfinite(distance(many, name).across(shares)).all()
    with pytest.raises(BadInput, match="up to 1000 categories"):
        distance(many, [[0.0, 1.0], [1.0, 0.0]])


def test_places_are_by_value_from_0_to_1() -> None:
    found = places(["-2", 0, Fraction(1, 2), 8.0])
    assert found.tolist() == pytest.approx([0, 0.2, 0.25, 1])
    assert places([7]).tolist() == [0]
    assert places([10**400, 10**401]).tolist() == [0, 1]


def test_squared_distances_lose_no_digits_far_from_0() -> None:
    place = np.array([1e8, 1e8 + 1, 1e8 + 2])
    shares = np.array([[0.25, 0.5, 0.25]])
    found = positioned("x", place, squares, squared=True).across(shares)
    assert found[0].tolist() == pytest.approx([1.5, 0.5, 1.5], abs=1e-12)
