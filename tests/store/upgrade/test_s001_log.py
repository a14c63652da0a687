"""Format 1: tables that only grow. How the guards hold is tested with `schema`."""

import hashlib
import sqlite3
from contextlib import closing

from observe.store.upgrade.s001_log import STEP


def test_every_table_has_its_three_guards() -> None:
    with closing(sqlite3.connect(":memory:")) as memory:
        STEP.take(memory, at="")
        named = "SELECT name FROM sqlite_master WHERE type = ?"
        tables = {name for (name,) in memory.execute(named, ("table",))}
        guards = {name for (name,) in memory.execute(named, ("trigger",))}
    assert tables == {"upgrade", "device", "form", "event", "beside"}
    assert guards == {f"{t}_{act}" for t in tables for act in ("no_update", "no_delete", "once")}


def test_the_step_is_never_edited_after_release() -> None:
    """Files that took it hold these very words, and are compared with them at opening."""
    text = "\n".join(STEP.statements)
    assert hashlib.sha256(text.encode()).hexdigest() == (
        "1c631e3da8a679670667db91a07e283b25e901a0e673dd52e38b100ac608c605"
    )
