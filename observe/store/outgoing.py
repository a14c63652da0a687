"""The lines that a packet carries: what fits, stubs of what is withheld between, and tails."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator

from observe.domain.events import Event
from observe.store.log import Log
from observe.store.packet.lines import TextLine, event_line, stub_line, text_line
from observe.store.rows import COLUMNS, event_of
from observe.store.standing import Row, Tail, standing

Carries = Callable[[Event], bool]
Goes = Callable[[Row, Event], bool]


def lines(
    log: Log, carries: Carries, *, workshops: tuple[str, ...], tails: bool = True
) -> Iterator[bytes]:
    """The lines of a packet, by device and number, tails after the chain that they leave.

    workshops: whose events are looked at, with those that belong to none. carries:
    whether an event goes with its texts; of one that does not, a stub goes, if it stands
    between two that do (rule E6). tails: whether what is not in force goes too; one tail of a
    fork without the other would count where it comes (rule E5).
    """
    driver = log.file.driver
    now = standing(driver)

    def goes(row: Row, event: Event) -> bool:
        return (tails or now.holds(row)) and carries(event)

    for device, first, last in _spans(driver, workshops):
        yield from _chain(driver, (device, first, last), goes)
        yield from _apart([one for one in now.tails if one.row[0] == device], goes)


def _spans(driver: sqlite3.Connection, workshops: tuple[str, ...]) -> list[tuple[str, int, int]]:
    """Each device with the numbers of its first and last event that may go."""
    places = ", ".join("?" * (len(workshops) + 1))
    query = (
        "SELECT device, min(seq), max(seq) FROM event "  # noqa: S608 - only places for values
        f"WHERE workshop IN ({places}) GROUP BY device ORDER BY device"
    )
    return driver.execute(query, ("", *workshops)).fetchall()


def _chain(driver: sqlite3.Connection, span: tuple[str, int, int], goes: Goes) -> Iterator[bytes]:
    """A stretch of one device's chain; what is withheld at its ends leaves no stub."""
    query = (
        f"SELECT {', '.join(COLUMNS)} FROM event "  # noqa: S608 - names of columns
        "WHERE device = ? AND seq BETWEEN ? AND ? ORDER BY seq"
    )
    withheld: list[bytes] = []
    before = 0
    for row in driver.execute(query, span):
        event = event_of(row)
        if goes(row, event):
            yield from withheld
            yield event_line(event)
            yield from _texts(driver, event)
            withheld, before = [], event.seq
        elif before + len(withheld) + 1 == event.seq and before:
            withheld.append(stub_line(event))
        else:  # After a gap in what is known here, a stub would hang in the air.
            withheld, before = [], 0


def _texts(driver: sqlite3.Connection, event: Event) -> Iterator[bytes]:
    if "texts" in event.body:
        query = "SELECT field, text, salt FROM beside WHERE device = ? AND seq = ? ORDER BY field"
        for row in driver.execute(query, (event.device, event.seq)).fetchall():
            yield text_line(TextLine(event.device, event.seq, *row))


def _apart(tails: Iterable[Tail], goes: Goes) -> Iterator[bytes]:
    """What is kept apart of one device: a run for each event, so that each finds its place."""
    for one in tails:
        event = event_of(one.row)
        if goes(one.row, event):
            yield event_line(event)
            for field, (text, salt) in sorted(one.texts.items()):
                yield text_line(TextLine(event.device, event.seq, field, text, salt))
