"""Taking in what other machines wrote: a union of events, in one transaction (rules E1, E5, E6).

What is there already is left as it is. What stands in the way of an event with the same
device and number is kept apart, as a tail. A line that is not what a packet may hold, or
does not follow from what comes before it, refuses the whole.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field

from observe.domain.events import FIRST, KINDS, Draft, Event, Stamp, commitment
from observe.domain.notes import is_sound, is_time
from observe.domain.troubles import Doubtful
from observe.domain.turns import JUMPING
from observe.store import queries, tap
from observe.store.ahead import ahead
from observe.store.log import Head, Log
from observe.store.packet.lines import (
    EventLine,
    Line,
    StubLine,
    TextLine,
    event_line,
    read_line,
)
from observe.store.rows import COLUMNS, event_from
from observe.store.standing import greatest_turn
from observe.store.tap import StoredForm

_AT_ONCE = 1000
_AT = COLUMNS.index("at")
_CACHE_KB = 64 << 10
"""Of the file's pages while a packet is taken in: ids of gestures stand in no order."""
_WINDOW = 2000
_REMEDY = "Ask for the packet anew. Nothing of it was taken in."


@dataclass
class Intake:
    """What was taken in. Counts of lines by device; forked: device and first number of a tail.

    aside: how many events are kept apart, as a tail of a fork, that were not here before.
    kinds: how many new events there are of each kind that this program does not know.
    """

    new: dict[str, int] = field(default_factory=dict)
    known: int = 0
    aside: int = 0
    stubs: int = 0
    texts: int = 0
    forked: dict[str, int] = field(default_factory=dict)
    kinds: dict[str, int] = field(default_factory=dict)
    heads: dict[str, tuple[int, str]] = field(default_factory=dict)

    @property
    def events(self) -> int:
        """How many events are new here."""
        return sum(self.new.values())

    @property
    def is_news(self) -> bool:
        """Whether anything was not here before."""
        return bool(self.new or self.stubs or self.texts or self.forked)


class Taking:
    """One transaction in which a packet is taken in; what the caller may write in it."""

    def __init__(self, log: Log, driver: sqlite3.Connection) -> None:
        self._log, self._driver = log, driver

    def keep_form(self, form: StoredForm, source: str) -> None:
        """Keep a form; one that is there stays as it is."""
        tap.keep_form(self._driver, form, source)

    def take_in(self, lines: Iterable[bytes]) -> Intake:
        """Take in the lines of a packet; as `take_in`."""
        return take_in(self._driver, lines)

    @property
    def turn(self) -> int:
        """The greatest turn of any event that is here now."""
        return greatest_turn(self._driver)

    def gaps(self, devices: Iterable[str]) -> dict[str, tuple[tuple[int, int], ...]]:
        """What is missing now before the newest event of these devices, as `Log.gaps`."""
        found = queries.gaps(self._driver)
        return {one: found[one] for one in devices if one in found}

    def renew_device(self, id_: str, *, at: str) -> Head:
        """Write under another device id from now on; as `Log.renew_device`."""
        return self._log.renew_device(self._driver, id_, at=at)

    def add(
        self, drafts: Sequence[Draft], *, gesture: str, stamp: Stamp, salts: Callable[[], str]
    ) -> tuple[Event, ...]:
        """Write what this machine says of it; as `Log.append`."""
        return self._log.add(self._driver, drafts, gesture=gesture, stamp=stamp, salts=salts)


@contextmanager
def taking_in(log: Log) -> Iterator[Taking]:
    """One transaction for a whole packet."""
    device = log.device
    log.file.driver.execute(f"PRAGMA cache_size = -{_CACHE_KB}")
    try:
        with log.file.writing() as driver:
            yield Taking(log, driver)
    except BaseException:
        log.device = device
        raise
    finally:
        log.file.driver.execute("PRAGMA cache_size = -2000")  # What SQLite begins with.


def take_in(driver: sqlite3.Connection, lines: Iterable[bytes]) -> Intake:
    """Take in the lines of a packet, in the order of device and number.

    Raises `Doubtful`, with the number of the line, where one is not what was written or
    does not follow; the caller's transaction then takes everything back.
    """
    walk = _Walk(driver)
    try:
        for some in ahead(_parsed(lines)):
            for line in some:
                walk.step(line)
        walk.flush()
    except ValueError as error:
        raise _not_as_written(walk.number, str(error)) from error
    except sqlite3.IntegrityError as error:
        why = "one of its events uses the id of another one"
        raise _not_as_written(walk.number, why) from error
    return walk.intake


