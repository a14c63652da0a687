"""Scores as numbers."""

import numpy as np
import pytest

from observe.domain.troubles import BadInput
from observe.standards.cut import PERCENT, RAW
from observe.standards.scores import below, candidates, numbers, paired, scores_on


def test_missing_is_dropped_from_pairs_and_said_by_what_is_missing() -> None:
    scores, grades, said = paired([1, None, 3, None], [1, 2, None, None], "grade", RAW)
    assert (scores.tolist(), grades.tolist()) == ([1.0], [1.0])
    assert len(said) == 2


def test_infinite_and_off_scale_scores_are_refused() -> None:
    with pytest.raises(BadInput, match="Score number 1"):
        numbers([float("inf")], "score")
    with pytest.raises(BadInput, match="score of 101"):
        scores_on([101], PERCENT)


def test_below_is_strict_and_forgives_rounding() -> None:
    assert below(np.array([59.9, 60.0, 60.0 - 1e-12]), 60).tolist() == [True, False, False]


def test_one_candidate_is_no_plural() -> None:
    assert (candidates(1), candidates(2000)) == ("1 candidate", "2,000 candidates")
