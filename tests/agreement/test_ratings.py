"""Ratings: what is missing, what is left out, whose order of categories holds."""

from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given

from observe.agreement import Ratings
from observe.agreement.ratings import Value, number
from observe.domain.troubles import BadInput, Refused
from tests.agreement.tables import gappy, gwet_four


def test_missing_is_not_a_category() -> None:
    ratings = Ratings.from_table([["done", None], ["done", "not done"]])
    assert ratings.categories == ("done", "not done")
    assert (ratings.units, ratings.rated, ratings.shared) == (2, 2, 1)


def test_who_is_left_out_and_why() -> None:
    rows: list[list[Value | None]] = [
        ["a", "b", None],
        ["a", None, None],
        [None, "a", None],
        [None, None, None],
    ]
    ratings = Ratings.from_table(rows, categories=["a", "b"])
    assert ratings.observers == ("observer 1", "observer 2")
    assert ratings.remarks(single_used=False) == (
        "Left out: observer 3, who rated nothing.",
        "2 units are left out: rated by one observer only (2, 3).",
        "1 unit is left out: rated by nobody (4).",
    )
    assert "rated by one observer only" not in " ".join(ratings.remarks(single_used=True))


def test_declared_categories_stay_even_unused() -> None:
    ratings = Ratings.from_table([["done", "done"]], categories=["not done", "done", "incorrect"])
    assert ratings.categories == ("not done", "done", "incorrect")
    assert ratings.table().tolist() == [[0, 0, 0], [0, 1, 0], [0, 0, 0]]
    assert ratings.remarks(single_used=False) == ()


def test_undeclared_categories_are_said_to_come_from_the_ratings() -> None:
    ratings = Ratings.from_table([["b", "a"], [10, 9]])
    assert ratings.categories == (9, 10, "a", "b")
    assert ratings.remarks(single_used=False) == (
        "Categories taken from the ratings, not declared: 9, 10, a, b.",
    )


def test_numbers_in_text_have_their_own_order_but_words_have_none() -> None:
    ratings = Ratings.from_table([["10", "9"]], scale="ordinal")
    assert ratings.categories == ("9", "10")
    with pytest.raises(BadInput, match="order of these categories is not known: done, not done"):
        Ratings.from_table([["done", "not done"]], scale="ordinal")


def test_an_interval_scale_takes_numbers_only() -> None:
    ratings = Ratings.from_table([[1, Decimal("2.5")], [Fraction(1, 3), 0.5]], scale="interval")
    assert ratings.categories == (Fraction(1, 3), 0.5, 1, Decimal("2.5"))
    with pytest.raises(BadInput, match="interval scale needs numbers; found good"):
        Ratings.from_table([["good", "3"]], scale="interval")


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ([[1, 2], [1]], "Row 2 has 1 ratings where the first has 2"),
        ([[1, float("nan")]], "not a number"),
        ([[1, float("inf")]], "not a number"),
        ([[1, Decimal("NaN")]], "not a number"),
    ],
)
def test_a_table_that_cannot_be_one(rows: list[list[Value | None]], sentence: str) -> None:
    with pytest.raises(BadInput, match=sentence):
        Ratings.from_table(rows)


def test_arguments_that_contradict() -> None:
    with pytest.raises(BadInput, match="no scale 'metric'"):
        Ratings.from_table([[1, 2]], scale="metric")
    with pytest.raises(BadInput, match="declared twice"):
        Ratings.from_table([[1, 2]], categories=[1, 1, 2])
    with pytest.raises(BadInput, match="Not among the declared categories: 3"):
        Ratings.from_table([[1, 3]], categories=[1, 2])
    with pytest.raises(BadInput, match="1 names for 2 columns, or a name twice"):
        Ratings.from_table([[1, 2]], observers=["A"])


def test_an_observer_rates_a_unit_once() -> None:
    with pytest.raises(BadInput, match="A rated unit u1 twice"):
        Ratings.from_long([("u1", "A", 1), ("u1", "A", 2)])


def test_pairs_need_two_observers() -> None:
    with pytest.raises(Refused, match="exactly two observers; there are 4"):
        _ = gwet_four().pairs


def test_pairs_follow_the_units_whatever_the_order_of_rows() -> None:
    rows: list[tuple[str, str, Value | None]] = [
        ("u1", "A", "x"),
        ("u2", "B", "y"),
        ("u2", "A", "x"),
        ("u3", "B", "x"),
        ("u1", "B", "y"),
    ]
    assert Ratings.from_long(rows, categories=["x", "y"]).table().tolist() == [[0, 2], [0, 0]]


