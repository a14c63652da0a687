"""Kappa against printed results, an obvious re-implementation, and what must not change it."""

from fractions import Fraction
from itertools import product
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sklearn.metrics import cohen_kappa_score
from statsmodels.stats.inter_rater import cohens_kappa as by_statsmodels

from observe.agreement import Ratings, cohen_kappa, weighted_kappa
from observe.agreement.counts import by_margins
from observe.agreement.ratings import Whole
from observe.agreement.weights import distance
from observe.domain.troubles import BadInput
from tests.agreement.peers import ratings_of_codes, tables
from tests.agreement.tables import Table, any_table, gwet_two, ratings_of

COHEN_1960 = [[88, 14, 18], [10, 40, 10], [2, 6, 12]]
FLEISS_COHEN_EVERITT_1969 = [[106, 10, 4], [22, 28, 10], [2, 12, 6]]
# Printed output of a statistics package, carried by the tests of statsmodels 0.15.0.
MEDICAL = [[0, 4, 1], [0, 8, 0], [0, 1, 5]]
FLEISS_TABLE_18_1 = [[75, 1, 4], [5, 4, 1], [0, 0, 10]]
# Feinstein AR, Cicchetti DV (1990), Journal of Clinical Epidemiology 43:543-549.
PARADOX_A = [[40, 9], [6, 45]]
PARADOX_B = [[80, 10], [5, 5]]
# Westlund KB, Kurland LT (1953), American Journal of Hygiene 57:380-396, Winnipeg.
WINNIPEG = [[38, 5, 0, 1], [33, 11, 3, 0], [10, 14, 5, 6], [3, 7, 3, 10]]


def test_cohens_own_example_prints_492() -> None:
    """Cohen J (1960), Educational and Psychological Measurement 20:37-46: kappa .492."""
    found = cohen_kappa(ratings_of(COHEN_1960))
    assert found.value is not None
    assert round(found.value, 3) == 0.492


@pytest.mark.parametrize(
    ("table", "value", "low", "high"),
    [
        pytest.param(COHEN_1960, 0.4915254237, 0.3915637021, 0.5914871454, id="Cohen 1960"),
        pytest.param(
            FLEISS_COHEN_EVERITT_1969,
            0.4285714286,
            0.3232997935,
            0.5338430637,
            id="Fleiss, Cohen, Everitt 1969",
        ),
        pytest.param(
            MEDICAL, 0.4841628959, 0.2136612531, 0.7546645388, id="a category of one only"
        ),
        pytest.param(
            FLEISS_TABLE_18_1,
            0.6764705882,
            0.5045759581,
            0.8483652184,
            id="Fleiss 2003, table 18.1",
        ),
        pytest.param(PARADOX_A, 0.6995192308, 0.5595903408, 0.8394481208, id="paradox, even"),
        pytest.param(PARADOX_B, 0.3181818182, 0.05661184308, 0.5797517933, id="paradox, skewed"),
        pytest.param(
            [[22, 2], [4, 11]], 0.6666666667, 0.4239524206, 0.9093809128, id="Sim, Wright 2005"
        ),
        pytest.param(WINNIPEG, 0.207942464, 0.1090517653, 0.3068331627, id="Winnipeg"),
        pytest.param(
            [[13, 0, 0], [0, 20, 7], [0, 4, 56]],
            0.7964094022,
            0.680946516,
            0.9118722884,
            id="Gwet 2014, two abstractors",
        ),
    ],
)
def test_kappa_and_interval_of_published_tables(
    table: Table, value: float, low: float, high: float
) -> None:
    """Values also given by R (psych 2.2.9, vcd 1.4.11) and statsmodels 0.15.0."""
    found = cohen_kappa(ratings_of(table))
    assert found.value == pytest.approx(value, abs=1e-9)
    assert found.low == pytest.approx(low, abs=1e-8)
    assert found.high == pytest.approx(high, abs=1e-8)
    assert found.used == found.units == sum(map(sum, table))


def test_printed_output_of_the_medical_table() -> None:
    """Printed: kappa 0.4842 (0.2137, 0.7547), linear weighted 0.4701 (0.1845, 0.7558)."""
    plain = cohen_kappa(ratings_of(MEDICAL))
    linear = weighted_kappa(ratings_of(MEDICAL, scale="ordinal"), weights="linear")
    printed = [round(x or 0, 4) for e in (plain, linear) for x in (e.value, e.low, e.high)]
    assert printed == [0.4842, 0.2137, 0.7547, 0.4701, 0.1845, 0.7558]


