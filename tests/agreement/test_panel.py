"""The panel: which coefficients there are, which a table gets, and never NaN."""

import json
import math

import numpy as np
import pandas as pd
import pingouin
import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.agreement import Estimate, Ratings
from observe.agreement.panel import INDEPENDENT, PANEL, estimates, fitting, of_numbers_only
from observe.agreement.ratings import Value
from observe.domain.troubles import BadInput
from tests.agreement.tables import gappy, gwet_four, ratings_of

BINARY = [[40, 9], [6, 45]]
THREE = [[5, 1, 0], [1, 5, 1], [0, 1, 5]]


def names(found: tuple[Estimate, ...]) -> list[tuple[str, str]]:
    return [(one.coefficient, one.form) for one in found]


def test_what_fits_two_observers() -> None:
    assert fitting(ratings_of(BINARY)) == (
        "percent_agreement",
        "specific_agreement",
        "cohen_kappa",
        "pabak",
        "scott_pi",
        "fleiss_kappa",
        "conger_kappa",
        "brennan_prediger",
        "gwet_ac1",
        "krippendorff_alpha",
    )
    assert "pabak" not in fitting(ratings_of(THREE))
    assert {"weighted_kappa", "gwet_ac2"} < set(fitting(ratings_of(THREE, scale="ordinal")))


def test_what_fits_more_observers() -> None:
    assert {"cohen_kappa", "scott_pi", "pabak"}.isdisjoint(fitting(gwet_four()))


def test_what_fits_numbers() -> None:
    scores = Ratings.from_table([[50, 60], [70, 72.5]], scale="interval")
    assert fitting(scores) == (
        "percent_agreement",
        "weighted_kappa",
        "krippendorff_alpha",
        "icc",
        "bland_altman",
    )


def test_several_rows_of_one_name() -> None:
    ordered = ratings_of(THREE, scale="ordinal")
    assert names(estimates(ordered, ["weighted_kappa", "gwet_ac2"])) == [
        ("weighted_kappa", "linear"),
        ("weighted_kappa", "quadratic"),
        ("gwet_ac2", "linear"),
        ("gwet_ac2", "quadratic"),
    ]
    assert names(estimates(ratings_of(BINARY), ["specific_agreement"])) == [
        ("specific_agreement", "0"),
        ("specific_agreement", "1"),
    ]


def test_what_is_about_numbers_is_asked_by_name() -> None:
    """Shrout & Fleiss (1979): six targets, four judges; .17, .29, .71, .44, .62, .91."""
    table = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
    scores = Ratings.from_table(table, scale="interval")
    found = estimates(scores, ["icc"])
    assert [round(one.value or 0, 2) for one in found] == [0.17, 0.29, 0.71, 0.44, 0.62, 0.91]
    assert [one.form for one in found][:2] == ["ICC(1,1)", "ICC(2,1)"]
    two = Ratings.from_table([row[:2] for row in table], scale="interval")
    assert [one.form for one in estimates(two, ["bland_altman"])] == [
        "bias",
        "lower limit",
        "upper limit",
    ]
    assert estimates(scores, ["cronbach_alpha"])[0].value == pytest.approx(0.9093, abs=5e-5)
    assert of_numbers_only(["icc", "bland_altman"])
    assert not of_numbers_only(["icc", "cohen_kappa"])
    assert not of_numbers_only([])


@given(st.integers(0, 2**32 - 1))
def test_a_package_has_the_same_six_rows(seed: int) -> None:
    """pingouin 0.6.1, which rounds its limits to two decimals and calls forms by other names."""
    luck = np.random.default_rng(seed)
    units, judges = int(luck.integers(5, 15)), int(luck.integers(2, 5))
    table = luck.normal(0, 2, (units, 1)) + luck.normal(0, 1, (units, judges))
    long = pd.DataFrame(
        [(u, j, table[u, j]) for u in range(units) for j in range(judges)],
        columns=["unit", "judge", "score"],
    )
    said = pingouin.intraclass_corr(long, "unit", "judge", "score")
    found = estimates(Ratings.from_table(table.tolist(), scale="interval"), ["icc"])
    assert [one.value for one in found] == pytest.approx(said["ICC"].tolist(), abs=1e-9)
    limits = said.filter(like="CI").iloc[:, 0]
    for one, (low, high) in zip(found, limits, strict=True):
        if one.low is not None:
            assert (one.low, one.high) == pytest.approx((low, high), abs=0.00501)


