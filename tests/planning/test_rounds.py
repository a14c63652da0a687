"""Rounds: what an observer sees in turn and led by the cue, small and repeatable."""

from __future__ import annotations

from collections.abc import Sequence

from observe.domain.bodies import Because
from observe.planning.grid import Cell
from observe.planning.looking import Learner, Stage, Suggestion
from observe.planning.rounds import Round, judged, played
from observe.planning.walks import Happening, PaceModel

STAGES = tuple(Stage(f"S{n}", critical=n % 3 == 0, essential=n == 1) for n in range(12))
CELL = Cell("a form", "", 6, PaceModel.RIGHT, 10.0)
ONE = (Stage("S0", critical=True),)


def test_a_run_is_repeatable() -> None:
    assert played(CELL, STAGES, 3) == played(CELL, STAGES, 3)
    assert played(CELL, STAGES, 3) != played(CELL, STAGES, 4)


def test_without_suggestions_the_led_observer_goes_in_turn() -> None:
    turn, led, loosely = played(CELL, STAGES, 0, asked=lambda _: None)
    assert turn == led == loosely


def test_alone_with_one_learner_everything_is_seen() -> None:
    walk = [Happening(n, 30.0 * n, 30.0 * n + 30) for n in range(12)]
    shares = Round(STAGES, [walk], 10.0, "a").run()
    assert shares.critical == shares.essential == shares.every == 100


def test_only_what_happens_under_the_observers_eyes_is_seen() -> None:
    """Two learners do their one step at the same time, far from each other's end."""
    walk = [Happening(0, 0.0, 12.0)]
    shares = Round(ONE, [walk, walk], 40.0, "a").run()
    assert shares.critical == 50


def test_a_cue_that_knows_where_the_step_is_brings_the_observer_there() -> None:
    """Only the last of six does something; in turn the observer is elsewhere when it ends."""
    quiet = [Happening(0, 0.0, 400.0)]
    stages = (Stage("S0"), Stage("S1", critical=True))
    busy = [Happening(0, 0.0, 30.0), Happening(1, 30.0, 42.0)]

    def knows(learners: Sequence[Learner]) -> Suggestion | None:
        ready = learners[5].running and learners[5].now_ns > 8_000_000_000
        return Suggestion(5, "S1", Because.CRITICAL, 0, 1.0) if ready else None

    walked = [*[quiet] * 5, busy]
    turn = Round(stages, walked, 20.0, "a").run()
    led = Round(stages, walked, 20.0, "a", asked=knows, obedience=1.0).run()
    assert turn.critical == 0
    assert led.critical == 100


def test_it_says_how_well_a_difference_is_known() -> None:
    found = judged(CELL, STAGES, most=4)
    assert found.runs == 4
    assert all(one.error > 0 for one in found.critical)
    assert all(abs(one.mean) <= 100 for one in found.critical)
