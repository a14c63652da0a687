"""A double tap never marks the next step (look: "Debounce")."""

from __future__ import annotations

from observe.desk.live.debounce import ADVANCE_S, Debounce


class Now:
    def __init__(self) -> None:
        self.seconds = 5.0

    def __call__(self) -> float:
        return self.seconds


def test_a_held_thing_ignores_presses_for_its_time_and_no_longer() -> None:
    now = Now()
    debounce = Debounce(now)
    debounce.hold("step", ADVANCE_S)
    now.seconds += ADVANCE_S - 0.001
    assert not debounce.lets("step")
    now.seconds += 0.001
    assert debounce.lets("step")


def test_one_thing_does_not_hold_another() -> None:
    debounce = Debounce(Now())
    debounce.hold(("step", 1), 9)
    assert debounce.lets(("step", 2))