def _parsed(lines: Iterable[bytes]) -> Iterator[list[Line]]:
    """What the lines hold, some at a time."""
    some: list[Line] = []
    for number, line in enumerate(lines, start=1):
        try:
            some.append(read_line(line))
        except (ValueError, RecursionError) as error:
            raise _not_as_written(number, str(error)) from error
        if len(some) == _AT_ONCE:
            yield some
            some = []
    if some:
        yield some


def _not_as_written(number: int, why: str) -> Doubtful:
    return Doubtful(
        f"The packet is not what was written: near its line {number}, {why}.",
        where=f"line {number}",
        remedy=_REMEDY,
    )


class _Walk:
    """A walk along the lines: the event before the next one, and rows that are to be written."""

    def __init__(self, driver: sqlite3.Connection) -> None:
        self.driver = driver
        self.intake = Intake()
        self.number = 0
        self._rows: list[object] = []
        self._pending = self._taken = 0
        self._texts: list[tuple[str, int, str, str, str]] = []
        self._add = {_AT_ONCE: _insert(_AT_ONCE)}
        self._device, self._seq, self._hash = "", 0, ""
        self._here = _Here(driver, "")
        self._last: EventLine | None = None
        self._apart = False
        self._tail: tuple[EventLine, dict[str, tuple[str, str]]] | None = None

    def step(self, read: Line) -> None:
        """Pass one line."""
        self.number += 1
        if isinstance(read, TextLine):
            self._text(read)
            return
        if self._tail is not None:
            self._keep_tail(*self._tail)
        follows = isinstance(read, StubLine) or read.prev == self._hash
        if not follows or read.seq != self._seq + 1 or read.device != self._device:
            self._begin(read.device)
        if isinstance(read, EventLine):
            self._event(read)
        else:
            self._stub(read)
        self._seq, self._hash = read.seq, read.hash

    def _begin(self, device: str) -> None:
        """Another run of a chain: of the next device, after a gap, or a tail of this one."""
        if device < self._device:
            raise ValueError("its devices are not in their order")
        self._note_head()
        self._write()
        self._device, self._seq, self._hash, self._apart = device, 0, "", False
        self._here = _Here(self.driver, device)

    def _note_head(self) -> None:
        if self._taken:
            new = self.intake.new
            new[self._device] = new.get(self._device, 0) + self._taken
            self._taken = 0
        if self._device:
            head = (self._seq, self._hash)
            self.intake.heads[self._device] = max(self.intake.heads.get(self._device, head), head)

    def _stub(self, read: StubLine) -> None:
        self._last = None
        here = self._here.hash(read.seq)
        if self._apart:
            return
        if here is None:
            self.driver.execute("INSERT INTO stub VALUES (?, ?, ?)", read)
            self.intake.stubs += 1
            self._here.learn(read.seq, read.hash)
        elif here != read.hash:
            self._apart = True  # Withheld, and not what is here: its tail is kept where it comes.

    def _event(self, read: EventLine) -> None:
        if read.seq == 1 and read.prev != FIRST:
            raise ValueError("a first event names one before it")
        self._require_sound(read)
        self._last = read
        if not self._hash and read.seq > 1:
            self._lean_on(read)
        event, known = self._here.look(read.seq)
        if event == read.hash:
            self.intake.known += 1
        elif self._apart or known not in (None, read.hash):
            self._stand_apart(read)
        else:
            self._take(read)

    def _require_sound(self, read: EventLine) -> None:
        """Refuse what no version of this program writes, before anything comes to read it."""
        kind, version = read.row[2], read.row[3]
        if not is_time(read.row[_AT]):
            raise ValueError("an event has no time")
        if 1 <= version <= KINDS.get(kind, 0) and not is_sound(kind, read.body):
            raise ValueError(f"an event of the kind {kind} does not say what it needs")

    def _lean_on(self, read: EventLine) -> None:
        """The packet begins in the middle of a chain: before it is what is here, or a stub."""
        before = self._here.hash(read.seq - 1)
        if before != read.prev and self._is_tail(read.device, read.seq - 1, read.prev):
            self._apart = True
        elif before is None:
            self.driver.execute(
                "INSERT INTO stub VALUES (?, ?, ?)", (*read.row[:1], read.seq - 1, read.prev)
            )
            self._here.learn(read.seq - 1, read.prev)
        elif before != read.prev:
            self._apart = True

    def _take(self, read: EventLine) -> None:
        self._rows += read.row
        self._pending += 1
        self._taken += 1
        kind = read.row[2]
        if not 1 <= read.row[3] <= KINDS.get(kind, 0):
            self.intake.kinds[kind] = self.intake.kinds.get(kind, 0) + 1
        if kind in JUMPING:
            self._jump(read)
        if self._pending == _AT_ONCE:
            self._write()

    def _jump(self, read: EventLine) -> None:
        turn = read.body.get("turn")
        if type(turn) is int and turn >= 0:
            there = (read.device, read.seq, turn + 1)
            known = self.driver.execute(
                "SELECT 1 FROM jump WHERE device = ? AND seq = ? AND turn = ?", there
            )
            if known.fetchone() is None:
                self.driver.execute(tap.ADD_JUMP, there)

    def _stand_apart(self, read: EventLine) -> None:
        self._apart = True
        if self._is_tail(read.device, read.seq, read.hash):
            self.intake.known += 1
            return
        self.intake.forked.setdefault(read.device, read.seq)
        if read.row[2] in JUMPING:
            self._jump(read)
        self._tail = (read, {})

    def _is_tail(self, device: str, seq: int, hash_: str) -> bool:
        """Whether an event is kept apart here."""
        query = "SELECT 1 FROM tail WHERE device = ? AND seq = ? AND hash = ?"
        return self.driver.execute(query, (device, seq, hash_)).fetchone() is not None

    def _keep_tail(self, read: EventLine, texts: dict[str, tuple[str, str]]) -> None:
        self._tail = None
        line = _line_of(read)
        row = (read.device, read.seq, read.hash, line, json.dumps(texts, ensure_ascii=False))
        self.driver.execute("INSERT INTO tail VALUES (?, ?, ?, ?, ?)", row)
        self.intake.aside += 1

    def _text(self, read: TextLine) -> None:
        last = self._last
        if last is None or (last.device, last.seq) != (read.device, read.seq):
            raise ValueError("a text stands beside no event")
        held = last.body.get("texts")
        committed = held.get(read.field) if isinstance(held, dict) else None
        if commitment(read.text, read.salt) != committed:
            raise ValueError("a text is not the one that its event was written with")
        if self._tail is not None:
            self._tail[1][read.field] = (read.text, read.salt)
        elif not self._apart:
            self._texts.append((read.device, read.seq, read.field, read.text, read.salt))

    def flush(self) -> None:
        """Write what is left."""
        if self._tail is not None:
            self._keep_tail(*self._tail)
        self._note_head()
        self._write()

    def _write(self) -> None:
        if self._pending:
            if self._pending not in self._add:
                self._add[self._pending] = _insert(self._pending)
            self.driver.execute(self._add[self._pending], self._rows)
            self._rows, self._pending = [], 0
        query = "SELECT 1 FROM beside WHERE device = ? AND seq = ? AND field = ?"
        for row in self._texts:
            if self.driver.execute(query, row[:3]).fetchone() is None:
                self.driver.execute("INSERT INTO beside VALUES (?, ?, ?, ?, ?)", row)
                self.intake.texts += 1
        self._texts = []


