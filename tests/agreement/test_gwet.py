"""Scott's pi, Fleiss' kappa, Brennan-Prediger and AC1 against printed and package values."""

from collections import Counter
from collections.abc import Callable
from math import sqrt

import numpy as np
import pytest
from hypothesis import given, settings

from observe.agreement import (
    Estimate,
    Ratings,
    brennan_prediger,
    fleiss_kappa,
    gwet_ac1,
    gwet_ac2,
    scott_pi,
)
from observe.agreement.gwet import of_many
from observe.agreement.intervals import student
from observe.agreement.panel import estimates
from observe.agreement.ratings import Value, Whole
from observe.domain.troubles import BadInput
from tests.agreement.peers import irrcac, ratings_of_codes, same_as, tables
from tests.agreement.tables import (
    Table,
    any_table,
    gappy,
    gwet_four,
    gwet_two,
    ratings_of,
    ratings_of_counts,
)

Coefficient = Callable[[Ratings], Estimate]
TWO: tuple[Coefficient, ...] = (gwet_ac1, brennan_prediger)
BY_SHARES: tuple[Coefficient, ...] = (scott_pi, fleiss_kappa)

# Fleiss JL (1971), Psychological Bulletin 76:378-382, table 1: 30 patients, 6 psychiatrists.
FLEISS_1971 = [
    [0, 0, 0, 6, 0],
    [0, 3, 0, 0, 3],
    [0, 1, 4, 0, 1],
    [0, 0, 0, 0, 6],
    [0, 3, 0, 3, 0],
    [2, 0, 4, 0, 0],
    [0, 0, 4, 0, 2],
    [2, 0, 3, 1, 0],
    [2, 0, 0, 4, 0],
    [0, 0, 0, 0, 6],
    [1, 0, 0, 5, 0],
    [1, 1, 0, 4, 0],
    [0, 3, 3, 0, 0],
    [1, 0, 0, 5, 0],
    [0, 2, 0, 3, 1],
    [0, 0, 5, 0, 1],
    [3, 0, 0, 1, 2],
    [5, 1, 0, 0, 0],
    [0, 2, 0, 4, 0],
    [1, 0, 2, 0, 3],
    [0, 0, 0, 0, 6],
    [0, 1, 0, 5, 0],
    [0, 2, 0, 1, 3],
    [2, 0, 0, 4, 0],
    [1, 0, 0, 4, 1],
    [0, 5, 0, 1, 0],
    [4, 0, 0, 0, 2],
    [0, 2, 0, 4, 0],
    [1, 0, 5, 0, 0],
    [0, 0, 0, 0, 6],
]

TEN_BY_FOURTEEN = [
    [0, 0, 0, 0, 14],
    [0, 2, 6, 4, 2],
    [0, 0, 3, 5, 6],
    [0, 3, 9, 2, 0],
    [2, 2, 8, 1, 1],
    [7, 7, 0, 0, 0],
    [3, 2, 6, 3, 0],
    [2, 5, 3, 2, 2],
    [6, 5, 2, 1, 0],
    [0, 2, 2, 3, 7],
]


def test_fleiss_own_table_prints_430() -> None:
    """Fleiss (1971): kappa .430; R irr 0.84.1 and statsmodels: .4302445201."""
    found = fleiss_kappa(ratings_of_counts(FLEISS_1971))
    assert found.value == pytest.approx(0.4302445201, abs=1e-10)
    assert found.form == "unweighted"
    assert (found.units, found.used, found.observers) == (30, 30, 6)


def test_fourteen_observers_of_ten_units() -> None:
    """A well-known worked example: P .378, Pe .213, kappa .210."""
    found = fleiss_kappa(ratings_of_counts(TEN_BY_FOURTEEN))
    assert found.value == pytest.approx(0.2099307044, abs=1e-10)


@pytest.mark.parametrize(
    ("coefficient", "value", "low", "high"),
    [
        (gwet_ac1, 0.4448007329, 0.2642363604, 0.6253651054),
        (fleiss_kappa, 0.413926499, 0.2397850282, 0.5880679698),
        (brennan_prediger, 0.4388888889, 0.2606111659, 0.6171666119),
    ],
)
def test_six_observers_of_fifteen_units(
    coefficient: Coefficient, value: float, low: float, high: float
) -> None:
    """The first half of Fleiss' table, distrib.6raters of R irrCAC 1.4."""
    found = coefficient(ratings_of_counts(FLEISS_1971[:15]))
    assert (found.value, found.low, found.high) == pytest.approx((value, low, high), abs=1e-9)


