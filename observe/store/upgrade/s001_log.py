"""Format 1: events, the texts beside them, forms, devices and the record of upgrades.

Rows are only ever added. BEFORE INSERT guards stand beside those for UPDATE and
DELETE because INSERT OR REPLACE removes a row without firing a DELETE trigger
(https://www.sqlite.org/lang_conflict.html). A position is never given twice although
it is no AUTOINCREMENT: no row ever leaves.
"""

from __future__ import annotations

from collections.abc import Mapping

from observe.store.upgrade.step import Step

_TABLES = (
    """
    CREATE TABLE upgrade (
        format INTEGER PRIMARY KEY,
        at TEXT NOT NULL,
        needs TEXT NOT NULL
    )
    """,
    """
    CREATE TABLE device (
        number INTEGER PRIMARY KEY,
        id TEXT NOT NULL UNIQUE,
        made_at TEXT NOT NULL
    )
    """,
    """
    CREATE TABLE form (
        digest TEXT NOT NULL PRIMARY KEY,
        scoring TEXT NOT NULL,
        name TEXT NOT NULL,
        source TEXT NOT NULL
    )
    """,
    """
    CREATE TABLE event (
        position INTEGER PRIMARY KEY,
        device TEXT NOT NULL,
        seq INTEGER NOT NULL CHECK (seq >= 1),
        kind TEXT NOT NULL,
        version INTEGER NOT NULL,
        gesture TEXT NOT NULL,
        part INTEGER NOT NULL,
        workshop TEXT NOT NULL,
        attempt TEXT NOT NULL,
        observation TEXT NOT NULL,
        by_ TEXT NOT NULL,
        at TEXT NOT NULL,
        monotonic_ns INTEGER NOT NULL,
        boot TEXT NOT NULL,
        body TEXT NOT NULL,
        prev TEXT NOT NULL,
        hash TEXT NOT NULL,
        UNIQUE (device, seq),
        UNIQUE (gesture, part)
    )
    """,
    """
    CREATE TABLE beside (
        device TEXT NOT NULL,
        seq INTEGER NOT NULL,
        field TEXT NOT NULL,
        text TEXT NOT NULL,
        salt TEXT NOT NULL,
        PRIMARY KEY (device, seq, field),
        FOREIGN KEY (device, seq) REFERENCES event (device, seq)
    )
    """,
)

_KEYS = {
    "upgrade": (("format",),),
    "device": (("number",), ("id",)),
    "form": (("rowid",), ("digest",)),
    "event": (("position",), ("device", "seq"), ("gesture", "part")),
    "beside": (("rowid",), ("device", "seq", "field")),
}


def guards(tables: Mapping[str, tuple[tuple[str, ...], ...]]) -> tuple[str, ...]:
    """The triggers that let tables grow only. tables: the keys of each, by name."""
    return tuple(
        statement
        for table, keys in tables.items()
        for statement in (_refuse(table, "UPDATE"), _refuse(table, "DELETE"), _once(table, keys))
    )


def _refuse(table: str, act: str) -> str:
    return (
        f"CREATE TRIGGER {table}_no_{act.lower()} BEFORE {act} ON {table} "
        "BEGIN SELECT RAISE(ABORT, 'append-only'); END"
    )


def _once(table: str, keys: tuple[tuple[str, ...], ...]) -> str:
    taken = " OR ".join(
        f"EXISTS (SELECT 1 FROM {table} WHERE "  # noqa: S608 - names from the table above
        + " AND ".join(f"{column} = NEW.{column}" for column in key)
        + ")"
        for key in keys
    )
    return (
        f"CREATE TRIGGER {table}_once BEFORE INSERT ON {table} WHEN {taken} "
        "BEGIN SELECT RAISE(ABORT, 'append-only'); END"
    )


STEP = Step(1, "a logbook in which every table can only grow", (*_TABLES, *guards(_KEYS)))
