"""Format 2: every way in which the log is asked for events has its index."""

import hashlib
import sqlite3
from contextlib import closing

import pytest

from observe.store.upgrade import s001_log, s002_find


@pytest.mark.parametrize("column", ["observation", "attempt", "workshop", "kind"])
def test_events_are_found_without_reading_all(column: str) -> None:
    query = f"EXPLAIN QUERY PLAN SELECT * FROM event WHERE {column} = ? ORDER BY position"  # noqa: S608 - from above
    with closing(sqlite3.connect(":memory:")) as memory:
        s001_log.STEP.take(memory, at="")
        before = str(memory.execute(query, ("x",)).fetchall())
        s002_find.STEP.take(memory, at="")
        after = str(memory.execute(query, ("x",)).fetchall())
    assert "SCAN event" in before
    assert f"SEARCH event USING INDEX event_{column}" in after
    assert "TEMP B-TREE" not in after


def test_the_step_is_never_edited_after_release() -> None:
    text = "\n".join(s002_find.STEP.statements)
    assert hashlib.sha256(text.encode()).hexdigest() == (
        "2985da280f7ebbaaa4d25f8e6cc6cb3507262bf5f208f734cc1578439bfe9af6"
    )
