"""One step and its record."""

import sqlite3
from contextlib import closing

from observe.store.upgrade.s001_log import STEP as FIRST
from observe.store.upgrade.step import Step


def test_a_step_leaves_its_record_and_the_number_it_leads_to() -> None:
    with closing(sqlite3.connect(":memory:")) as memory:
        FIRST.take(memory, at="2026-11-25")
        Step(7, "a test", ("CREATE TABLE t (x)",)).take(memory, at="2026-11-26")
        assert memory.execute("PRAGMA user_version").fetchone() == (7,)
        assert memory.execute("SELECT * FROM upgrade").fetchall() == [
            (1, "2026-11-25", FIRST.needs),
            (7, "2026-11-26", "a test"),
        ]
        assert memory.execute("SELECT * FROM t").fetchall() == []
