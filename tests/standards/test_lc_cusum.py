"""LC-CUSUM: honest limits, and the same one learner or a thousand at once."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.standards.lc_cusum import Learning, lc_cusum, learning, reached

PLAIN = Learning(0.1, 0.25, 1.25)


def test_the_limit_keeps_the_share_that_was_asked_for() -> None:
    design = learning(0.1, 0.3, share=0.05, attempts=40, seed=3)
    draw = np.random.default_rng(99)
    found = reached(draw.random((20_000, 40)) < 0.3, design)
    assert float((found > 0).mean()) == pytest.approx(0.05, abs=4 * design.error + 0.004)
    competent = reached(draw.random((20_000, 40)) < 0.1, design)
    assert float((competent > 0).mean()) > 0.5


@pytest.mark.parametrize(("attempts", "unacceptable"), [(1, 0.3), (3, 0.3), (10, 0.4), (50, 0.25)])
def test_no_more_than_the_share_reach_it_where_scores_are_few(
    attempts: int, unacceptable: float
) -> None:
    """Of one attempt 70 % are successes: a limit at that score would be reached by all of them."""
    design = learning(0.1, unacceptable, share=0.05, attempts=attempts)
    draw = np.random.default_rng(7)
    found = reached(draw.random((20_000, attempts)) < unacceptable, design)
    assert design.share is not None
    assert design.share <= 0.05
    assert float((found > 0).mean()) <= 0.05 + 5 * design.error
    assert float((found > 0).mean()) == pytest.approx(design.share, abs=6 * design.error)


def test_the_same_seed_gives_the_same_limit() -> None:
    assert learning(0.1, 0.25, seed=4) == learning(0.1, 0.25, seed=4)


def test_a_limit_that_is_given_is_taken() -> None:
    assert learning(0.1, 0.25, limit=2.0).limit == 2.0


def test_a_run_of_successes_shows_competence_and_a_failure_sets_it_back() -> None:
    assert PLAIN.success == pytest.approx(np.log(0.9 / 0.75))
    assert PLAIN.failure == pytest.approx(np.log(0.1 / 0.25))
    assert lc_cusum([0] * 7, PLAIN).at == 7
    assert lc_cusum([0] * 6, PLAIN).at is None
    set_back = lc_cusum([0, 0, 0, 1, 0], PLAIN)
    assert set_back.values[3] == 0
    assert set_back.more == 6
    assert "6 more successes" in set_back.sentence
    assert lc_cusum([], PLAIN).more == 7


@pytest.mark.parametrize(
    "ask",
    [
        lambda: learning(0.25, 0.1),
        lambda: learning(0.1, 0.25, limit=0.0),
        lambda: learning(0.1, 0.25, limit=float("nan")),
        lambda: learning(0.1, 0.25, limit=float("inf")),
        lambda: learning(0.1, 0.25, share=0.9),
        lambda: learning(0.1, 0.25, attempts=0),
    ],
)
def test_what_cannot_be_is_told(ask: object) -> None:
    with pytest.raises(BadInput):
        ask()  # type: ignore[operator]


@given(st.lists(st.lists(st.booleans(), min_size=12, max_size=12), min_size=1, max_size=8))
def test_one_at_a_time_or_all_at_once_is_the_same(table: list[list[bool]]) -> None:
    found = reached(np.asarray(table), PLAIN)
    for row, at in zip(table, found, strict=True):
        score, first = 0.0, 0
        for number, failure in enumerate(row, start=1):
            score = max(0.0, score + (PLAIN.failure if failure else PLAIN.success))
            if score >= PLAIN.limit - 1e-9 and not first:
                first = number
        assert at == first
        assert lc_cusum(row, PLAIN).values[-1] == pytest.approx(score)