@pytest.mark.parametrize(
    ("coefficient", "value", "low"),
    [
        pytest.param(gwet_ac1, 0.7754440681, 0.4608133481, id="AC1, printed .775"),
        pytest.param(fleiss_kappa, 0.7611692754, 0.4243762794, id="generalised pi"),
        pytest.param(brennan_prediger, 0.7727272727, 0.4542081399, id="Brennan-Prediger"),
    ],
)
def test_four_observers_with_gaps(coefficient: Coefficient, value: float, low: float) -> None:
    """Gwet (2014), cac.raw4raters; values of R irrCAC 1.4; upper limits cut at 1."""
    found = coefficient(gwet_four())
    assert (found.value, found.low, found.high) == pytest.approx((value, low, 1.0), abs=1e-9)
    assert (found.units, found.used, found.observers) == (12, 12, 4)
    assert found.notes[0].startswith("Agreement comes from units rated twice or more (11); ")
    assert found.notes[0].endswith("all rated (12).")
    assert "left out" not in found.note


@pytest.mark.parametrize(
    ("coefficient", "value", "low"),
    [
        (gwet_ac1, 0.7007792208, 0.2211852569),
        (scott_pi, 0.6984293194, 0.2076301127),
        (fleiss_kappa, 0.6984293194, 0.2076301127),
        (brennan_prediger, 0.7, 0.2168758951),
    ],
)
def test_two_observers_with_gaps(coefficient: Coefficient, value: float, low: float) -> None:
    """Gwet (2021), cac.raw2raters of R irrCAC 1.4: shares from all 12 rated units."""
    found = coefficient(gwet_two())
    assert (found.value, found.low, found.high) == pytest.approx((value, low, 1.0), abs=1e-9)


@pytest.mark.parametrize(
    ("table", "pi", "ac1", "bp"),
    [
        pytest.param(
            [[88, 14, 18], [10, 40, 10], [2, 6, 12]],
            0.4871794872,
            0.5759717314,
            0.55,
            id="Cohen 1960",
        ),
        pytest.param([[40, 9], [6, 45]], 0.6992481203, 0.7007481297, 0.7, id="paradox, even"),
        pytest.param([[80, 10], [5, 5]], 0.3142857143, 0.808, 0.7, id="paradox, skewed"),
        pytest.param(
            [[22, 2], [4, 11]], 0.6657142857, 0.7149817296, 0.6923076923, id="Sim, Wright 2005"
        ),
        pytest.param(
            [[38, 5, 0, 1], [33, 11, 3, 0], [10, 14, 5, 6], [3, 7, 3, 10]],
            0.1782377368,
            0.2577796878,
            0.2393736018,
            id="Winnipeg",
        ),
        pytest.param([[0, 0], [3, 9]], -0.1428571429, 0.68, 0.5, id="one observer constant"),
    ],
)
def test_two_observers_of_published_tables(table: Table, pi: float, ac1: float, bp: float) -> None:
    """Values also given by R irrCAC 1.4."""
    ratings = ratings_of(table)
    assert scott_pi(ratings).value == pytest.approx(pi)
    assert gwet_ac1(ratings).value == pytest.approx(ac1)
    assert brennan_prediger(ratings).value == pytest.approx(bp)


def test_printed_limits_of_two_abstractors() -> None:
    """Gwet (2014), cont3x3abstractors: AC1 .849 (.764, .935); pi .796 (.679, .913).

    Printed from the formula for tables, which divides by n = 100; that for ratings
    divides by n - 1.
    """
    ratings = ratings_of([[13, 0, 0], [0, 20, 7], [0, 4, 56]])
    both: list[tuple[Estimate, tuple[float, float, float]]] = [
        (gwet_ac1(ratings), (0.849, 0.764, 0.935)),
        (scott_pi(ratings), (0.796, 0.679, 0.913)),
    ]
    for found, printed in both:
        assert found.value is not None
        assert found.low is not None
        half = (found.value - found.low) * sqrt(99 / 100)
        limits = (found.value, found.value - half, found.value + half)
        assert tuple(round(x, 3) for x in limits) == printed