@pytest.mark.parametrize(
    ("table", "weights", "error", "null"),
    [
        pytest.param(COHEN_1960, "unweighted", 0.05100181558, 0.05197893636, id="Cohen 1960"),
        pytest.param(
            FLEISS_COHEN_EVERITT_1969, "unweighted", 0.05371100487, 0.05551245494, id="1969"
        ),
        pytest.param(MEDICAL, "unweighted", 0.1380135783, 0.1483982819, id="printed .1380, .1484"),
        pytest.param(MEDICAL, "linear", 0.1457460451, 0.1425850776, id="printed .1457, .1426"),
        pytest.param(
            FLEISS_TABLE_18_1, "unweighted", 0.08770295348, 0.07618725792, id="Fleiss, 18.1"
        ),
        pytest.param(FLEISS_TABLE_18_1, "quadratic", 0.08670713249, 0.09894760858, id="quadratic"),
        pytest.param(PARADOX_A, "unweighted", 0.0713936027, 0.09981925928, id="paradox, even"),
        pytest.param(PARADOX_B, "unweighted", 0.1334565212, 0.09738311493, id="paradox, skewed"),
        pytest.param(WINNIPEG, "unweighted", 0.05045536524, 0.04560758375, id="Winnipeg"),
        pytest.param(WINNIPEG, "linear", 0.05166682622, 0.05302046071, id="Winnipeg, linear"),
        pytest.param(WINNIPEG, "quadratic", 0.06005509883, 0.07290611559, id="Winnipeg, quadratic"),
        pytest.param([[5, 0], [0, 7]], "unweighted", 0.0, 0.2886751346, id="perfect agreement"),
        pytest.param([[0, 0], [3, 9]], "unweighted", 0.0, 0.0, id="one observer constant"),
    ],
)
def test_both_standard_errors_of_published_tables(
    table: Table, weights: str, error: float, null: float
) -> None:
    """Fleiss, Cohen & Everitt (1969), equations 8 and 9; also by statsmodels 0.15.0."""
    found = weighted_kappa(ratings_of(table, scale="ordinal"), weights=weights)
    assert found.details["standard error"] == pytest.approx(error, abs=1e-9)
    assert found.details["standard error if 0"] == pytest.approx(null, abs=1e-9)


@pytest.mark.parametrize(
    ("table", "weights", "value", "low", "high"),
    [
        (FLEISS_TABLE_18_1, "quadratic", 0.7553191489, 0.585376292, 0.9252620058),
        (WINNIPEG, "linear", 0.379730548, 0.2784654294, 0.4809956666),
        (WINNIPEG, "quadratic", 0.5245764643, 0.4068706335, 0.6422822951),
        (
            [[13, 0, 0], [0, 20, 7], [0, 4, 56]],
            "quadratic",
            0.8921568627,
            0.8228691811,
            0.9614445444,
        ),
    ],
)
def test_weighted_kappa_of_published_tables(
    table: Table, weights: str, value: float, low: float, high: float
) -> None:
    """Intervals by vcd 1.4.11 and statsmodels 0.15.0."""
    found = weighted_kappa(ratings_of(table, scale="ordinal"), weights=weights)
    assert found.form == weights
    assert found.value == pytest.approx(value, abs=1e-9)
    assert found.low == pytest.approx(low, abs=1e-8)
    assert found.high == pytest.approx(high, abs=1e-8)


@pytest.mark.parametrize(
    ("table", "distance", "value", "error", "null"),
    [
        pytest.param(
            COHEN_1960,
            [[0, 1, 3], [1, 0, 6], [3, 6, 0]],
            0.347826087,
            0.07550401525,
            0.05971999356,
            id="Cohen 1968 prints .348",
        ),
        pytest.param(
            COHEN_1960,
            [[0, 1, 4], [1, 0, 6], [2, 2, 0]],
            0.3533834586,
            0.06265690689,
            0.04769845641,
            id="Cohen 1968, asymmetric, prints .353",
        ),
        pytest.param(
            FLEISS_COHEN_EVERITT_1969,
            [[0, 10000, 5556], [10000, 0, 3333], [5556, 3333, 0]],
            0.5070699649,
            0.0569938847,
            0.06533588457,
            id="Fleiss, Cohen, Everitt 1969, agreement weights .4444 and .6667",
        ),
    ],
)
def test_kappa_with_any_weights(
    table: Table, distance: Table, value: float, error: float, null: float
) -> None:
    """Both standard errors also by statsmodels 0.15.0."""
    for scale in ("nominal", "ordinal"):
        found = weighted_kappa(ratings_of(table, scale=scale), weights=distance)
        assert found.form == "custom"
        assert found.value == pytest.approx(value, abs=1e-9)
        assert found.details["standard error"] == pytest.approx(error, abs=1e-9)
        assert found.details["standard error if 0"] == pytest.approx(null, abs=1e-9)