def test_weights_go_to_those_that_take_any() -> None:
    ordered = ratings_of(THREE, scale="ordinal")
    square = [[0, 1, 4], [1, 0, 2], [4, 2, 0]]
    found = estimates(ordered, ["weighted_kappa", "cohen_kappa", "gwet_ac2"], weights=square)
    assert [one.form for one in found] == ["custom", "unweighted", "custom"]


def test_a_name_not_known_is_refused_with_those_that_are() -> None:
    with pytest.raises(BadInput, match="Not in this version: pearson") as trouble:
        estimates(gwet_four(), ["percent_agreement", "pearson"])
    assert "cohen_kappa" in trouble.value.remedy


def test_an_interval_that_takes_a_learners_units_as_independent_says_so() -> None:
    table = [[9, 2], [6, 1], [8, 4], [7, 1], [10, 5], [6, 2]] * 3
    scores = Ratings.from_table(table, scale="interval")
    owner = {name: f"learner {int(name) % 4}" for name in scores.unit_names}
    found = estimates(scores.clustered_by(owner), ["bland_altman"])
    assert all(one.notes[-1] == INDEPENDENT for one in found)
    assert INDEPENDENT not in estimates(scores, ["bland_altman"])[0].notes


def sound(found: Estimate) -> None:
    assert (found.value is None) == (found.undefined is not None)
    assert (found.low is None) == (found.high is None) == (found.interval is None)
    if found.value is not None and found.low is None:
        assert "interval not" in found.note
    numbers = [x for x in (found.value, found.low, found.high) if x is not None]
    assert all(map(math.isfinite, [*numbers, *found.details.values()]))
    if found.low is not None and found.high is not None and found.value is not None:
        assert found.low <= found.value + 1e-12
        assert found.value <= found.high + 1e-12
    assert json.dumps(numbers, allow_nan=False)


@given(gappy())
def test_each_answer_is_a_number_or_a_sentence_never_nan(rows: list[list[int | None]]) -> None:
    for scale in ("nominal", "ordinal", "interval", "ratio"):
        ratings = Ratings.from_table(rows, scale=scale, categories=[0, 1, 2])
        for found in estimates(ratings, list(PANEL)):
            sound(found)


@pytest.mark.parametrize("scale", ["nominal", "ordinal", "interval", "ratio"])
@pytest.mark.parametrize(
    "rows",
    [
        pytest.param([], id="nothing"),
        pytest.param([[None, None]], id="nothing said"),
        pytest.param([[1, 1]], id="a single unit"),
        pytest.param([[1], [2]], id="a single observer"),
        pytest.param([[1, 1]] * 20, id="all the same"),
        pytest.param([[1, value] for value in range(20)], id="a constant column"),
        pytest.param([["1", "2"], ["10", "9"]] * 9, id="integers as text"),
        pytest.param([[-3, 2.5], [-1e-9, 7]] * 8, id="negative"),
        pytest.param([[10**300, 1], [10**300, 10**250]] * 8, id="huge"),
        pytest.param([[0, 1e-300], [2e-300, 0]] * 8, id="tiny"),
        pytest.param([[value, value + 1] for value in range(10_000)], id="ten thousand"),
        pytest.param([[value, 0] for value in range(15)], id="nobody alike"),
    ],
)
def test_edges(rows: list[list[Value | None]], scale: str) -> None:
    ratings = Ratings.from_table(rows, scale=scale)
    for found in estimates(ratings, list(PANEL)):
        sound(found)
