"""The tables that queries name are those that the upgrade steps make."""

import sqlite3
from contextlib import closing

import pytest
from sqlalchemy import Table

from observe.store.tables import metadata
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
