"""A logbook to write into, and drafts to write."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing
from itertools import count
from pathlib import Path

from observe.domain.events import FIRST, Draft, Event, Stamp, sealed_event
from observe.store.log import Log

STAMP = Stamp("2026-11-25T09:00:00.123+00:00", 1_000, "boot-1")
SALT = "5a17" * 8
EVENT: Event = sealed_event(
    Draft("mark-set", {"step": "drapé", "list": [1, None, True]}, "w", "a", "o", "p"),
    device="d",
    seq=1,
    prev=FIRST,
    gesture="g",
    part=1,
    stamp=STAMP,
    commitments={"note": "c"},
)


def append(log: Log, *drafts: Draft, gesture: str = "", salt: str = SALT) -> tuple[Event, ...]:
    """One gesture; its id is a fresh one unless given."""
    name = gesture or f"gesture-{log.position() + 1}"
    return log.append(drafts, gesture=name, stamp=STAMP, salts=lambda: salt)


def a_mark(step: str = "drape", *, observation: str = "o1", attempt: str = "a1") -> Draft:
    mark = {"step": step, "mark": {"state": "done", "prompt": 0}}
    return Draft("mark-set", mark, "w1", attempt, observation, "p1")


def a_name(name: str = "Ana Sol", *, person: str = "p1") -> Draft:
    return Draft("person-named", {"person": person}, by=person, texts={"name": name})


def fill(log: Log, events: int) -> list[Event]:
    """So many marks, one gesture each."""
    return [append(log, a_mark(f"step-{number}"))[0] for number in range(events)]


def salts() -> Iterator[str]:
    return (f"{number:032x}" for number in count(1))


def tampered(path: Path, *statements: str, values: Sequence[object] = ()) -> None:
    """Change a logbook as no part of the program does: its guards are away meanwhile."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        guards = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        known = guards.fetchall()
        for name, _ in known:
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            connection.execute(statement, tuple(values))
        for _, sql in known:
            connection.execute(sql)
