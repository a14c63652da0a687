"""Ratings: what is missing, what is left out, whose order of categories holds."""

from decimal import Decimal
from fractions import Fraction

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


def test_an_empty_table_is_a_table() -> None:
    ratings = Ratings.from_table([])
    assert (ratings.units, ratings.rated, ratings.shared) == (0, 0, 0)


@pytest.mark.parametrize(
    ("value", "size"),
    [
        ("1.50", Fraction(3, 2)),
        (0.1, Fraction(1, 10)),
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
