"""REML: against published tables by R lme4, another package, and balanced tables by hand."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from observe.agreement.designs import design_from
from observe.agreement.gstudy import g_study
from observe.agreement.reml import MOST_SCORES, reml
from observe.domain.troubles import BadInput, Stopped
from tests.agreement.scores_of_brennan import NEGATIVE, SET_2, SET_3, SET_4, long


def fitted(table: object, letters: str, design: str) -> dict[str, float]:
    """Components of a table by REML, whether it is balanced or not."""
    values, levels = long(table, letters)
    known = design_from(design)
    numbers = {one: np.asarray([int(word) for word in words]) for one, words in levels.items()}
    factors = []
    for effect in known.effects[:-1]:
        stacked = np.stack([numbers[one] for one in effect], axis=1)
        factors.append(np.unique(stacked, axis=0, return_inverse=True)[1].reshape(-1))
    fit = reml(np.asarray(values), factors)
    assert fit.converged
    names = [known.name(one) for one in known.effects]
    return {name: float(one) for name, one in zip(names, fit.variances, strict=True)}


@pytest.mark.parametrize(
    ("table", "letters", "design", "expected"),
    [  # R lme4 1.1.31 on Brennan's data; balanced without a negative component REML is ANOVA.
        (SET_4, "ptr", "p x (r:t)", {"p": 0.47315, "t": 0.32515, "p x t": 0.55957,
                                     "r:t": 0.64753, "p x (r:t)": 2.38025}),
        (SET_3, "pio", "p x i x o", {"p": 0.55278, "i": 0.44167, "o": 0.00741, "p x i": 0.575,
                                     "p x o": 0.10093, "i x o": 0.15648, "p x i x o": 0.93519}),
        (SET_2, "pi", "i:p", {"p": 0.61076, "i:p": 2.025}),
        (NEGATIVE, "pr", "p x r", {"p": 0.92222, "r": 0.0, "p x r": 0.33333}),
    ],
)  # fmt: skip
def test_published_tables(
    table: object, letters: str, design: str, expected: dict[str, float]
) -> None:
    assert fitted(table, letters, design) == pytest.approx(expected, abs=2e-4)


def incomplete(seed: int) -> tuple[NDArray[np.float64], NDArray[np.intp], NDArray[np.intp]]:
    """Scores of 15 learners by 5 observers, about a third of the cells empty."""
    draw = np.random.default_rng(seed)
    learners, observers = np.nonzero(draw.random((15, 5)) < 0.65)
    scores = 50 + draw.normal(0, 6, 15)[learners] + draw.normal(0, 3, 5)[observers]
    return scores + draw.normal(0, 4, len(scores)), learners, observers


@pytest.mark.parametrize("seed", range(6))
def test_an_incomplete_crossed_table_by_another_package(seed: int) -> None:
    scores, learners, observers = incomplete(seed)
    fit = reml(scores, [learners, observers])
    ones = np.ones(len(scores))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        model = sm.MixedLM(
            scores,
            ones,
            groups=ones,
            exog_vc={
                "learner": {1.0: np.eye(15)[learners]},
                "observer": {1.0: np.eye(5)[observers]},
            },
        )
        other = model.fit(reml=True, method=["powell", "bfgs"])
    theirs = np.asarray([*other.vcomp, other.scale])
    places = (learners, observers)
    ours, known = (restricted(scores, places, one) for one in (fit.variances, theirs))
    assert ours >= known - 1e-6
    if ours < known + 1e-4:  # Else the other one stopped before the top.
        assert fit.variances == pytest.approx(theirs, rel=0.05, abs=0.05)
        assert fit.mean == pytest.approx(float(other.fe_params[0]), abs=0.05)


def restricted(
    scores: NDArray[np.float64],
    places: tuple[NDArray[np.intp], NDArray[np.intp]],
    variances: NDArray[np.float64],
) -> float:
    """The restricted log likelihood, up to a constant, straight from its definition."""
    whole = np.eye(len(scores)) * variances[-1]
    for one, variance in zip(places, variances, strict=False):
        whole += variance * (one[:, None] == one[None, :])
    inverse = np.linalg.inv(whole)
    weight = float(inverse.sum())
    mean = float(inverse.sum(axis=0) @ scores) / weight
    rest = scores - mean
    return -0.5 * float(np.linalg.slogdet(whole)[1] + np.log(weight) + rest @ inverse @ rest)


def test_the_covariance_of_scores_is_that_of_the_model() -> None:
    scores, learners, observers = incomplete(3)
    fit = reml(scores, [learners, observers])
    whole = np.eye(len(scores)) * fit.variances[-1]
    for places, variance in zip((learners, observers), fit.variances, strict=False):
        whole += variance * (places[:, None] == places[None, :])
    assert fit.inverse @ whole == pytest.approx(np.eye(len(scores)), abs=1e-6)
    assert fit.mean_se == pytest.approx(float(fit.inverse.sum()) ** -0.5, rel=1e-6)


def test_more_scores_than_can_be_taken_are_refused() -> None:
    many = np.arange(MOST_SCORES + 1.0)
    with pytest.raises(BadInput, match="unbalanced"):
        reml(many, [np.zeros(len(many), dtype=np.intp)])


def test_it_can_be_stopped() -> None:
    def stop(done: int, total: int) -> None:
        raise Stopped(f"{done} of {total}")

    scores, learners, observers = incomplete(1)
    with pytest.raises(Stopped):
        reml(scores, [learners, observers], tick=stop)


@settings(max_examples=40)
@given(st.integers(0, 10_000), st.integers(3, 8), st.integers(2, 5))
def test_a_balanced_table_without_negative_components_is_that_by_mean_squares(
    seed: int, persons: int, raters: int
) -> None:
    draw = np.random.default_rng(seed)
    table = draw.normal(0, 2, (persons, 1)) + draw.normal(0, 1, (1, raters))
    table = table + draw.normal(0, 1, (persons, raters))
    values, levels = long(table, "pr")
    by_squares = g_study(values, levels, design_from("p x r"))
    if any(one.estimate < 1e-3 for one in by_squares.components):
        return
    found = fitted(table, "pr", "p x r")
    expected = {one.name: one.estimate for one in by_squares.components}
    assert found == pytest.approx(expected, rel=1e-4, abs=1e-5)
