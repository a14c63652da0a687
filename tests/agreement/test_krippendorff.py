"""Krippendorff's alpha: printed values, a package on random tables, what it cannot say."""

from collections.abc import Callable
from decimal import Decimal
from math import sqrt
from typing import cast

import krippendorff
import numpy as np
import pytest
from hypothesis import given, settings

from observe.agreement import Ratings, fleiss_kappa, krippendorff_alpha
from observe.agreement.krippendorff import METRICS
from observe.agreement.ratings import Value, Whole
from observe.domain.troubles import BadInput
from tests.agreement.peers import irrcac, ratings_of_codes, tables
from tests.agreement.tables import gappy, gwet_four, gwet_two

by_package = cast("Callable[..., float]", krippendorff.alpha)

# Krippendorff K (2011), Computing Krippendorff's alpha-reliability, sections A and B.
# A from memory. B: Ben and Gerry.
SECTION_A = [(0, 1), (1, 1), (0, 1), (0, 0), (0, 0), (0, 1), (0, 0), (0, 0), (1, 0), (0, 0)]
BEN, GERRY = "aabbdcccedda", "babbbccceddd"


@pytest.mark.parametrize(
    ("metric", "value", "printed"),
    [
        ("nominal", 0.7434210526, 0.743),
        ("ordinal", 0.8153875038, 0.815),
        ("interval", 0.8491071429, 0.849),
        ("ratio", 0.7974027747, 0.797),
    ],
)
def test_four_observers_of_twelve_units_with_gaps(
    metric: str, value: float, printed: float
) -> None:
    """Krippendorff (2011), section C, prints .743, .815, .849 and .797."""
    found = krippendorff_alpha(gwet_four(metric))
    assert found.value == pytest.approx(value, abs=1e-9)
    assert round(found.value or 0, 3) == printed
    assert (found.form, found.units, found.used, found.observers) == (metric, 12, 11, 4)
    assert found.notes[0] == "From 40 pairable values."
    assert "1 unit is left out: rated by one observer only (12)." in found.dropped


def test_printed_nominal_tables_of_two_observers() -> None:
    """Krippendorff (2011), sections A and B: .095 and .692."""
    first = krippendorff_alpha(Ratings.from_table(SECTION_A))
    assert first.value == pytest.approx(0.09523809524, abs=1e-9)
    second = krippendorff_alpha(Ratings.from_table(list(zip(BEN, GERRY, strict=True))))
    assert second.value == pytest.approx(0.6919642857, abs=1e-9)


@pytest.mark.parametrize(
    ("weights", "value", "error", "low"),
    [
        ("unweighted", 0.7434210526, 0.1454787172, 0.4192742707),
        ("linear", 0.8003838772, 0.1353836089, 0.4987303982),
        ("quadratic", 0.8491071429, 0.1290511999, 0.5615631504),
        ("ordinal", 0.8336380256, 0.1309875963, 0.5417794733),
    ],
)
def test_with_weights_and_the_interval_of_gwet(
    weights: str, value: float, error: float, low: float
) -> None:
    """Gwet (2014), cac.raw4raters of R irrCAC 1.4; its own limits count all units, not 11.

    Gwet's ordinal weights are not the ordinal metric: .834 against .815.
    """
    found = krippendorff_alpha(gwet_four("ordinal"), weights=weights)
    assert found.value == pytest.approx(value, abs=1e-9)
    assert found.details["standard error"] == pytest.approx(error, abs=1e-9)
    assert (found.low, found.high) == pytest.approx((low, 1.0), abs=1e-9)


def test_two_observers_with_gaps() -> None:
    """cac.raw2raters of R irrCAC 1.4: .710, where kappa has .697 and AC1 .701."""
    found = krippendorff_alpha(gwet_two())
    assert found.value == pytest.approx(0.7099236641, abs=1e-9)
    assert found.low == pytest.approx(0.2461581996, abs=1e-9)
    assert found.details["chance agreement"] == pytest.approx(1 - 0.6894736842, abs=1e-9)


@settings(max_examples=1000)
@given(tables())
def test_the_package_of_that_name_agrees(table: tuple[Whole, int]) -> None:
    """krippendorff 0.9.0, all four metrics."""
    codes, q = table
    data = np.where(codes < 0, np.nan, codes + 1.0).T
    for metric in METRICS:
        ratings = Ratings.from_codes(codes, list(range(1, q + 1)), scale=metric)
        found = krippendorff_alpha(ratings)
        if found.value is None:
            assert found.undefined
            continue
        said = by_package(data, level_of_measurement=metric, value_domain=range(1, q + 1))
        assert found.value == pytest.approx(said, abs=1e-9)


@settings(max_examples=300)
@given(tables())
def test_another_package_agrees_with_its_interval(table: tuple[Whole, int]) -> None:
    """irrCAC 0.4.4. Its error is about the corrected agreement, ours about the uncorrected.

    So the errors differ where units have unequal numbers of ratings, and by little.
    """
    codes, q = table
    for weights in ("identity", "quadratic", "linear", "ordinal"):
        own = "unweighted" if weights == "identity" else weights
        found = krippendorff_alpha(ratings_of_codes(codes, q), weights=own)
        if found.value is None:
            continue
        said = irrcac(codes, q, "krippendorff", weights)
        assert found.value == pytest.approx(said["value"], abs=1e-9)
        error = found.details["standard error"]
        given_twice = (codes >= 0).sum(axis=1)
        given_twice = given_twice[given_twice >= 2]
        if (given_twice == given_twice[0]).all():
            assert error == pytest.approx(said["error"], abs=1e-9)
        else:
            assert error == pytest.approx(said["error"], rel=0.15, abs=0.02)