def test_units_and_observers_have_names() -> None:
    rows: list[list[Value | None]] = [[1, 2], [None, 1]]
    ratings = Ratings.from_table(rows, observers=["A", "B"], units=["Ada", "Ben"])
    assert (ratings.observers, ratings.unit_names) == (("A", "B"), ("Ada", "Ben"))
    assert ratings.dropped(single_used=False) == (
        "1 unit is left out: rated by one observer only (Ben).",
    )
    with pytest.raises(BadInput, match="2 names for 2 rows, or a name twice"):
        Ratings.from_table(rows, units=["Ada", "Ada"])


def test_many_left_out_are_counted_and_some_named() -> None:
    rows: list[list[Value | None]] = [[1, None] for _ in range(7)]
    rows.append([1, 1])
    (said,) = Ratings.from_table(rows, categories=[1, 2]).dropped(single_used=False)
    assert said == "7 units are left out: rated by one observer only (1, 2, 3, 4, 5 and others)."


@given(gappy())
def test_places_make_the_same_ratings(rows: list[list[int | None]]) -> None:
    table = Ratings.from_table(rows, categories=[0, 1, 2])
    codes = np.array([[-1 if v is None else v for v in row] for row in rows])
    coded = Ratings.from_codes(codes, [0, 1, 2])
    assert sorted(coded.observers) == sorted(table.observers)
    assert sorted(coded.silent) == sorted(table.silent)
    assert (coded.units, coded.unit_names) == (table.units, table.unit_names)
    spoke = codes[:, (codes >= 0).any(axis=0)]
    assert coded.codes.tolist() == spoke.tolist()
    packed = coded.packed
    assert packed.shape == (len(rows), max(coded.per_unit))
    for mine, row in zip(packed.tolist(), rows, strict=True):
        assert sorted(v for v in mine if v >= 0) == sorted(v for v in row if v is not None)
    with pytest.raises(BadInput, match="not one of the 2 categories"):
        Ratings.from_codes(np.array([[2]]), ["a", "b"])


def test_a_number_is_the_same_category_as_text() -> None:
    ratings = Ratings.from_table([["1", 2.0], [Decimal("2.0"), 1]], categories=[1, 2])
    assert ratings.codes.tolist() == [[0, 1], [1, 0]]


def test_whose_units_they_are() -> None:
    ratings = Ratings.from_table([[1, 2]] * 3, units=["u1", "u2", "u3"])
    assert ratings.cluster is None
    together = ratings.clustered_by({"u1": "Ada", "u2": "Ben", "u3": "Ada"})
    assert together.clusters == ("Ada", "Ben", "Ada")
    assert together.cluster is not None
    assert together.cluster.tolist() == [0, 1, 0]
    with pytest.raises(BadInput, match="not said whose these units are: u2, u3"):
        ratings.clustered_by({"u1": "Ada", "u3": ""})


def test_a_ratio_scale_takes_numbers_only() -> None:
    assert Ratings.from_table([[0, -2]], scale="ratio").categories == (-2, 0)
    with pytest.raises(BadInput, match="A ratio scale needs numbers; found good"):
        Ratings.from_table([["good", 3]], scale="ratio")


def test_an_empty_table_is_a_table() -> None:
    ratings = Ratings.from_table([])
    assert (ratings.units, ratings.rated, ratings.shared) == (0, 0, 0)


@pytest.mark.parametrize(
    ("value", "size"),
    [
        ("1.50", Fraction(3, 2)),
        (0.1, Fraction(1, 10)),
        (1e-9, Fraction(1, 10**9)),
        (0.1 + 0.2, Fraction(30000000000000004, 10**17)),
        ("2.5e3", Fraction(2500)),
        (3, Fraction(3)),
        ("1e999999999", None),
        ("1/2", None),
        ("٣", None),
        ("", None),
    ],
)
def test_a_plain_number_is_exact(value: Value, size: Fraction | None) -> None:
    assert number(value) == size


@given(gappy())
def test_long_and_wide_are_the_same_table(rows: list[list[int | None]]) -> None:
    wide = Ratings.from_table(rows, categories=[0, 1, 2])
    long = Ratings.from_long(
        [
            (str(unit), f"observer {who + 1}", row[who])
            for unit, row in enumerate(rows)
            for who in range(len(row))
        ],
        categories=[0, 1, 2],
    )
    assert wide.observers == long.observers
    assert wide.per_unit.tolist() == long.per_unit.tolist()
    assert wide.code.tolist() == long.code.tolist()
    assert sum(wide.per_unit) == sum(value is not None for row in rows for value in row)
