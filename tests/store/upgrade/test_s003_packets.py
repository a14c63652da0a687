"""Format 3: room for what packets bring, which can only grow too."""

import hashlib
import sqlite3
from contextlib import closing

import pytest

from observe.store.upgrade import STEPS, s003_packets

ROWS = {"jump": ("d", 1, 5), "stub": ("d", 1, "h"), "tail": ("d", 1, "h", "{}", "{}")}


@pytest.mark.parametrize("table", sorted(ROWS))
def test_nothing_is_ever_changed_or_removed(table: str) -> None:
    places = ", ".join("?" * len(ROWS[table]))
    add = f"INTO {table} VALUES ({places})"
    with closing(sqlite3.connect(":memory:")) as memory:
        for step in STEPS:
            step.take(memory, at="")
        memory.execute(f"INSERT {add}", ROWS[table])
        for statement, values in (
            (f"INSERT OR REPLACE {add}", ROWS[table]),
            (f"UPDATE {table} SET seq = 2", ()),  # noqa: S608 - from above
            (f"DELETE FROM {table}", ()),  # noqa: S608 - from above
        ):
            with pytest.raises(sqlite3.IntegrityError, match="append-only"):
                memory.execute(statement, values)


def test_the_step_is_never_edited_after_release() -> None:
    text = "\n".join(s003_packets.STEP.statements)
    assert hashlib.sha256(text.encode()).hexdigest() == (
        "8fc3e1afef0d00caa938cce4f880e6a838ffa746b18075477aa195e7273c46e6"
    )