@given(gappy())
def test_alpha_is_one_less_observed_over_expected(rows: list[list[int | None]]) -> None:
    """Straight from the definition: all pairs of pairable values."""
    found = krippendorff_alpha(Ratings.from_table(rows, scale="interval", categories=[0, 1, 2]))
    units = [[v for v in row if v is not None] for row in rows]
    units = [unit for unit in units if len(unit) >= 2]
    values = [v for unit in units for v in unit]
    observed = sum(
        (a - b) ** 2 / (len(unit) - 1) for unit in units for a in unit for b in unit
    ) / len(values)
    total = sum((a - b) ** 2 for a in values for b in values)
    if not total:
        assert "no variation" in (found.undefined or "")
        return
    expected = total / (len(values) * (len(values) - 1))
    assert found.value == pytest.approx(1 - observed / expected)


def test_it_is_not_generalised_pi_in_small_samples() -> None:
    pi, alpha = fleiss_kappa(gwet_four()), krippendorff_alpha(gwet_four())
    assert pi.value != pytest.approx(alpha.value, abs=0.01)


def test_what_the_ratio_metric_takes() -> None:
    rows: list[list[Value | None]] = [[0, 0], [1, 2], [4, 4], [0, 1]]
    assert krippendorff_alpha(Ratings.from_table(rows, scale="ratio")).value is not None
    below = krippendorff_alpha(Ratings.from_table([[-1, 2], [3, 3]], scale="ratio"))
    assert "no negative values; found -1" in (below.undefined or "")
    none = krippendorff_alpha(Ratings.from_table([[0, 0], [0, 0]], scale="ratio"))
    assert "no variation" in (none.undefined or "")


def test_words_have_no_distance_and_no_order() -> None:
    words = Ratings.from_table([["a", "b"], ["b", "b"]])
    for metric in ("ordinal", "interval", "ratio"):
        assert krippendorff_alpha(words, metric=metric).value is None
    with pytest.raises(BadInput, match="no metric 'cubic'"):
        krippendorff_alpha(words, metric="cubic")


def test_constant_and_unpaired_ratings_have_a_reason() -> None:
    same = krippendorff_alpha(Ratings.from_table([[2, 2]] * 12, categories=[0, 1, 2]))
    assert same.undefined == (
        "Krippendorff's alpha is not estimable: no variation:"
        " every rating of a unit rated twice or more is the same."
    )
    rows: list[list[Value | None]] = [[1, None], [None, 2], [0, None], [None, 1]]
    once = krippendorff_alpha(Ratings.from_table(rows, categories=[0, 1, 2]))
    assert "no unit was rated by two or more observers" in (once.undefined or "")


def test_a_rating_that_nobody_shares_does_not_make_variation() -> None:
    rows: list[list[Value | None]] = [[1, 1], [1, 1], [2, None]]
    found = krippendorff_alpha(Ratings.from_table(rows, categories=[1, 2]))
    assert "no variation" in (found.undefined or "")


def test_an_unused_scale_point_changes_nothing() -> None:
    rows = [[1, 1], [2, 4], [4, 4], [1, 2]] * 3
    used = Ratings.from_table(rows, scale="ordinal", categories=[1, 2, 4])
    declared = Ratings.from_table(rows, scale="ordinal", categories=[1, 2, 3, 4])
    assert krippendorff_alpha(used).value == pytest.approx(krippendorff_alpha(declared).value)


@pytest.mark.parametrize("factor", [10**9, Decimal("1e-30"), 1e150])
def test_the_unit_of_measurement_does_not_matter(factor: float) -> None:
    rows = [[1, 2], [3, 3], [8, 9], [4, 4]]
    for metric in ("interval", "ratio"):
        plain = krippendorff_alpha(Ratings.from_table(rows, scale=metric))
        scaled = [[a * factor, b * factor] for a, b in rows]
        found = krippendorff_alpha(Ratings.from_table(scaled, scale=metric))
        assert found.value == pytest.approx(plain.value, abs=1e-12)


@given(tables())
def test_every_unit_twice_moves_only_the_correction(table: tuple[Whole, int]) -> None:
    codes, q = table
    one = krippendorff_alpha(ratings_of_codes(codes, q))
    two = krippendorff_alpha(ratings_of_codes(np.concatenate([codes, codes]), q), metric="ordinal")
    if one.value is None or two.value is None:
        return
    values = int((codes[(codes >= 0).sum(axis=1) >= 2] >= 0).sum())
    assert (1 - one.value) * values / (values - 1) == pytest.approx(
        (1 - two.value) * 2 * values / (2 * values - 1)
    )


def test_a_hundred_thousand_different_scores() -> None:
    luck = np.random.default_rng(5)
    truth = luck.normal(50, 10, 50_000)
    scores = truth[:, None] + luck.normal(0, 5, (50_000, 2))
    found = krippendorff_alpha(Ratings.from_table(scores.tolist(), scale="interval"))
    assert found.value == pytest.approx(100 / 125, abs=0.01)
    assert (found.high or 0) - (found.low or 0) < 2 * 1.96 * 2 / sqrt(50_000)