def test_four_ordered_categories() -> None:
    """Computed by hand: kappa .64164, linear .76418, quadratic .87017."""
    table = [[11, 3, 0, 0], [2, 14, 4, 0], [0, 5, 20, 3], [0, 0, 4, 14]]
    ratings = ratings_of(table, scale="ordinal")
    assert cohen_kappa(ratings).value == pytest.approx(0.64164, abs=5e-6)
    assert weighted_kappa(ratings, weights="linear").value == pytest.approx(0.76418, abs=5e-6)
    assert weighted_kappa(ratings, weights="quadratic").value == pytest.approx(0.87017, abs=5e-6)


def test_two_by_two_by_hand() -> None:
    """20, 5, 10, 15: observed .7, chance .5, so kappa .4; standard error .12700."""
    found = cohen_kappa(ratings_of([[20, 5], [10, 15]]))
    assert found.value == pytest.approx(0.4)
    assert (found.high or 0) - 0.4 == pytest.approx(1.959964 * 0.12700, abs=1e-5)


def test_categories_never_used_stay_in_the_weights() -> None:
    """Data of the help page of cohen.kappa, R package psych 2.2.9: ten declared, seven seen."""
    rows = [[6, 6], [3, 1], [7, 8], [8, 5], [7, 10]]
    declared = Ratings.from_table(rows, scale="ordinal", categories=list(range(1, 11)))
    seen = Ratings.from_table(rows, scale="ordinal", categories=[1, 3, 5, 6, 7, 8, 10])
    assert weighted_kappa(declared).value == pytest.approx(0.6229508197)
    assert weighted_kappa(declared, weights="linear").value == pytest.approx(0.3661971831)
    assert weighted_kappa(seen).value == pytest.approx(0.534, abs=5e-4)


def test_on_the_interval_scale_distance_is_between_values() -> None:
    rows = [[1, 1], [1, 2], [2, 2], [10, 10], [2, 10]]
    by_value = weighted_kappa(Ratings.from_table(rows, scale="interval"))
    places = Ratings.from_table(rows, scale="ordinal", categories=list(range(1, 11)))
    assert by_value.form == "quadratic, by value"
    assert by_value.value == pytest.approx(weighted_kappa(places).value, abs=1e-14)
    tenths = Ratings.from_table([[a / 10, b / 10] for a, b in rows], scale="interval")
    assert weighted_kappa(tenths).value == pytest.approx(by_value.value, abs=1e-14)


def test_very_uneven_values_are_still_right() -> None:
    rows = [[1, 2], [10**12, 10**12], [3, 1], [2, 3]]
    found = weighted_kappa(Ratings.from_table(rows, scale="interval"))
    far = Fraction(10**12)
    observed = Fraction(1 + 4 + 1, 4)
    first: list[Fraction] = [Fraction(1), far, Fraction(3), Fraction(2)]
    second: list[Fraction] = [Fraction(2), far, Fraction(1), Fraction(3)]
    expected = Fraction(sum((a - b) ** 2 for a, b in product(first, second)), 16)
    assert found.value == pytest.approx(float(1 - observed / expected), abs=1e-14)


def test_kappa_rests_on_the_units_that_both_rated() -> None:
    """Of Gwet's 12 units two were rated once: kappa .697 from 10 pairs."""
    found = cohen_kappa(gwet_two())
    assert found.value == pytest.approx(0.696969697)
    assert found.low == pytest.approx(0.3243667422)
    assert found.high == pytest.approx(1.069572652)
    assert (found.units, found.used, found.observers) == (12, 10, 2)
    assert "2 units are left out: rated by one observer only (9, 11)." in found.notes
    assert "The upper limit lies above 1 and is printed as computed." in found.notes


def test_under_ten_pairs_a2_gives_a_point_without_an_interval() -> None:
    found = cohen_kappa(ratings_of([[4, 1], [1, 3]]))
    assert found.value is not None
    assert (found.low, found.high, found.interval) == (None, None, None)
    assert "95 % interval not given: n = 9 pairs, fewer than 10." in found.notes
    assert cohen_kappa(ratings_of([[4, 1], [1, 4]])).interval is not None


def test_every_rating_the_same_is_not_estimable() -> None:
    found = cohen_kappa(ratings_of([[0, 0, 0], [0, 0, 0], [0, 0, 12]]))
    assert found.value is None
    assert found.undefined == (
        "Cohen's kappa is not estimable:"
        " every rating is the same, so agreement by chance is complete."
    )


