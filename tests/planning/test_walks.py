"""Invented walks: repeatable, in the order of time, and different where a pace model says so."""

from __future__ import annotations

from itertools import pairwise
from statistics import fmean

import pytest

from observe.planning.walks import STEP_S, Happening, PaceModel, Walk, walks

STEPS = 30


def mean_step(found: list[Walk]) -> float:
    return fmean(one.ends - one.begins for walk in found for one in walk)


@pytest.mark.parametrize("model", PaceModel)
def test_a_walk_is_repeatable_and_goes_forward_in_time(model: PaceModel) -> None:
    found = walks(model, 6, STEPS, "a")
    assert found == walks(model, 6, STEPS, "a")
    assert found != walks(model, 6, STEPS, "b")
    for walk in found:
        assert all(one.begins < one.ends for one in walk)
        assert all(one.ends <= other.begins for one, other in pairwise(walk))
        assert len({one.place for one in walk}) == len(walk) <= STEPS


def test_the_right_model_takes_as_long_as_the_cue_assumes_and_the_wrong_ones_do_not() -> None:
    usual, slow, fast = (
        mean_step(walks(model, 60, STEPS, "a"))
        for model in (PaceModel.RIGHT, PaceModel.SLOW, PaceModel.FAST)
    )
    assert usual == pytest.approx(STEP_S, rel=0.15)
    assert slow == pytest.approx(2 * STEP_S, rel=0.15)
    assert fast == pytest.approx(STEP_S / 2, rel=0.15)


def test_only_in_another_order_steps_are_swapped_and_left_out() -> None:
    for model in PaceModel:
        orders = [[one.place for one in walk] for walk in walks(model, 10, STEPS, "a")]
        if model is PaceModel.ORDER:
            assert any(order != sorted(order) for order in orders)
            assert any(len(order) < STEPS for order in orders)
        else:
            assert all(order == list(range(STEPS)) for order in orders)


def test_heavy_tails_have_pauses() -> None:
    gaps = [
        other.begins - one.ends
        for walk in walks(PaceModel.HEAVY, 10, STEPS, "a")
        for one, other in pairwise(walk)
    ]
    assert any(gap > STEP_S for gap in gaps)
    assert max(gaps) <= 300


def test_a_step_is_seen_at_its_end_or_when_a_third_of_it_was_looked_at() -> None:
    step = Happening(0, 30.0, 60.0)
    assert step.is_seen(59, 61, 1 / 3)
    assert step.is_seen(25, 40, 1 / 3)
    assert not step.is_seen(25, 39, 1 / 3)
    assert not step.is_seen(61, 90, 1 / 3)
