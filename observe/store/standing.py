"""What of a logbook is in force, and in which order: read from its tables (rules E2, E5)."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from observe.domain.choices import over_in
from observe.domain.events import FIRST
from observe.domain.forks import Adoption, Fork, InForce, Link, in_force
from observe.domain.turns import Jump, Place, Turns, turns
from observe.store import queries
from observe.store.packet.lines import EventLine, read_line
from observe.store.rows import COLUMNS

_DEVICE, _SEQ, _HASH = COLUMNS.index("device"), COLUMNS.index("seq"), COLUMNS.index("hash")
_BODY, _PREV, _BY = COLUMNS.index("body"), COLUMNS.index("prev"), COLUMNS.index("by_")
Row = Sequence[Any]


@dataclass(frozen=True, slots=True)
class Tail:
    """An event that stands in the way of another one. texts: text and salt beside it, by field."""

    row: Row
    texts: Mapping[str, tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Standing:
    """What is in force of the devices that are forked; of all others everything is.

    tails: the events that are kept apart, whether in force or not.
    """

    devices: Mapping[str, InForce]
    tails: tuple[Tail, ...]

    @property
    def forks(self) -> tuple[Fork, ...]:
        """Every fork, by device and number."""
        return tuple(fork for _, one in sorted(self.devices.items()) for fork in one.forks)

    def holds(self, row: Row) -> bool:
        """Whether the event in a row is in force."""
        known = self.devices.get(row[_DEVICE])
        return known is None or known.holds(row[_SEQ], row[_HASH])

    def tail(self, device: str, seq: int) -> Tail | None:
        """The event of a tail that is in force in a place; None where none is."""
        for one in self.tails:
            if (one.row[_DEVICE], one.row[_SEQ]) == (device, seq) and self.holds(one.row):
                return one
        return None


NOTHING_FORKED = Standing({}, ())


def ordered(driver: sqlite3.Connection, rows: list[Row]) -> list[Row]:
    """Rows of events in the order that is the same on every machine.

    Where all are one device's that is the order of their numbers, and no turns are read.
    """
    if len({row[_DEVICE] for row in rows}) < 2:
        return sorted(rows, key=lambda row: int(row[_SEQ]))
    by = known_turns(driver)
    return sorted(rows, key=lambda row: Place(by.turn(row[_DEVICE], row[_SEQ]), *row[:2]))


def known_turns(driver: sqlite3.Connection) -> Turns:
    """The turns of all devices in the file."""
    return turns(Jump(*row) for row in driver.execute("SELECT device, seq, turn FROM jump"))


def greatest_turn(driver: sqlite3.Connection) -> int:
    """The greatest turn of any event in the file; 0 before there is one."""
    by = known_turns(driver)
    heads = driver.execute("SELECT device, max(seq) FROM event GROUP BY device")
    return max((by.turn(*head) for head in heads), default=0)


def standing(driver: sqlite3.Connection) -> Standing:
    """What is in force now. Where nothing is forked, one look into an empty table."""
    kept = driver.execute("SELECT line, texts FROM tail ORDER BY device, seq, hash").fetchall()
    if not kept:
        return NOTHING_FORKED
    tails = tuple(Tail(_row(line), _pairs(texts)) for line, texts in kept)
    adoptions = _adoptions(driver, tails)
    devices = {
        device: in_force(device, _links(driver, device, tails), adoptions)
        for device in sorted({one.row[_DEVICE] for one in tails})
    }
    return Standing(devices, tails)


def merged_with_tails(rows: list[Row], now: Standing, fits: Callable[[Row], bool]) -> list[Row]:
    """Rows of events without those not in force, and with those of tails that are and fit."""
    if not now.devices:
        return rows
    there = [row for row in rows if now.holds(row)]
    return there + [one.row for one in now.tails if now.holds(one.row) and fits(one.row)]


def tail_rows(driver: sqlite3.Connection, fork: Fork, hash_: str) -> list[Row]:
    """Rows of the events that follow one tail of a fork, by number; hash_: of its first one."""
    query = f"SELECT {', '.join(COLUMNS)} FROM event WHERE device = ? AND seq >= ? ORDER BY seq"  # noqa: S608 - names of columns
    rows: list[Row] = [*driver.execute(query, (fork.device, fork.seq)).fetchall()]
    rows += [one.row for one in standing(driver).tails if one.row[_DEVICE] == fork.device]
    found: list[Row] = []
    follows = {hash_}
    for row in sorted(rows, key=lambda row: int(row[_SEQ])):
        if row[_HASH] == hash_ or row[_PREV] in follows:
            follows.add(row[_HASH])
            found.append(row)
    return found


def _row(line: str) -> Row:
    read = read_line(line.encode("utf-8"))
    if not isinstance(read, EventLine):
        raise ValueError("what is kept of a tail is no event")  # noqa: TRY004 - a damaged file
    return read.row


def _pairs(texts: str) -> Mapping[str, tuple[str, str]]:
    return {field: (text, salt) for field, (text, salt) in json.loads(texts).items()}


def _first_differing(device: str, tails: Sequence[Tail]) -> int:
    return min(int(one.row[_SEQ]) for one in tails if one.row[_DEVICE] == device)


def _links(driver: sqlite3.Connection, device: str, tails: Sequence[Tail]) -> list[Link]:
    """Every known event of a device from the last one before its first fork on."""
    first = _first_differing(device, tails)
    links = [
        Link(seq, hash_, prev)
        for seq, hash_, prev in driver.execute(
            "SELECT seq, hash, prev FROM event WHERE device = ? AND seq >= ? "
            "UNION ALL SELECT seq, hash, NULL FROM stub WHERE device = ? AND seq >= ? "
            "AND NOT EXISTS (SELECT 1 FROM event WHERE event.device = stub.device "
            "AND event.seq = stub.seq)",
            (device, first - 1, device, first - 1),
        )
    ]
    links += [
        Link(one.row[_SEQ], one.row[_HASH], one.row[-2])
        for one in tails
        if one.row[_DEVICE] == device
    ]
    if first == 1:
        links.append(Link(0, FIRST, None))
    return links


def _adoptions(driver: sqlite3.Connection, tails: Sequence[Tail]) -> list[Adoption]:
    """What was adopted, first things first; only by devices that are in force without it."""
    ends = {one.row[_DEVICE]: _first_differing(one.row[_DEVICE], tails) for one in tails}
    found = []
    for row in ordered(driver, queries.events(driver, kinds=("fork-adopted",))):
        body = json.loads(row[_BODY])
        named = (body.get("device"), body.get("seq"), body.get("hash"))
        if row[_SEQ] < ends.get(row[_DEVICE], row[_SEQ] + 1) and _is_adoption(*named):
            id_ = f"{row[_DEVICE]}/{row[_SEQ]}"
            found.append(Adoption(*named, id_, row[_BY], frozenset(over_in(body))))
    return found


def _is_adoption(device: object, seq: object, hash_: object) -> bool:
    return isinstance(device, str) and type(seq) is int and isinstance(hash_, str)