def test_one_observer_with_one_category_gives_zero_and_no_interval() -> None:
    found = cohen_kappa(ratings_of([[0, 0], [3, 9]]))
    assert found.value == 0
    assert found.low is None
    assert "95 % interval not estimable: one observer used one category only." in found.notes
    few = cohen_kappa(ratings_of([[0, 0], [1, 3]]))
    assert few.value == 0
    assert "95 % interval not given: n = 4 pairs, fewer than 10." in few.notes
    assert "kappa is 0 whatever the agreement" in few.note


def test_each_observer_with_a_category_of_their_own_gives_zero() -> None:
    found = cohen_kappa(ratings_of([[0, 12], [0, 0]]))
    assert found.value == 0
    assert found.low is None


def test_perfect_agreement_prints_no_interval_from_one_to_one() -> None:
    found = cohen_kappa(ratings_of([[5, 0], [0, 7]]))
    assert found.value == 1
    assert found.low is found.high is None
    assert "standard error is 0 in this sample at perfect agreement" in found.note


def test_complete_disagreement_is_minus_one_without_interval() -> None:
    found = cohen_kappa(ratings_of([[0, 6], [6, 0]]))
    assert found.value == -1
    assert found.low is None


def test_below_chance_is_printed_as_it_is() -> None:
    """46, 2, 2, 0: 92 % agreement and kappa below 0."""
    found = cohen_kappa(ratings_of([[46, 2], [2, 0]]))
    assert found.value == pytest.approx(-0.04167, abs=5e-6)


def test_nothing_rated_twice_or_more_than_two_observers_have_no_kappa() -> None:
    once = Ratings.from_table([[1, None], [None, 2]], categories=[0, 1, 2])
    assert "no unit was rated by two or more observers" in (cohen_kappa(once).undefined or "")
    three = Ratings.from_table([[1, 1, 2]], categories=[1, 2])
    assert "compares two observers, and there are 3" in (cohen_kappa(three).undefined or "")


def test_weights_need_an_order() -> None:
    found = weighted_kappa(ratings_of(PARADOX_A, scale="nominal"))
    assert "the scale is nominal" in (found.undefined or "")
    with pytest.raises(BadInput, match="no weights 'cubic'"):
        weighted_kappa(ratings_of(PARADOX_A, scale="ordinal"), weights="cubic")


def test_ten_thousand_categories() -> None:
    rows = [[place, place + 1] for place in range(10_000)]
    ratings = Ratings.from_table(rows, scale="interval")
    places = np.arange(10_001.0)
    expected = np.mean([(a - places[1:]) ** 2 for a in range(0, 10_000, 100)])
    assert weighted_kappa(ratings).value == pytest.approx(1 - 1 / expected, rel=1e-4)
    assert cohen_kappa(ratings).value == pytest.approx(-0.0001, abs=1e-6)
    assert weighted_kappa(ratings, weights="linear").value is not None


def test_another_level_makes_another_width() -> None:
    wide = cohen_kappa(ratings_of(COHEN_1960), level=0.99)
    narrow = cohen_kappa(ratings_of(COHEN_1960), level=0.9)
    assert (wide.low or 0) < (narrow.low or 0)
    assert wide.level == 0.99
    with pytest.raises(BadInput, match="not between 0 and 1"):
        cohen_kappa(ratings_of(COHEN_1960), level=95)


def by_fractions(table: Table, distance: Table) -> tuple[Fraction | None, Fraction]:
    """Kappa and its variance, straight from Fleiss, Cohen & Everitt (1969), equation 8.

    In agreement weights w = 1 - distance / greatest distance, with exact numbers.
    """
    q = len(table)
    n = sum(map(sum, table))
    top = max(map(max, distance))
    p = [[Fraction(table[i][j], n) for j in range(q)] for i in range(q)]
    w = [[1 - Fraction(distance[i][j], top) for j in range(q)] for i in range(q)]
    row = [sum(p[i]) for i in range(q)]
    column = [sum(p[i][j] for i in range(q)) for j in range(q)]
    cells = list(product(range(q), range(q)))
    po = sum((w[i][j] * p[i][j] for i, j in cells), Fraction(0))
    pe = sum((w[i][j] * row[i] * column[j] for i, j in cells), Fraction(0))
    if pe == 1:
        return None, Fraction(0)
    across = [sum((column[j] * w[i][j] for j in range(q)), Fraction(0)) for i in range(q)]
    down = [sum((row[i] * w[i][j] for i in range(q)), Fraction(0)) for j in range(q)]
    inner = sum(
        (p[i][j] * (w[i][j] * (1 - pe) - (across[i] + down[j]) * (1 - po)) ** 2 for i, j in cells),
        Fraction(0),
    )
    variance = (inner - (po * pe - 2 * pe + po) ** 2) / (n * (1 - pe) ** 4)
    return (po - pe) / (1 - pe), variance


