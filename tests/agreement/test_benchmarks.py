"""Words for coefficients, looked up as they were printed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.agreement import Ratings
from observe.agreement.benchmarks import SCALES, word, words
from observe.agreement.gwet import gwet_ac1
from observe.domain.troubles import BadInput

NAMES = ("landis-koch", "altman", "fleiss", "cicchetti")


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (-0.05, ("Poor", "Poor", "Poor", "Poor")),
        (0.0, ("Slight", "Poor", "Poor", "Poor")),
        (0.2049, ("Slight", "Poor", "Poor", "Poor")),
        (0.205, ("Fair", "Fair", "Poor", "Poor")),
        (0.35, ("Fair", "Fair", "Poor", "Poor")),
        (0.415, ("Moderate", "Moderate", "Intermediate to good", "Fair")),
        (0.595, ("Moderate", "Moderate", "Intermediate to good", "Good")),
        (0.67, ("Substantial", "Good", "Intermediate to good", "Good")),
        (0.7549, ("Substantial", "Good", "Intermediate to good", "Excellent")),
        (0.85, ("Almost perfect", "Very good", "Excellent", "Excellent")),
        (1.0, ("Almost perfect", "Very good", "Excellent", "Excellent")),
    ],
)
def test_four_scales(value: float, said: tuple[str, ...]) -> None:
    assert tuple(word(value, name) for name in NAMES) == said


@pytest.mark.parametrize(
    ("scale", "value", "said"),
    [
        ("koo-li", 0.49, "Poor"), ("koo-li", 0.6, "Moderate"), ("koo-li", 0.8, "Good"),
        ("koo-li", 0.95, "Excellent"), ("mchugh", 0.65, "Moderate"), ("mchugh", 0.85, "Strong"),
        ("mchugh", 0.95, "Almost perfect"), ("mchugh", -0.1, "None"),
        ("krippendorff", 0.6664, "not to be relied on"),
        ("krippendorff", 0.667, "tentative conclusions only"), ("krippendorff", 0.8, "acceptable"),
    ],
)  # fmt: skip
def test_the_other_scales(scale: str, value: float, said: str) -> None:
    assert word(value, scale) == said


def test_words_are_those_of_the_interval_and_never_without_it() -> None:
    table = Ratings.from_table([["a", "a"]] * 30 + [["a", "b"]] * 10 + [["b", "b"]] * 20)
    found = gwet_ac1(table)
    said = words(found, "landis-koch")
    assert " to " in said or said in {name for _, name in SCALES["landis-koch"].bands}
    assert words(replace(found, low=0.3, high=0.7), "landis-koch") == "Fair to Substantial"
    assert words(replace(found, low=None, high=None), "altman").startswith("no word")
    assert words(replace(found, value=None), "altman").startswith("no word")


def test_a_scale_that_is_none_is_told() -> None:
    with pytest.raises(BadInput, match="no scale of words"):
        word(0.5, "mine")


@given(st.floats(-1, 1), st.floats(-1, 1), st.sampled_from(list(SCALES)))
def test_more_never_has_a_lesser_word(one: float, other: float, scale: str) -> None:
    order = [SCALES[scale].lowest, *(name for _, name in SCALES[scale].bands)]
    low, high = sorted((one, other))
    assert order.index(word(low, scale)) <= order.index(word(high, scale))
