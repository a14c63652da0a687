"""After an interruption the room says what was last."""

from __future__ import annotations

from collections.abc import Callable

from observe.desk.live.interruptions import away
from observe.desk.live.model import LiveModel
from observe.domain.marks import DONE, INCORRECT
from tests.desk.people import HandClock, ready_to_seal


def test_the_last_three_marks_are_shown_the_newest_first(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    model = make_model(3)
    for seat in (0, 1, 1, 2):
        clock.go(5)
        model.mark(seat, INCORRECT if seat == 2 else DONE)
    said = away([model.state(seat) for seat in range(3)], 102)
    assert said is not None
    assert said.seat == 2
    assert [(one.seat, one.words) for one in said.lasts] == [
        (2, "Incorrect, step 1, at 00:00"),
        (1, "Done, step 2, at 00:05"),
        (1, "Done, step 1, at 00:00"),
    ]


def test_what_was_taken_back_or_sealed_is_not_said(
    make_model: Callable[..., LiveModel], clock: HandClock
) -> None:
    model = make_model(2)
    model.mark(0, DONE)
    clock.go(5)
    ready_to_seal(model, 0)
    clock.go(5)
    model.seal(0)
    assert away([model.state(seat) for seat in range(2)], 60) is None
