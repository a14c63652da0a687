"""Resampled intervals: against another package, whole learners, seeds, and what has none."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from observe.agreement import Estimate, Ratings
from observe.agreement.panel import PANEL, estimates
from observe.agreement.ratings import Whole
from observe.agreement.resampling import RESAMPLES, resampled_estimates
from observe.domain.troubles import BadInput, Stopped


def drawn(units: int, observers: int, q: int, seed: int, *, gaps: bool = False) -> Whole:
    draw = np.random.default_rng(seed)
    truth = draw.integers(0, q, (units, 1))
    codes = np.where(
        draw.random((units, observers)) < 0.7, truth, draw.integers(0, q, (units, observers))
    )
    return np.where(draw.random(codes.shape) < 0.1, -1, codes) if gaps else codes


def ratings(codes: Whole, q: int, scale: str = "nominal") -> Ratings:
    return Ratings.from_codes(codes, list(range(q)), scale=scale)


TWO = ratings(drawn(80, 2, 2, 1), 2)
THREE = ratings(drawn(90, 3, 4, 2, gaps=True), 4, "ordinal")
COUNTED = [
    "percent_agreement", "scott_pi", "fleiss_kappa", "conger_kappa", "brennan_prediger",
    "gwet_ac1", "krippendorff_alpha", "cohen_kappa", "pabak",
]  # fmt: skip


def one(
    table: Ratings, name: str, interval: str = "bca", seed: int = 1, **more: object
) -> Estimate:
    found, *_ = resampled_estimates(table, [name], interval=interval, seed=seed, **more)  # type: ignore[arg-type]
    return found


def limits(found: Estimate) -> tuple[float, float]:
    assert found.low is not None
    assert found.high is not None
    return found.low, found.high


@pytest.mark.parametrize("interval", ["percentile", "bca"])
@pytest.mark.parametrize("name", COUNTED)
def test_the_value_is_that_of_the_panel_and_lies_within(name: str, interval: str) -> None:
    found, (plain,) = one(TWO, name, interval), estimates(TWO, [name])
    assert found.value == plain.value
    low, high = limits(found)
    assert low < (found.value or 0) < high
    assert found.interval is not None
    assert f"{RESAMPLES}" in found.interval
    assert found.seed == 1
    wide, own = high - low, (plain.high or 0) - (plain.low or 0)
    assert 0.7 < wide / own < 1.4


@pytest.mark.parametrize("method", ["percentile", "bca"])
def test_the_limits_are_those_of_another_package(method: str) -> None:
    """scipy.stats.bootstrap on the same pairs, within the error of two thousand resamples."""
    codes = drawn(80, 2, 2, 1)

    def kappa(first: np.ndarray, second: np.ndarray) -> float:
        agreed = float((first == second).mean())
        chance = sum(float((first == c).mean() * (second == c).mean()) for c in (0, 1))
        return (agreed - chance) / (1 - chance)

    drawn_by = {"percentile": "percentile", "bca": "BCa"}
    other = stats.bootstrap(  # type: ignore[call-overload] # the stubs want one kind at a time
        (codes[:, 0], codes[:, 1]),
        kappa,
        paired=True,
        vectorized=False,
        n_resamples=4000,
        method=drawn_by[method],
        rng=np.random.default_rng(3),
    ).confidence_interval
    low, high = limits(one(TWO, "cohen_kappa", method, resamples=4000))
    assert low == pytest.approx(other.low, abs=0.03)
    assert high == pytest.approx(other.high, abs=0.03)


def test_the_same_seed_gives_the_same_and_another_seed_another() -> None:
    assert one(THREE, "gwet_ac1") == one(THREE, "gwet_ac1")
    assert limits(one(THREE, "gwet_ac1")) != limits(one(THREE, "gwet_ac1", seed=2))


def test_weights_by_kind_and_the_ordinal_metric() -> None:
    pairs = ratings(drawn(60, 2, 4, 5), 4, "ordinal")
    found = resampled_estimates(pairs, ["weighted_kappa", "gwet_ac2"], seed=1)
    assert [item.form for item in found] == ["linear", "quadratic"] * 2
    for item in (*found, one(pairs, "krippendorff_alpha")):
        low, high = limits(item)
        assert low < (item.value or 0) < high


def test_learners_are_drawn_whole() -> None:
    """Each unit twice under one learner: drawn whole, the interval is that of the single units."""
    codes = drawn(60, 2, 2, 7)
    twice = ratings(np.repeat(codes, 2, axis=0), 2)
    names = twice.unit_names
    whole = twice.clustered_by({name: f"l{place // 2}" for place, name in enumerate(names)})
    single, apart, together = (
        np.diff(limits(one(table, "gwet_ac1", "percentile")))[0]
        for table in (ratings(codes, 2), twice, whole)
    )
    assert together == pytest.approx(single, rel=0.15)
    assert apart < 0.85 * single
    assert one(whole, "gwet_ac1").clusters == 60


@pytest.mark.parametrize("name", ["icc", "bland_altman", "cronbach_alpha"])
def test_numbers(name: str) -> None:
    draw = np.random.default_rng(2)
    good = draw.normal(0, 3, (40, 1))
    table = Ratings.from_table(
        (good + draw.normal(0, 1, (40, 2))).round(3).tolist(), scale="interval"
    )
    for found, plain in zip(
        resampled_estimates(table, [name], seed=1), estimates(table, [name]), strict=True
    ):
        assert found.value == plain.value
        low, high = limits(found)
        assert low < (found.value or 0) < high


def test_few_units_have_no_interval() -> None:
    found = one(ratings(drawn(8, 2, 2, 1), 2), "gwet_ac1")
    assert found.low is None
    assert "fewer than 10" in found.note


def test_resamples_without_a_value_are_counted() -> None:
    codes = np.zeros((30, 2), dtype=np.int64)
    codes[0] = 1
    found = one(ratings(codes, 2), "cohen_kappa", "percentile")
    assert "resamples had no value" in found.note or "every resample" in found.note


def test_a_table_without_a_value_stays_without() -> None:
    found = one(ratings(np.zeros((30, 2), dtype=np.int64), 2), "cohen_kappa")
    assert (found.value, found.low) == (None, None)


def test_specific_agreement_keeps_its_interval() -> None:
    found = resampled_estimates(TWO, ["specific_agreement"], seed=1)
    assert found == estimates(TWO, ["specific_agreement"])


@pytest.mark.parametrize("more", [{"interval": "jackknife"}, {"resamples": 10}])
def test_what_cannot_be_asked_is_told(more: dict[str, object]) -> None:
    with pytest.raises(BadInput):
        resampled_estimates(TWO, ["gwet_ac1"], **more)  # type: ignore[arg-type]


def test_it_can_be_stopped() -> None:
    def stop(done: int, total: int) -> None:
        raise Stopped(f"{done} of {total}")

    with pytest.raises(Stopped):
        resampled_estimates(TWO, ["gwet_ac1"], tick=stop)


def test_the_interval_holds_the_truth_about_as_often_as_it_says() -> None:
    """Agreement of two observers drawn with a known share of agreeing pairs, 0.8."""
    draw = np.random.default_rng(9)
    held = []
    for _ in range(200):
        same = draw.random(60) < 0.8
        first = draw.integers(0, 2, 60)
        codes = np.stack([first, np.where(same, first, 1 - first)], axis=1)
        low, high = limits(one(ratings(codes, 2), "percent_agreement", "bca"))
        held.append(low <= 0.8 <= high)
    assert 0.88 <= float(np.mean(held)) <= 0.99


@settings(max_examples=30)
@given(st.integers(0, 10_000), st.sampled_from([name for name in PANEL if name in COUNTED]))
def test_the_order_of_units_changes_little_and_never_the_value(seed: int, name: str) -> None:
    codes = drawn(40, 2, 2, seed)
    if len(np.unique(codes)) < 2:
        return
    one_way, other = one(ratings(codes, 2), name), one(ratings(codes[::-1].copy(), 2), name)
    assert one_way.value == pytest.approx(other.value)
    if one_way.low is not None and other.low is not None:
        assert one_way.low == pytest.approx(other.low, abs=1e-9)