@pytest.mark.parametrize(
    ("coefficient", "weights", "value", "error", "low"),
    [
        (gwet_ac2, "quadratic", 0.9140007236, 0.1039622446, 0.6851813659),
        (gwet_ac2, "linear", 0.8587391364, 0.1173290219, 0.6004997004),
        (gwet_ac2, "ordinal", 0.8989397699, 0.1069035238, 0.6636467004),
        (fleiss_kappa, "quadratic", 0.8649350649, 0.1460336108, 0.5435172548),
        (fleiss_kappa, "linear", 0.8179447671, 0.1485043555, 0.4910888844),
        (fleiss_kappa, "ordinal", 0.8502061894, 0.1470356939, 0.5265828092),
        (brennan_prediger, "quadratic", 0.9015151515, 0.110894375, 0.6574382779),
        (brennan_prediger, "linear", 0.8484848485, 0.1233561245, 0.5769798491),
        (brennan_prediger, "ordinal", 0.8863636364, 0.113905904, 0.6356584321),
    ],
)
def test_weights_over_four_observers_with_gaps(
    coefficient: Callable[..., Estimate], weights: str, value: float, error: float, low: float
) -> None:
    """Gwet (2014), cac.raw4raters; values of R irrCAC 1.4."""
    found = coefficient(gwet_four("ordinal"), weights=weights)
    assert found.value == pytest.approx(value, abs=1e-9)
    assert found.details["standard error"] == pytest.approx(error, abs=1e-9)
    assert (found.low, found.high) == pytest.approx((low, 1.0), abs=1e-9)


@settings(max_examples=500)
@given(tables())
def test_a_package_agrees_with_its_intervals(table: tuple[Whole, int]) -> None:
    """irrCAC 0.4.4: four weights, three coefficients."""
    codes, q = table
    ratings = ratings_of_codes(codes, q)
    methods = (("gwet", gwet_ac2), ("fleiss", fleiss_kappa), ("bp", brennan_prediger))
    for weights in ("identity", "quadratic", "linear", "ordinal"):
        own = "unweighted" if weights == "identity" else weights
        for method, coefficient in methods:
            found = coefficient(ratings, weights=own)
            if found.value is not None and found.details["standard error"]:
                same_as(found, irrcac(codes, q, method, weights))


def test_without_weights_ac2_is_ac1() -> None:
    one, other = gwet_ac1(gwet_four()), gwet_ac2(gwet_four(), weights="unweighted")
    assert (one.value, one.low) == (other.value, other.low)
    assert "weights need an order" in (gwet_ac2(gwet_four()).undefined or "")


def test_declared_categories_set_the_chance_of_brennan_prediger_and_ac1() -> None:
    table = [[10, 2], [1, 8]]
    three = ratings_of([[10, 2, 0], [1, 8, 0], [0, 0, 0]])
    assert (brennan_prediger(three).value or 0) > (brennan_prediger(ratings_of(table)).value or 0)
    assert (gwet_ac1(three).value or 0) > (gwet_ac1(ratings_of(table)).value or 0)


def test_every_rating_the_same_has_no_pi_but_full_ac1_of_declared_categories() -> None:
    ratings = ratings_of([[0, 0, 0], [0, 0, 0], [0, 0, 12]])
    for coefficient in BY_SHARES:
        assert "every rating is the same" in (coefficient(ratings).undefined or "")
    for coefficient in TWO:
        found = coefficient(ratings)
        assert found.value == 1.0
        assert found.low is None
        assert "standard error is 0 in this sample at perfect agreement" in found.note


def test_every_rating_the_same_and_nothing_declared_has_none_of_them() -> None:
    ratings = Ratings.from_table([["done", "done"]] * 12)
    for coefficient in TWO:
        assert "declare all the categories" in (coefficient(ratings).undefined or "")


def test_nothing_rated_twice_is_not_estimable() -> None:
    rows: list[list[Value | None]] = [[1, None], [None, 2], [0, None], [None, 1]]
    ratings = Ratings.from_table(rows, categories=[0, 1, 2])
    for coefficient in (scott_pi, fleiss_kappa, brennan_prediger, gwet_ac1):
        assert "no unit was rated by two or more observers" in (
            coefficient(ratings).undefined or ""
        )


def test_units_rated_by_nobody_change_nothing_and_are_said() -> None:
    rows: list[list[Value | None]] = [[1, 1], [1, 2], [2, 2], [None, None]]
    with_empty = Ratings.from_table(rows, categories=[1, 2])
    without = Ratings.from_table(rows[:3], categories=[1, 2])
    assert gwet_ac1(with_empty).value == gwet_ac1(without).value
    assert "1 unit is left out: rated by nobody (4)." in gwet_ac1(with_empty).notes


def test_scotts_pi_is_of_two_observers() -> None:
    assert "compares two observers, and there are 4" in (scott_pi(gwet_four()).undefined or "")


def test_under_ten_units_a2_gives_a_point() -> None:
    found = gwet_ac1(ratings_of([[4, 1], [1, 3]]))
    assert found.value is not None
    assert found.low is None
    assert "95 % interval not given: n = 9 pairs, fewer than 10." in found.notes


