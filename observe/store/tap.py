"""The statements on the path of a tap, for the driver's own connection.

Run through SQLAlchemy they would cost as much again as the commit to the disk.
"""

from __future__ import annotations

import sqlite3
from typing import NamedTuple


class StoredForm(NamedTuple):
    """A form as the logbook keeps it, without its text."""

    digest: str
    scoring: str
    name: str


ADD_EVENT = """
    INSERT INTO event (
        device, seq, kind, version, gesture, part, workshop, attempt, observation, by_,
        at, monotonic_ns, boot, body, prev, hash
    ) VALUES (
        :device, :seq, :kind, :version, :gesture, :part, :workshop, :attempt, :observation, :by_,
        :at, :monotonic_ns, :boot, :body, :prev, :hash
    )
"""
ADD_TEXT = """
    INSERT INTO beside (device, seq, field, text, salt)
    VALUES (:device, :seq, :field, :text, :salt)
"""
ADD_FORM = """
    INSERT INTO form (digest, scoring, name, source)
    VALUES (:digest, :scoring, :name, :source)
"""
ADD_JUMP = "INSERT INTO jump (device, seq, turn) VALUES (?, ?, ?)"


def head(driver: sqlite3.Connection, device: str) -> tuple[int, str] | None:
    """Seq and hash of the newest event of a device; None before there is one."""
    found: tuple[int, str] | None = driver.execute(
        "SELECT seq, hash FROM event WHERE device = ? ORDER BY seq DESC LIMIT 1", (device,)
    ).fetchone()
    return found


def is_repeated(driver: sqlite3.Connection, gesture: str) -> bool:
    """Whether the events of this gesture are there already."""
    query = "SELECT 1 FROM event WHERE gesture = ? LIMIT 1"
    return driver.execute(query, (gesture,)).fetchone() is not None


def keep_form(driver: sqlite3.Connection, form: StoredForm, source: str) -> None:
    """Keep a form under its whole digest; one that is there already stays as it is."""
    query = "SELECT 1 FROM form WHERE digest = ?"
    if driver.execute(query, (form.digest,)).fetchone() is None:
        driver.execute(ADD_FORM, {**form._asdict(), "source": source})


def was_turned(driver: sqlite3.Connection, attempt: str, known: int) -> bool:
    """Whether it was noted after position `known` who of an attempt is here or watches it."""
    query = (
        "SELECT 1 FROM event WHERE attempt = ? AND position > ? AND observation = '' "
        "AND kind IN ('absence-noted', 'handed-over') LIMIT 1"
    )
    return driver.execute(query, (attempt, known)).fetchone() is not None


def newest(driver: sqlite3.Connection, observation: str) -> str:
    """Id of the newest event of an observation; empty before there is one."""
    found: tuple[str, int] | None = driver.execute(
        "SELECT device, seq FROM event WHERE observation = ? ORDER BY position DESC LIMIT 1",
        (observation,),
    ).fetchone()
    return f"{found[0]}/{found[1]}" if found else ""
