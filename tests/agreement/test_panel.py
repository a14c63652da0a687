"""The panel: which coefficients a table gets."""

import json
import math

import pytest
from hypothesis import given

from observe.agreement import Ratings
from observe.agreement.panel import PANEL, estimates, fitting, usual
from observe.domain.troubles import BadInput
from tests.agreement.tables import gappy, gwet_four, ratings_of

BINARY = [[40, 9], [6, 45]]
THREE = [[5, 1, 0], [1, 5, 1], [0, 1, 5]]


def test_two_observers_of_two_categories() -> None:
    names = usual(ratings_of(BINARY))
    assert names == ("percent_agreement", "cohen_kappa", "pabak", "gwet_ac1")


def test_more_categories_have_no_pabak_and_an_order_brings_weights() -> None:
    assert usual(ratings_of(THREE)) == ("percent_agreement", "cohen_kappa", "gwet_ac1")
    ordered = ratings_of(THREE, scale="ordinal")
    assert usual(ordered) == ("percent_agreement", "weighted_kappa")
    forms = [found.form for found in estimates(ordered, ["weighted_kappa"])]
    assert forms == ["linear", "quadratic"]


def test_more_observers_get_what_is_made_for_them() -> None:
    assert usual(gwet_four()) == ("percent_agreement", "fleiss_kappa", "gwet_ac1")
    assert "cohen_kappa" not in fitting(gwet_four())


def test_numbers_are_compared_by_distance() -> None:
    scores = Ratings.from_table([[50, 60], [70, 72.5]], scale="interval")
    assert usual(scores) == fitting(scores) == ("percent_agreement", "weighted_kappa")


def test_a_name_not_known_is_refused_with_those_that_are() -> None:
    with pytest.raises(BadInput, match="Not in this version: icc") as trouble:
        estimates(gwet_four(), ["percent_agreement", "icc"])
    assert "cohen_kappa" in trouble.value.remedy


@given(gappy())
def test_each_answer_is_a_number_or_a_sentence_never_nan(rows: list[list[int | None]]) -> None:
    for scale in ("nominal", "ordinal", "interval"):
        ratings = Ratings.from_table(rows, scale=scale, categories=[0, 1, 2])
        for found in estimates(ratings, list(PANEL)):
            assert (found.value is None) == (found.undefined is not None)
            assert (found.low is None) == (found.high is None) == (found.interval is None)
            if found.value is not None and found.low is None:
                assert "interval not" in found.note
            numbers = [x for x in (found.value, found.low, found.high) if x is not None]
            assert all(map(math.isfinite, numbers))
            if found.low is not None and found.high is not None and found.value is not None:
                assert found.low <= found.value <= found.high
            assert json.dumps(numbers, allow_nan=False)
