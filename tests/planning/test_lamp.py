"""The lamp: at most one change in ten seconds, still under a finger, out when touched."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from observe.domain.bodies import Because
from observe.planning.lamp import HOLDS_NS, STILL_NS, Lamp
from observe.planning.looking import Suggestion

S = 1_000_000_000


def at(seat: int) -> Suggestion:
    return Suggestion(seat, "S1", Because.CRITICAL, 60 * S, 1.0)


def seat_of(lamp: Lamp) -> int | None:
    return None if lamp.lit is None else lamp.lit.seat


def test_it_comes_on_for_the_first_suggestion() -> None:
    assert seat_of(Lamp().shown(at(3), 5 * S)) == 3


def test_it_changes_at_most_once_in_ten_seconds() -> None:
    lamp = Lamp().shown(at(3), 0)
    assert seat_of(lamp.shown(at(4), 10 * S - 1)) == 3
    assert seat_of(lamp.shown(None, 10 * S - 1)) == 3
    assert seat_of(lamp.shown(at(4), 10 * S)) == 4
    assert seat_of(lamp.shown(None, 10 * S)) is None


def test_it_never_changes_within_two_seconds_of_a_touch() -> None:
    lamp = Lamp().shown(at(3), 0).touched(1, 20 * S)
    assert seat_of(lamp) == 3
    assert seat_of(lamp.shown(at(4), 22 * S - 1)) == 3
    assert seat_of(lamp.shown(at(4), 22 * S)) == 4


def test_it_goes_out_when_its_seat_is_touched_and_stays_out_for_its_ten_seconds() -> None:
    lamp = Lamp().shown(at(3), 0).touched(3, 4 * S)
    assert seat_of(lamp) is None
    assert seat_of(lamp.shown(at(5), 9 * S)) is None
    assert seat_of(lamp.shown(at(5), 10 * S)) == 5


def test_it_keeps_its_words_while_the_same_seat_is_suggested() -> None:
    lamp = Lamp().shown(at(3), 0)
    assert lamp.shown(at(3), 40 * S) is lamp


def test_turned_off_it_is_dark() -> None:
    assert Lamp().shown(at(3), 0).out().lit is None


moves = st.lists(
    st.tuples(
        st.integers(1, 15 * S), st.sampled_from(["touch", "ask", "nothing"]), st.integers(0, 11)
    ),
    max_size=40,
)


@settings(max_examples=50)
@given(moves)
def test_whatever_happens_it_holds_still(done: list[tuple[int, str, int]]) -> None:
    lamp, now = Lamp(), 0
    last_lit = last_touch = -(10**12)
    for wait, what, seat in done:
        now += wait
        before = seat_of(lamp)
        if what == "touch":
            lamp = lamp.touched(seat, now)
            last_touch = now
            assert seat_of(lamp) in (before, None)
            assert seat_of(lamp) != seat
            continue
        lamp = lamp.shown(at(seat) if what == "ask" else None, now)
        if seat_of(lamp) != before:
            assert now - last_touch >= STILL_NS
            assert now - last_lit >= HOLDS_NS
            last_lit = now
