"""Whether adjusting would help, by simulation with its Monte-Carlo error."""

from __future__ import annotations

import pytest

from observe.agreement.adjusting import adjusting
from observe.agreement.severity import Table
from observe.domain.troubles import BadInput, Stopped

TABLE = Table.of(
    [
        (f"l{learner}", f"o{place}", 0.0)
        for learner in range(24)
        for place in {learner % 3, (learner + (learner % 4 == 0)) % 3}
    ]
)


def test_where_observers_differ_much_adjusting_helps() -> None:
    found = adjusting(TABLE, (64.0, 64.0, 4.0), 60.0, 60.0, seed=1)
    assert found.helps is True
    assert found.adjusted < found.raw
    assert "would help" in found.sentence


def test_where_observers_are_alike_it_makes_no_difference() -> None:
    found = adjusting(TABLE, (64.0, 0.0, 16.0), 60.0, 60.0, seed=1)
    assert found.adjusted == pytest.approx(found.raw)
    assert found.helps is None
    assert "no difference" in found.sentence


def test_without_any_error_every_decision_is_right() -> None:
    found = adjusting(TABLE, (64.0, 0.0, 0.0), 60.0, 60.0, simulations=200)
    assert (found.raw, found.adjusted) == (0.0, 0.0)


def test_the_same_seed_gives_the_same_and_another_one_within_its_error() -> None:
    one, same, other = (adjusting(TABLE, (64.0, 36.0, 9.0), 60.0, 62.0, seed=n) for n in (1, 1, 2))
    assert one == same
    assert other.raw == pytest.approx(one.raw, abs=5 * (one.raw_error + other.raw_error))


def test_too_few_simulations_are_refused_and_long_ones_can_be_stopped() -> None:
    with pytest.raises(BadInput):
        adjusting(TABLE, (1.0, 1.0, 1.0), 0.0, 0.0, simulations=10)

    def stop(done: int, total: int) -> None:
        raise Stopped(f"{done} of {total}")

    with pytest.raises(Stopped):
        adjusting(TABLE, (1.0, 1.0, 1.0), 0.0, 0.0, tick=stop)