@given(any_table(), st.sampled_from(["unweighted", "linear", "quadratic"]), st.booleans())
def test_agrees_with_the_published_equation_in_exact_numbers(
    table: Table, kind: str, spelt: bool
) -> None:
    q = len(table)
    steps = [[abs(i - j) for j in range(q)] for i in range(q)]
    power = {"unweighted": 0, "linear": 1, "quadratic": 2}[kind]
    square = [[step**power if step else 0 for step in row] for row in steps]
    ratings = ratings_of(table, scale="ordinal")
    found = by_margins(ratings.codes[None], distance(ratings, square if spelt else kind))
    value, variance = by_fractions(table, square)
    assert found.defined[0] == (value is not None)
    assert found.value[0] == pytest.approx(float(value or 0), abs=1e-13)
    assert found.error[0] ** 2 == pytest.approx(float(variance), rel=1e-7, abs=1e-14)
    assert (found.error[0] == 0) == (variance == 0)


@settings(max_examples=1000)
@given(tables(observers=2))
def test_two_packages_agree(table: tuple[Whole, int]) -> None:
    """statsmodels 0.15.0: value, both errors, limits; scikit-learn 1.9.1: value.

    Both want the units that two rated, the former as a cross table; it has no answer where
    one of its errors is 0, and takes the root of less than 0 there.
    """
    codes, q = table
    ratings = ratings_of_codes(codes, q)
    pairs = codes[(codes >= 0).all(axis=1)]
    cross = np.zeros((q, q), dtype=int)
    np.add.at(cross, tuple(pairs.T), 1)
    for weights, theirs in (("unweighted", None), ("linear", "linear"), ("quadratic", "quadratic")):
        found = weighted_kappa(ratings, weights=weights)
        if found.value is None:
            assert len(set(pairs.ravel().tolist())) <= 1
            continue
        other = cohen_kappa_score(*pairs.T, weights=theirs, labels=range(q))
        assert found.value == pytest.approx(other, abs=1e-9)
        if not min(found.details[name] for name in ("standard error", "standard error if 0")):
            continue
        said = by_statsmodels(cross, wt=theirs)
        assert found.value == pytest.approx(said.kappa, abs=1e-9)
        assert found.details["standard error"] == pytest.approx(said.std_kappa, abs=1e-7)
        assert found.details["standard error if 0"] == pytest.approx(said.std_kappa0, abs=1e-7)
        if found.low is not None:
            limits = (said.kappa_low, said.kappa_upp)
            assert (found.low, found.high) == pytest.approx(limits, abs=1e-9)


@given(any_table())
def test_the_order_of_observers_does_not_matter(table: Table) -> None:
    turned = [list(column) for column in zip(*table, strict=True)]
    one, other = cohen_kappa(ratings_of(table)), cohen_kappa(ratings_of(turned))
    assert one.value == pytest.approx(other.value, abs=1e-14)
    assert one.low == pytest.approx(other.low)


@given(any_table(), st.randoms())
def test_the_names_and_order_of_categories_do_not_matter(table: Table, luck: Random) -> None:
    names = [f"name {place}" for place in range(len(table))]
    luck.shuffle(names)
    one = cohen_kappa(ratings_of(table))
    other = cohen_kappa(ratings_of(table, categories=names))
    assert one.value == pytest.approx(other.value, abs=1e-14)
    assert one.low == pytest.approx(other.low)


@given(any_table())
def test_every_pair_twice_leaves_the_value_and_narrows_by_root_two(table: Table) -> None:
    doubled = [[2 * count for count in row] for row in table]
    one, other = (
        by_margins(ratings_of(t).codes[None], distance(ratings_of(t))) for t in (table, doubled)
    )
    assert one.value == pytest.approx(other.value, abs=1e-14)
    assert one.error == pytest.approx(other.error * 2**0.5)


@given(any_table(largest=2))
def test_two_categories_leave_nothing_to_weigh(table: Table) -> None:
    ratings = ratings_of(table, scale="ordinal")
    assert weighted_kappa(ratings).value == pytest.approx(cohen_kappa(ratings).value, abs=1e-14)
