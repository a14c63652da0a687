"""Upgrades of the logbook's format: one step per file, never edited after release.

Each step is one transaction that also writes its record and the format number, so
an interrupted upgrade leaves the format before or the format after, never between.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping

from observe.store.transaction import transaction
from observe.store.upgrade import s001_log, s002_find
from observe.store.upgrade.step import Step

STEPS: Mapping[int, Step] = {1: s001_log.STEP, 2: s002_find.STEP}
"""The step that leads to each format, from the one before."""

NEWEST = max(STEPS)
"""The format this program reads and writes."""


def format_now(connection: sqlite3.Connection) -> int:
    """The format of an open file, write-ahead log included; 0 for a new one."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def upgrade(connection: sqlite3.Connection, *, at: str, up_to: int = NEWEST) -> None:
    """Bring an open file to format `up_to`, step by step. at: now, as the record holds it."""
    while format_now(connection) < up_to:
        with transaction(connection):
            # Asked again inside: another program may have made the step meanwhile.
            reached = format_now(connection)
            if reached < up_to:
                take_step(connection, reached + 1, at=at)


def take_step(connection: sqlite3.Connection, number: int, *, at: str) -> None:
    """One step with its record, inside a transaction of the caller."""
    step = STEPS[number]
    for statement in step.statements:
        connection.execute(statement)
    connection.execute("INSERT INTO upgrade VALUES (?, ?, ?)", (number, at, step.needs))
    connection.execute(f"PRAGMA user_version = {number:d}")
