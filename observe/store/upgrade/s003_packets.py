"""Format 3: what packets bring besides events (rules E2, E5, E6).

jump: where the turns of a device jump, because it took in what others wrote. stub: events
that were withheld from a packet. tail: what stands in the way of an event with the same
device and number but another hash; kept readable, with the texts beside it.
"""

from __future__ import annotations

from observe.store.upgrade.s001_log import guards
from observe.store.upgrade.step import Step

_TABLES = (
    """
    CREATE TABLE jump (
        device TEXT NOT NULL,
        seq INTEGER NOT NULL,
        turn INTEGER NOT NULL,
        PRIMARY KEY (device, seq, turn)
    )
    """,
    """
    CREATE TABLE stub (
        device TEXT NOT NULL,
        seq INTEGER NOT NULL,
        hash TEXT NOT NULL,
        PRIMARY KEY (device, seq)
    )
    """,
    """
    CREATE TABLE tail (
        device TEXT NOT NULL,
        seq INTEGER NOT NULL,
        hash TEXT NOT NULL,
        line TEXT NOT NULL,
        texts TEXT NOT NULL,
        PRIMARY KEY (device, seq, hash)
    )
    """,
)
_KEYS = {
    "jump": (("rowid",), ("device", "seq", "turn")),
    "stub": (("rowid",), ("device", "seq")),
    "tail": (("rowid",), ("device", "seq", "hash")),
}

STEP = Step(3, "taking in what other machines wrote", (*_TABLES, *guards(_KEYS)))
