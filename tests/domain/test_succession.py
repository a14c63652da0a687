"""From where a successor goes on (rule T5)."""

from typing import Any

import pytest

from observe.domain.events import Stamp
from observe.domain.succession import Continuation, HandedOver, from_record

STEPS = {"1": None, "2": None}
WHOLE = Continuation("o-1", "p-1", "2", ("1",), 5, running=True)


def stamp(second: int) -> Stamp:
    return Stamp(f"2026-03-02T09:00:{second:02}.000+00:00", second * 10**9, "boot-1")


@pytest.mark.parametrize("elapsed", [None, 0, 5])
def test_a_continuation_is_read_as_it_was_written(elapsed: int | None) -> None:
    one = Continuation("o-1", "p-1", "2", ("1",), elapsed, running=elapsed is not None)
    assert from_record(one.as_record(), STEPS) == one


@pytest.mark.parametrize(
    "changed",
    [
        {"observer": 3},
        {"front": "9"},
        {"front": None},
        {"seen": ["9"]},
        {"seen": "1"},
        {"seen": [1]},
        {"running": 1},
        {"elapsed_ns": -1},
        {"elapsed_ns": 1.5},
        {"elapsed_ns": True},
    ],
)
def test_e1_what_is_no_continuation_is_never_guessed_at(changed: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=r".+"):
        from_record({**WHOLE.as_record(), **changed}, STEPS)


def test_e1_nothing_is_no_continuation() -> None:
    with pytest.raises(ValueError, match="names"):
        from_record(None, STEPS)


def test_the_clock_goes_on_while_nobody_watches_unless_it_stood() -> None:
    ran = HandedOver("d1/5", "p-2", "d1/4", stamp(10), 10**9, running=True)
    assert ran.elapsed_ns(stamp(13)) == 4 * 10**9
    stood = HandedOver("d1/5", "p-2", "d1/4", stamp(10), 10**9, running=False)
    assert stood.elapsed_ns(stamp(13)) == 10**9
