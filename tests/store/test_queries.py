"""What is asked of a logbook, for the driver's own connection."""

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing
from typing import Any

import pytest

from observe.store import queries, tap
from observe.store.rows import event_from, row_of
from observe.store.upgrade import STEPS
from tests.store.builders import EVENT


@pytest.fixture
def memory() -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(":memory:")) as connection:
        for step in STEPS:
            step.take(connection, at="")
        yield connection


def keep(memory: sqlite3.Connection, **changed: object) -> None:
    memory.execute(tap.ADD_EVENT, {**row_of(EVENT), **changed})


def test_an_empty_file_answers_nothing(memory: sqlite3.Connection) -> None:
    assert queries.device(memory) is None
    assert queries.position(memory) == 0
    assert queries.events(memory) == []
    assert queries.forms(memory) == []
    assert queries.form_source(memory, "d") is None
    assert [*queries.texts(memory, [("d", 1)])] == []


def test_the_device_is_the_one_that_was_named_last(memory: sqlite3.Connection) -> None:
    memory.execute("INSERT INTO device (id, made_at) VALUES ('d', ''), ('e', '')")
    assert queries.device(memory) == "e"


def test_a_row_is_an_event(memory: sqlite3.Connection) -> None:
    keep(memory)
    (row,) = queries.events(memory)
    assert event_from(row) == EVENT
    assert queries.of_gesture(memory, EVENT.gesture) == [row]
    assert queries.position(memory) == 1


@pytest.mark.parametrize("column", ["observation", "attempt", "workshop"])
def test_each_filter_narrows(memory: sqlite3.Connection, column: str) -> None:
    keep(memory)
    keep(memory, seq=2, gesture="g2", **{column: "another"})
    narrow: Mapping[str, Any] = {column: "another"}
    (row,) = queries.events(memory, **narrow)
    assert event_from(row).seq == 2


def test_kinds_and_a_position_narrow_too(memory: sqlite3.Connection) -> None:
    for seq, kind in enumerate(("looked", "mark-set", "sealed"), start=1):
        keep(memory, seq=seq, gesture=f"g{seq}", kind=kind)
    some = queries.events(memory, kinds=("sealed", "looked"), after=1)
    assert [event_from(row).kind for row in some] == ["sealed"]
    assert queries.events(memory, kinds=()) == []


def test_texts_of_any_number_of_events_are_found(memory: sqlite3.Connection) -> None:
    for seq in range(1, 1001):
        keep(memory, seq=seq, gesture=f"g{seq}")
        row = {"device": EVENT.device, "seq": seq, "field": "note", "text": f"t{seq}", "salt": "s"}
        memory.execute(tap.ADD_TEXT, row)
    found = [*queries.texts(memory, [(EVENT.device, seq) for seq in range(2, 1001)])]
    assert sorted(seq for _, seq, _, _ in found) == [*range(2, 1001)]