class _Here:
    """What this file holds of a device, read a window at a time as the walk goes on."""

    def __init__(self, driver: sqlite3.Connection, device: str) -> None:
        self.driver, self.device = driver, device
        newest = driver.execute("SELECT max(seq) FROM event WHERE device = ?", (device,)).fetchone()
        self._newest = int(newest[0] or 0)
        stubs = driver.execute("SELECT seq, hash FROM stub WHERE device = ?", (device,))
        self._stubs: dict[int, str] = dict(stubs.fetchall()) if device else {}
        self._window: dict[int, str] = {}
        self._from, self._to = 1, 0

    def event(self, seq: int) -> str | None:
        """The hash of the event with a number, as it was before the walk; None without one."""
        if not self._from <= seq <= self._to:
            self._from, self._to = seq, seq + _WINDOW
            query = "SELECT seq, hash FROM event WHERE device = ? AND seq BETWEEN ? AND ?"
            self._window = dict(self.driver.execute(query, (self.device, seq, self._to)).fetchall())
        return self._window.get(seq)

    def hash(self, seq: int) -> str | None:
        """The hash of the event with a number, be it only a stub; None where nothing is known."""
        return self.look(seq)[1]

    def look(self, seq: int) -> tuple[str | None, str | None]:
        """The hash of the event with a number, and that of the event or else its stub."""
        event = self.event(seq) if seq <= self._newest else None
        return event, event or self._stubs.get(seq)

    def learn(self, seq: int, hash_: str) -> None:
        """A stub was written."""
        self._stubs[seq] = hash_


def _insert(count: int) -> str:
    one = f"({', '.join('?' * len(COLUMNS))})"
    return f"INSERT INTO event ({', '.join(COLUMNS)}) VALUES {', '.join([one] * count)}"  # noqa: S608 - names of columns


def _line_of(read: EventLine) -> str:
    return event_line(event_from(read.row)).decode("utf-8")
