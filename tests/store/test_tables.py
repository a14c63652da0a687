"""The tables that queries name are those that the upgrade steps make."""

import sqlite3
from contextlib import closing

import pytest
from sqlalchemy import Table

from observe.store.rows import COLUMNS, TYPES
from observe.store.tables import event, metadata
from observe.store.upgrade import STEPS


@pytest.mark.parametrize("table", metadata.sorted_tables, ids=str)
def test_columns_are_those_of_the_file(table: Table) -> None:
    with closing(sqlite3.connect(":memory:")) as memory:
        for step in STEPS:
            step.take(memory, at="")
        made = memory.execute(f"PRAGMA table_info({table.name})").fetchall()
    columns = [(name, kind, bool(key)) for _, name, kind, _, _, key in made]
    assert columns == [(one.name, str(one.type), one.primary_key) for one in table.c]
    assert all(needed or key for _, _, _, needed, _, key in made)


def test_a_row_of_an_event_has_the_columns_of_the_table() -> None:
    kinds = {one.name: one.type.python_type for one in event.c if one.name != "position"}
    assert dict(zip(COLUMNS, TYPES, strict=True)) == kinds
