"""What is asked of a logbook on this machine, for the driver's own connection.

From the start of the program to the first mark nothing else is asked, so that a start need
not load SQLAlchemy, which takes a third as long as all the rest of it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Iterator, Sequence
from typing import Any

from observe.store.rows import COLUMNS

_EVENTS = f"SELECT {', '.join(COLUMNS)} FROM event"  # noqa: S608 - names of columns
_KEYS_AT_ONCE = 250


def device(driver: sqlite3.Connection) -> str | None:
    """The id under which this file's own events are written; None where there is none."""
    found: str | None = _one(driver, "SELECT id FROM device ORDER BY number DESC LIMIT 1")
    return found


def devices(driver: sqlite3.Connection) -> list[str]:
    """Every id under which this file's own events were written, the first one first."""
    return [id_ for (id_,) in driver.execute("SELECT id FROM device ORDER BY number").fetchall()]


def heads(driver: sqlite3.Connection) -> dict[str, tuple[int, str]]:
    """By device, number and hash of the newest event."""
    query = (
        "SELECT device, seq, hash FROM event WHERE (device, seq) IN "
        "(SELECT device, max(seq) FROM event GROUP BY device) ORDER BY device"
    )
    return {device: (seq, hash_) for device, seq, hash_ in driver.execute(query).fetchall()}


def gaps(driver: sqlite3.Connection) -> dict[str, tuple[tuple[int, int], ...]]:
    """By device, the runs of numbers that are missing before its newest one: from, to."""
    query = (
        "SELECT device, before + 1, seq - 1 FROM (SELECT device, seq, lag(seq, 1, 0) OVER "
        "(PARTITION BY device ORDER BY seq) AS before FROM event) "
        "WHERE seq > before + 1 ORDER BY device, seq"
    )
    found: dict[str, tuple[tuple[int, int], ...]] = {}
    for device, first, last in driver.execute(query).fetchall():
        found[device] = (*found.get(device, ()), (first, last))
    return found


def hash_of(driver: sqlite3.Connection, device: str, seq: int) -> str | None:
    """The hash of the event in a place; None where none is."""
    query = "SELECT hash FROM event WHERE device = ? AND seq = ?"
    found: str | None = _one(driver, query, device, seq)
    return found


def data_version(driver: sqlite3.Connection) -> int:
    """A number that changes with each commit of any other connection."""
    return int(driver.execute("PRAGMA data_version").fetchone()[0])


def position(driver: sqlite3.Connection) -> int:
    """The position of the newest event, whoever wrote it; 0 if there is none."""
    return int(_one(driver, "SELECT max(position) FROM event") or 0)


def of_gesture(driver: sqlite3.Connection, gesture: str) -> list[Sequence[Any]]:
    """The rows of the events of one gesture, in the order of its parts."""
    return driver.execute(f"{_EVENTS} WHERE gesture = ? ORDER BY part", (gesture,)).fetchall()


def events(
    driver: sqlite3.Connection,
    *,
    observation: str | None = None,
    attempt: str | None = None,
    workshop: str | None = None,
    kinds: Collection[str] | None = None,
    after: int = 0,
) -> list[Sequence[Any]]:
    """The rows of the events that fit, whether in force or not, in the order of the file.

    None asks for all. after: a position; those up to it are left out.
    """
    wanted, asked = ["position > ?"], list[Any]([after])
    for column, value in (
        ("observation", observation),
        ("attempt", attempt),
        ("workshop", workshop),
    ):
        if value is not None:
            wanted.append(f"{column} = ?")
            asked.append(value)
    if kinds is not None:
        wanted.append(f"kind IN ({_places(kinds)})")
        asked += sorted(kinds)
    query = f"{_EVENTS} WHERE {' AND '.join(wanted)} ORDER BY position"
    return driver.execute(query, asked).fetchall()


def texts(
    driver: sqlite3.Connection, keys: Sequence[tuple[str, int]]
) -> Iterator[tuple[str, int, str, Any]]:
    """Device, seq, field and text of all that stands beside the events with these keys."""
    for start in range(0, len(keys), _KEYS_AT_ONCE):
        some = keys[start : start + _KEYS_AT_ONCE]
        query = (
            "SELECT device, seq, field, text FROM beside "  # noqa: S608 - only places for values
            f"WHERE (device, seq) IN (VALUES {', '.join(['(?, ?)'] * len(some))})"
        )
        yield from driver.execute(query, [part for key in some for part in key])


def form_source(driver: sqlite3.Connection, digest: str) -> object:
    """What is stored as the text of a form; None where there is no such form."""
    return _one(driver, "SELECT source FROM form WHERE digest = ?", digest)


def forms(driver: sqlite3.Connection) -> list[tuple[str, str, str]]:
    """Digest, scoring digest and name of every form, by name."""
    return driver.execute("SELECT digest, scoring, name FROM form ORDER BY name, digest").fetchall()


def _places(values: Collection[str]) -> str:
    return ", ".join("?" * len(values))


def _one(driver: sqlite3.Connection, query: str, *values: object) -> Any:  # noqa: ANN401 - as stored
    row = driver.execute(query, values).fetchone()
    return None if row is None else row[0]
