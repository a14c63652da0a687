"""Upgrades of the logbook's format: one step per file, never edited after release.

Each step is one transaction that also writes its record and the format number, so
an interrupted upgrade leaves the format before or the format after, never between.
"""

from __future__ import annotations

import sqlite3

from observe.store.transaction import transaction
from observe.store.upgrade import s001_log, s002_find, s003_packets

STEPS = (s001_log.STEP, s002_find.STEP, s003_packets.STEP)
"""Every step, in order; the first makes an empty file a logbook."""

OLDEST = STEPS[0].leads_to
NEWEST = STEPS[-1].leads_to
"""The oldest format that is brought up to date, and the one this program reads and writes."""


def format_now(connection: sqlite3.Connection) -> int:
    """The format of an open file, write-ahead log included; 0 for an empty one."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def upgrade(connection: sqlite3.Connection, *, at: str) -> None:
    """Bring an open file to the newest format. at: now, as the record holds it."""
    for step in STEPS:
        with transaction(connection):
            # Asked inside: another program may have taken the step meanwhile.
            if format_now(connection) < step.leads_to:
                step.take(connection, at=at)
