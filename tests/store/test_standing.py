"""What is in force, and in which order, over several devices (rules E2, E5)."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace

import pytest

from observe.domain.events import FIRST, Body, Event, hash_of
from observe.domain.forks import Fork
from observe.store import queries, tap
from observe.store.packet.lines import event_line
from observe.store.rows import event_from, row_of
from observe.store.standing import (
    NOTHING_FORKED,
    greatest_turn,
    merged_with_tails,
    ordered,
    standing,
)
from observe.store.upgrade import STEPS
from tests.store.builders import EVENT


@pytest.fixture
def memory() -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(":memory:")) as connection:
        for step in STEPS:
            step.take(connection, at="")
        yield connection


def event(
    device: str, seq: int, prev: str = FIRST, kind: str = "looked", body: Body | None = None
) -> Event:
    made = replace(
        EVENT,
        device=device,
        seq=seq,
        prev=prev,
        kind=kind,
        gesture=f"{device}{seq}",
        body=body or {},
    )
    return replace(made, hash=hash_of(made))


def chain(
    device: str, count: int, start: int = 1, prev: str = FIRST, **body: object
) -> list[Event]:
    made: list[Event] = []
    for seq in range(start, start + count):
        made.append(event(device, seq, prev, body=body))
        prev = made[-1].hash
    return made


def keep(memory: sqlite3.Connection, events: list[Event]) -> None:
    memory.executemany(tap.ADD_EVENT, [row_of(one) for one in events])


def keep_apart(memory: sqlite3.Connection, events: list[Event]) -> None:
    for one in events:
        row = (one.device, one.seq, one.hash, event_line(one).decode(), json.dumps({}))
        memory.execute("INSERT INTO tail VALUES (?, ?, ?, ?, ?)", row)


def seen(memory: sqlite3.Connection) -> list[str]:
    rows = merged_with_tails(queries.events(memory), standing(memory), lambda _: True)
    return [event_from(row).id for row in ordered(memory, rows)]


def test_e2_turns_order_and_not_the_order_of_arrival(memory: sqlite3.Connection) -> None:
    keep(memory, chain("b", 3))
    keep(memory, chain("a", 2))
    memory.execute(tap.ADD_JUMP, ("b", 3, 9))
    assert seen(memory) == ["a/1", "b/1", "a/2", "b/2", "b/3"]
    assert greatest_turn(memory) == 9


def test_one_devices_events_stand_by_their_numbers_even_if_a_gap_was_filled_later(
    memory: sqlite3.Connection,
) -> None:
    first, second, third = chain("a", 3)
    keep(memory, [first, third])
    keep(memory, [second])
    assert seen(memory) == ["a/1", "a/2", "a/3"]


def test_nothing_forked_is_the_usual_case(memory: sqlite3.Connection) -> None:
    keep(memory, chain("a", 2))
    assert standing(memory) is NOTHING_FORKED
    assert greatest_turn(memory) == 2


def test_e5_of_a_fork_neither_tail_is_seen(memory: sqlite3.Connection) -> None:
    common = chain("a", 2)
    mine = chain("a", 2, 3, common[-1].hash, mine=True)
    theirs = chain("a", 3, 3, common[-1].hash)
    keep(memory, [*common, *mine])
    keep_apart(memory, theirs)
    assert seen(memory) == ["a/1", "a/2"]
    hashes = tuple(sorted((mine[0].hash, theirs[0].hash)))
    assert standing(memory).forks == (Fork("a", 3, hashes),)


def test_e5_an_adopted_tail_is_seen_wherever_it_is_kept(memory: sqlite3.Connection) -> None:
    common = chain("a", 2)
    mine = chain("a", 2, 3, common[-1].hash, mine=True)
    theirs = chain("a", 3, 3, common[-1].hash)
    keep(memory, [*common, *mine])
    keep_apart(memory, theirs)
    adopted = {"device": "a", "seq": 3, "hash": theirs[0].hash}
    keep(memory, [event("b", 1, kind="fork-adopted", body=adopted)])
    assert seen(memory) == ["a/1", "b/1", "a/2", "a/3", "a/4", "a/5"]
    assert standing(memory).tail("a", 4) is not None
    assert standing(memory).tail("a", 2) is None


def test_e5_a_device_does_not_adopt_its_own_tail(memory: sqlite3.Connection) -> None:
    common = chain("a", 2)
    theirs = chain("a", 1, 3, common[-1].hash)
    adopted = {"device": "a", "seq": 3, "hash": theirs[0].hash}
    keep(memory, [*common, event("a", 3, common[-1].hash, "fork-adopted", adopted)])
    keep_apart(memory, theirs)
    assert seen(memory) == ["a/1", "a/2"]


def test_a_fork_at_the_first_event_leaves_nothing(memory: sqlite3.Connection) -> None:
    keep(memory, chain("a", 2, mine=True))
    keep_apart(memory, chain("a", 1))
    assert seen(memory) == []
