"""The statements on the path of a tap."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing

import pytest

from observe.store import tap
from observe.store.rows import row_of
from observe.store.tables import beside, event, form
from observe.store.upgrade import STEPS
from tests.store.builders import EVENT


@pytest.fixture
def memory() -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(":memory:")) as connection:
        for step in STEPS:
            step.take(connection, at="")
        yield connection


def test_they_fill_every_column_but_the_position(memory: sqlite3.Connection) -> None:
    rows = {
        "event": row_of(EVENT),
        "beside": {one.name: 1 for one in beside.c},
        "form": {one.name: 1 for one in form.c},
    }
    assert [*rows["event"]] == [one.name for one in event.c if one.name != "position"]
    for table, statement in (
        ("event", tap.ADD_EVENT),
        ("beside", tap.ADD_TEXT),
        ("form", tap.ADD_FORM),
    ):
        memory.execute(statement, rows[table])
        memory.row_factory = sqlite3.Row
        stored = dict(memory.execute(f"SELECT * FROM {table}").fetchone())  # noqa: S608 - from above
        stored.pop("position", None)
        assert {name: str(value) for name, value in stored.items()} == {
            name: str(value) for name, value in rows[table].items()
        }
        memory.row_factory = None


def test_the_head_is_the_highest_number_of_the_device(memory: sqlite3.Connection) -> None:
    assert tap.head(memory, EVENT.device) is None
    for seq in (1, 3, 2):
        row = {**row_of(EVENT), "seq": seq, "gesture": f"g{seq}", "hash": f"h{seq}"}
        memory.execute(tap.ADD_EVENT, row)
    assert tap.head(memory, EVENT.device) == (3, "h3")
    assert tap.head(memory, "another") is None


def test_a_gesture_and_a_form_are_known_once_they_are_there(memory: sqlite3.Connection) -> None:
    assert not tap.is_repeated(memory, EVENT.gesture)
    memory.execute(tap.ADD_EVENT, row_of(EVENT))
    assert tap.is_repeated(memory, EVENT.gesture)
    assert not tap.is_repeated(memory, "another")
    for source in ("first", "second"):
        tap.keep_form(memory, tap.StoredForm("d", "s", "n"), source)
    assert memory.execute("SELECT * FROM form").fetchall() == [("d", "s", "n", "first")]


def test_the_newest_event_of_an_observation_is_the_one_that_came_last(
    memory: sqlite3.Connection,
) -> None:
    """T5: an observation may have been handed over, so its newest event names its device."""
    assert tap.newest(memory, EVENT.observation) == ""
    for device, seq in (("d", 7), ("e", 2)):
        row = {**row_of(EVENT), "device": device, "seq": seq, "gesture": device, "hash": device}
        memory.execute(tap.ADD_EVENT, row)
    assert tap.newest(memory, EVENT.observation) == "e/2"
    assert tap.newest(memory, "another") == ""
