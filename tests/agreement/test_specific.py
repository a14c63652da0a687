"""Specific agreement: published tables, its exact interval, more than two observers."""

from itertools import permutations

import pytest
from hypothesis import given

from observe.agreement import Ratings, percent_agreement, specific_agreement
from observe.agreement.intervals import exact
from observe.agreement.ratings import Value
from tests.agreement.tables import Table, any_table, gappy, gwet_four, ratings_of


@pytest.mark.parametrize(
    ("table", "first", "second"),
    [
        ([[80, 10], [5, 5]], 0.91429, 0.40),
        ([[40, 9], [6, 45]], 0.84211, 0.85714),
        ([[46, 2], [2, 0]], 0.95833, 0.0),
        ([[22, 2], [4, 11]], 0.88, 0.78571),
        ([[0, 0], [3, 9]], 0.0, 0.85714),
    ],
)
def test_two_observers(table: Table, first: float, second: float) -> None:
    """Tables of Feinstein & Cicchetti (1990) and Sim & Wright (2005)."""
    found = specific_agreement(ratings_of(table))
    values = [one.value for one in found.values()]
    assert values == pytest.approx([first, second], abs=5e-6)
    assert [one.form for one in found.values()] == ["0", "1"]


@given(any_table())
def test_the_interval_is_that_of_agreement_among_users(table: Table) -> None:
    q = len(table)
    for k, found in enumerate(specific_agreement(ratings_of(table)).values()):
        both = table[k][k]
        users = sum(table[k]) + sum(table[j][k] for j in range(q)) - both
        if not users:
            assert "nobody used" in (found.undefined or "")
            continue
        assert found.value == pytest.approx(2 * both / (users + both))
        limits = [2 * x / (1 + x) for x in exact(both, users, 0.95)]
        assert [found.low, found.high] == pytest.approx(limits)


@given(gappy())
def test_any_number_of_observers_by_counting_pairs(rows: list[list[int | None]]) -> None:
    found = specific_agreement(Ratings.from_table(rows, categories=[0, 1, 2]))
    pairs = [pair for row in rows for pair in permutations([v for v in row if v is not None], 2)]
    for k in (0, 1, 2):
        used = [b for a, b in pairs if a == k]
        if used:
            assert found[k].value == pytest.approx(used.count(k) / len(used))
        else:
            assert found[k].value is None


def test_more_observers_get_an_interval_from_the_spread_between_units() -> None:
    found = specific_agreement(gwet_four())[1]
    assert found.interval is not None
    assert found.interval.startswith("ratio of sums over units, linearised")
    assert 0 <= (found.low or 0) < (found.value or 0) < (found.high or 0) <= 1


def test_the_sentence_stands_beside_percent_agreement() -> None:
    ratings = ratings_of([[0, 0], [0, 12]], categories=["not done", "done"])
    note = percent_agreement(ratings).note
    assert "Specific agreement, not done: never used; done: 100.0 %." in note


def test_nothing_shared_is_a_reason() -> None:
    rows: list[list[Value | None]] = [[1, None], [None, 2]]
    for found in specific_agreement(Ratings.from_table(rows)).values():
        assert "no unit was rated by two" in (found.undefined or "")


def test_more_categories_than_anybody_reads() -> None:
    ratings = Ratings.from_table([[1, 2]], categories=list(range(1001)))
    found = specific_agreement(ratings)
    assert "1,001 categories, more than 1,000" in (found[1].undefined or "")


def test_units_of_one_learner_widen_it() -> None:
    ratings = ratings_of([[30, 6], [2, 30]])
    owner = {name: f"learner {int(name) // 4}" for name in ratings.unit_names}
    alone, together = (specific_agreement(r)[0] for r in (ratings, ratings.clustered_by(owner)))
    assert alone.value == together.value
    assert together.clusters == 18
    assert together.interval != alone.interval
