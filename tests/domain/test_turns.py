"""An order over devices that needs no clock (rule E2)."""

from __future__ import annotations

import random
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from observe.domain.events import Event
from observe.domain.turns import Jump, jump_of, turns
from tests.store.builders import EVENT


def event(device: str, seq: int, kind: str = "mark-set", **body: object) -> Event:
    return replace(EVENT, device=device, seq=seq, kind=kind, body=body)


def test_e2_on_one_device_turns_count_with_its_events() -> None:
    none = turns([])
    assert [none.turn("a", seq) for seq in (1, 2, 9)] == [1, 2, 9]


def test_e2_after_a_merge_a_device_stands_after_all_that_it_took_in() -> None:
    merged = event("b", 3, "packet-merged", turn=40)
    order = turns([Jump("b", 3, 41)])
    assert jump_of(merged) == Jump("b", 3, 41)
    assert [order.turn("b", seq) for seq in (1, 2, 3, 4)] == [1, 2, 41, 42]
    some = [event("b", 4), event("a", 40), merged, event("b", 1)]
    assert [(one.device, one.seq) for one in order.ordered(some)] == [
        ("b", 1),
        ("a", 40),
        ("b", 3),
        ("b", 4),
    ]


def test_a_jump_that_would_go_back_is_none() -> None:
    order = turns([Jump("b", 5, 100), Jump("b", 7, 3)])
    assert [order.turn("b", seq) for seq in (6, 7, 8)] == [101, 102, 103]


def test_only_what_takes_in_others_jumps() -> None:
    assert jump_of(event("a", 1, "mark-set", turn=9)) is None
    for unreadable in ("9", True, -1, None):
        assert jump_of(event("a", 1, "device-named", turn=unreadable)) is None


JUMPS = st.lists(
    st.builds(Jump, st.sampled_from("abc"), st.integers(1, 50), st.integers(1, 200)), max_size=8
)


@given(JUMPS)
def test_turns_of_a_device_only_rise(jumps: list[Jump]) -> None:
    order = turns(jumps)
    for device in "abc":
        seen = [order.turn(device, seq) for seq in range(1, 60)]
        assert seen == sorted(set(seen))


@given(JUMPS, st.randoms())
def test_the_order_in_which_jumps_are_known_changes_nothing(
    jumps: list[Jump], dice: random.Random
) -> None:
    mixed = [*jumps]
    dice.shuffle(mixed)
    assert turns(mixed) == turns(jumps)
