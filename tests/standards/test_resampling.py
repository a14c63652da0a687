"""The bootstrap: seeded, within groups, what has no value counted."""

import numpy as np
import pytest

from observe.standards.cut import Asking
from observe.standards.resampling import bootstrap, summed_up
from observe.standards.scores import Flags, Floats, Whole

VALUES = np.arange(20, dtype=float)


def means(places: Whole) -> tuple[Floats, Flags]:
    return VALUES[places].mean(axis=1), np.ones(len(places), dtype=bool)


def test_the_error_of_a_mean_is_the_one_of_the_textbook() -> None:
    found = bootstrap(means, [20], Asking(seed=1))
    assert found.se == pytest.approx(VALUES.std() / 20**0.5, rel=0.06)
    assert found == bootstrap(means, [20], Asking(seed=1))


def test_groups_keep_their_sizes() -> None:
    def sizes(places: Whole) -> tuple[Floats, Flags]:
        first = (places < 5).sum(axis=1)
        return first.astype(float), np.ones(len(places), dtype=bool)

    found = bootstrap(sizes, [5, 15], Asking(), times=50)
    assert (found.se, found.limits, found.still) == (None, None, True)
    assert "the same cut" in found.note


def test_progress_is_told_to_the_end() -> None:
    told: list[tuple[int, int]] = []
    bootstrap(means, [20], Asking(tick=lambda done, total: told.append((done, total))))
    assert told[-1] == (2000, 2000)


def test_resamples_without_a_value_are_counted_and_too_many_give_nothing() -> None:
    half = summed_up(np.arange(10.0), np.arange(10) < 6, 0.95)
    assert half.note == "4 of 10 resamples had no cut and were left out."
    assert half.se is not None
    few = summed_up(np.arange(10.0), np.arange(10) < 4, 0.95)
    assert (few.se, few.limits, few.empty) == (None, None, 6)