def ac1_slowly(rows: list[list[int | None]]) -> tuple[float, float]:
    """AC1 and its standard error unit by unit, from Gwet (2014), chapter 5."""
    units = [[v for v in row if v is not None] for row in rows]
    units = [row for row in units if row]
    n, q = len(units), 3
    paired = sum(len(row) >= 2 for row in units)
    pi = [sum(row.count(k) / len(row) for row in units) / n for k in range(q)]
    pe = sum(p * (1 - p) for p in pi) / (q - 1)
    agree = []
    for row in units:
        r = len(row)
        count = Counter(row)
        agree.append(sum(c * (c - 1) for c in count.values()) / (r * (r - 1)) if r > 1 else None)
    pa = sum(a for a in agree if a is not None) / paired
    value = (pa - pe) / (1 - pe)
    total = 0.0
    for row, share in zip(units, agree, strict=True):
        own = 0.0 if share is None else n / paired * (share - pe) / (1 - pe)
        chance = sum(row.count(k) / len(row) * (1 - pi[k]) for k in range(q)) / (q - 1)
        total += (own - 2 * (1 - value) * (chance - pe) / (1 - pe) - value) ** 2
    return value, sqrt(total / n / (n - 1)) if n > 1 else 0.0


@given(gappy())
def test_agrees_with_unit_by_unit_arithmetic(rows: list[list[int | None]]) -> None:
    found = gwet_ac1(Ratings.from_table(rows, categories=[0, 1, 2]))
    value, error = ac1_slowly(rows)
    assert found.value == pytest.approx(value)
    if found.low is not None:
        limits = student(value, error, found.used - 1, 0.95)
        assert (found.low, found.high) == pytest.approx(limits)


@given(gappy())
def test_the_order_of_observers_does_not_matter(rows: list[list[int | None]]) -> None:
    turned = [row[::-1] for row in rows]
    for coefficient in (fleiss_kappa, brennan_prediger, gwet_ac1):
        one, other = (
            coefficient(Ratings.from_table(r, categories=[0, 1, 2])) for r in (rows, turned)
        )
        assert one.value == pytest.approx(other.value, abs=1e-12)


@given(any_table())
def test_the_names_of_categories_do_not_matter(table: Table) -> None:
    names = [f"name {place}" for place in reversed(range(len(table)))]
    for coefficient in (scott_pi, fleiss_kappa, brennan_prediger, gwet_ac1):
        one, other = (coefficient(ratings_of(table, categories=c)) for c in (None, names))
        assert one.value == pytest.approx(other.value, abs=1e-12)


@given(any_table())
def test_two_observers_without_gaps_fleiss_is_scott(table: Table) -> None:
    ratings = ratings_of(table)
    assert fleiss_kappa(ratings).value == scott_pi(ratings).value


@given(any_table())
def test_every_unit_twice_leaves_the_value(table: Table) -> None:
    doubled = [[2 * count for count in row] for row in table]
    for coefficient in (scott_pi, brennan_prediger, gwet_ac1):
        one, other = coefficient(ratings_of(table)), coefficient(ratings_of(doubled))
        assert one.value == pytest.approx(other.value, abs=1e-12)


# many tables at once


@pytest.mark.parametrize("name", ["gwet_ac1", "brennan_prediger", "fleiss_kappa"])
def test_many_tables_at_once_say_what_each_says_alone(name: str) -> None:
    draw = np.random.default_rng(12)
    tables = []
    for number in range(12):
        q, units = (2, 40) if number % 3 else (3, 25)
        codes = draw.integers(0, q, (units, 3))
        if number % 4 == 0:
            codes = np.where(draw.random(codes.shape) < 0.2, -1, codes)
        tables.append(ratings_of_codes(codes, q, "nominal"))
    tables.append(ratings_of_codes(np.zeros((20, 2), dtype=np.int64), 2, "nominal"))
    tables.append(ratings_of_codes(np.array([[0, -1], [-1, 1]]), 2, "nominal"))
    tables.append(tables[0].clustered_by({one: f"l{one}"[:2] for one in tables[0].unit_names}))
    for one, found in zip(tables, of_many(tables, name), strict=True):
        (alone,) = estimates(one, [name])
        if one.clusters is not None:
            assert found.value == alone.value
            continue
        assert found.value == pytest.approx(alone.value)
        assert found.low == pytest.approx(alone.low)
        assert (found.undefined, found.notes, found.form) == (
            alone.undefined,
            alone.notes,
            alone.form,
        )


def test_another_coefficient_of_many_is_told() -> None:
    with pytest.raises(BadInput, match="Not of many"):
        of_many([], "cohen_kappa")
