"""Does the log still say what was written? Each device's chain of hashes, walked (E1, E4)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from operator import attrgetter
from typing import Any

from sqlalchemy import Connection, Label, LargeBinary, Row, Table, and_, cast, func, select

from observe.domain.canonical import canonical
from observe.domain.events import FIRST, Event, commitment, hash_of
from observe.store.log import Log
from observe.store.rows import TYPES, event_from
from observe.store.schema import changed_schema
from observe.store.tables import beside, event, stub

Tick = Callable[[int, int], None]
_Texts = Mapping[bytes, tuple[bytes, bytes]]
_Stubs = Mapping[tuple[bytes, bytes], str]

_AT_ONCE = 1000
_NO_TEXT = (b"\xff", b"")  # No text at all, so no event is committed to it.


@dataclass(frozen=True, slots=True)
class Break:
    """A place where the log is not what was written.

    position: the row in the file; 0 for a text that no event stands beside. event: its
    id (device/seq), as far as it can be read. sentence: what does not fit.
    """

    position: int
    event: str
    sentence: str


@dataclass(frozen=True, slots=True)
class DeviceChain:
    """What one device wrote. head: hash of its newest event, to compare with one kept elsewhere.

    breaks: in the order of the chain; empty for a sound one. Events cut off at the end
    leave no trace in the chain itself: only a head kept elsewhere shows them.
    """

    device: str
    events: int
    head: str
    breaks: tuple[Break, ...]


@dataclass(frozen=True, slots=True)
class ChainReport:
    """What `verify` found.

    damage: findings of SQLite's own check; the chains are then not walked. strays:
    texts beside no event. guards: tables, indexes and guards that are not as they were
    made, which shows that somebody had the means to change events.
    """

    devices: tuple[DeviceChain, ...] = ()
    strays: tuple[Break, ...] = ()
    damage: tuple[str, ...] = ()
    guards: tuple[str, ...] = ()

    @property
    def events(self) -> int:
        return sum(chain.events for chain in self.devices)

    @property
    def breaks(self) -> tuple[Break, ...]:
        """Every break of every device, strays last."""
        return tuple(one for chain in self.devices for one in chain.breaks) + self.strays

    @property
    def is_sound(self) -> bool:
        return not self.breaks and not self.damage and not self.guards


def verify(log: Log, *, tick: Tick | None = None) -> ChainReport:
    """Read the whole log and find what is not as it was written.

    A change of any bit of an event, or of a text beside one, breaks the chain at that
    event. Changes nothing; works on a logbook opened to read only. tick: told how many
    of how many events are done; may raise `Stopped`. Forms are checked against their
    digests by whoever can read forms.
    """
    connection = log.file.connection
    damage = _damage(connection)
    if damage:
        return ChainReport(damage=damage)
    texts = _all_texts(connection)
    stubs = _all_stubs(connection)
    chains = tuple(
        _walked(device, rows, texts, stubs)
        for device, rows in groupby(_all_events(connection, tick), attrgetter("device"))
    )
    strays = tuple(_stray(*key) for key in texts)
    return ChainReport(chains, strays, guards=changed_schema(log.file.driver))


def _damage(connection: Connection) -> tuple[str, ...]:
    findings = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
    return () if findings == ["ok"] else tuple(findings)


def _as_stored(table: Table) -> list[Label[Any]]:
    """The columns as the bytes that are stored, whatever became of them; and `typed`.

    typed: whether each still is of its own kind, number or text. SQLite lets any column
    hold anything, and as bytes a text and a blob look alike.
    """
    columns = [one for one in table.c if one.name != "position"]
    typed = and_(*(func.typeof(one) == type(one.type).__name__.lower() for one in columns))
    return [*(cast(one, LargeBinary).label(one.name) for one in columns), typed.label("typed")]


def _all_events(connection: Connection, tick: Tick | None) -> Iterator[Row[Any]]:
    total = connection.execute(select(func.count()).select_from(event)).scalar_one()
    ordered = select(event.c.position, *_as_stored(event)).order_by(event.c.device, event.c.seq)
    rows = connection.execute(ordered, execution_options={"yield_per": _AT_ONCE})
    for done, row in enumerate(rows):
        if tick is not None and done % _AT_ONCE == 0:
            tick(done, total)
        yield row


def _all_texts(connection: Connection) -> dict[tuple[bytes, bytes], _Texts]:
    """What stands beside each event: (device, seq) to field to (text, salt)."""
    rows = connection.execute(select(*_as_stored(beside)))
    found: dict[tuple[bytes, bytes], dict[bytes, tuple[bytes, bytes]]] = {}
    for row in rows:
        pair = (row.text, row.salt) if row.typed else _NO_TEXT
        found.setdefault((row.device, row.seq), {})[row.field] = pair
    return {**found}


def _all_stubs(connection: Connection) -> _Stubs:
    """The hash of each event that was withheld from a packet (rule E6)."""
    rows = connection.execute(select(*_as_stored(stub)))
    return {(row.device, row.seq): _shown(row.hash) for row in rows if row.typed}


def _walked(
    device: bytes,
    rows: Iterable[Row[Any]],
    texts: dict[tuple[bytes, bytes], _Texts],
    stubs: _Stubs,
) -> DeviceChain:
    """The chain of one device. Takes out of `texts` those that stand beside its events."""
    walk = _Walk(device, stubs)
    for row in rows:
        walk.step(row, texts.pop((row.device, row.seq), {}))
    return DeviceChain(_shown(device), walk.events, walk.head, tuple(walk.breaks))


class _Walk:
    """A walk along one chain: what was passed, and what did not fit.

    _links: the hashes that the next event may name as its predecessor, None where the
    event before it is not known. An event whose stored hash is wrong leaves both that
    and the right one, so that one change is one break.
    """

    def __init__(self, device: bytes, stubs: _Stubs) -> None:
        self._device, self._stubs = device, stubs
        self.events = 0
        self.head = FIRST
        self.breaks: list[Break] = []
        self._seq = 0
        self._links: frozenset[str] | None = frozenset({FIRST})

    def step(self, row: Row[Any], texts: _Texts) -> None:
        """Pass one event with the texts beside it."""
        self.events += 1
        try:
            one, actual = _read(row)
        except (ValueError, RecursionError):
            self._note(row, "It cannot be read; something else has changed it.")
            self._seq, self._links = self._seq + 1, None
            return
        for sentence in (*self._misplaced(one, actual), *_changed_texts(one, texts)):
            self._note(row, sentence)
        self._seq, self._links = one.seq, frozenset({one.hash, actual})
        self.head = one.hash

    def _note(self, row: Row[Any], sentence: str) -> None:
        place = f"{_shown(row.device)}/{_shown(row.seq)}"
        self.breaks.append(Break(row.position, place, sentence))

    def _misplaced(self, one: Event, actual: str) -> Iterator[str]:
        gap = one.seq != self._seq + 1
        if gap and not self._is_withheld(one):
            yield _gap(self._seq + 1, one.seq - 1)
        if one.hash != actual:
            yield "It is not what was written: it does not have the hash it was given."
        elif not gap and self._links is not None and one.prev not in self._links:
            yield "It does not follow the event before it: it names another hash."

    def _is_withheld(self, one: Event) -> bool:
        """Whether what is missing before an event stayed on the machine that wrote it."""
        before = self._stubs.get((self._device, str(one.seq - 1).encode("ascii")))
        return one.seq > self._seq and before == one.prev


def _read(row: Row[Any]) -> tuple[Event, str]:
    """The event in a row (position, `COLUMNS` as bytes, typed), and the hash it should have.

    Raises ValueError where the bytes are not how an event is written.
    """
    if not row.typed:
        raise ValueError("a column holds another kind of value")
    stored: list[bytes] = [*row[1:-1]]
    pairs = zip(TYPES, stored, strict=True)
    one = event_from([kind(part.decode("utf-8")) for kind, part in pairs])
    if canonical(one.body) != row.body:
        raise ValueError("the body is not written in the one way it can be")
    return one, hash_of(one)


def _gap(first: int, last: int) -> str:
    if last < first:
        return "Its number does not follow that of the event before it."
    if first == last:
        return f"Event {first}, which comes before it, is missing."
    return f"Events {first} to {last}, which come before it, are missing."


def _changed_texts(one: Event, texts: _Texts) -> Iterator[str]:
    committed = one.body.get("texts")
    committed = committed if isinstance(committed, dict) else {}
    beside_it = {_shown(field): pair for field, pair in texts.items()}
    for field in sorted({*committed, *beside_it}):
        if field not in beside_it:
            yield f"The text “{field}” that stood beside it is missing."
        elif field not in committed:
            yield f"A text “{field}” stands beside it that it does not know of."
        elif not _is_committed(*beside_it[field], committed[field]):
            yield f"The text “{field}” beside it, or its salt, is not what was written."


def _is_committed(text: bytes, salt: bytes, committed: object) -> bool:
    if b"\x00" in salt:  # The zero byte ends the salt; one inside would be part of the text.
        return False
    try:
        return commitment(text.decode("utf-8"), salt.decode("ascii")) == committed
    except UnicodeDecodeError:
        return False


def _stray(device: bytes, seq: bytes) -> Break:
    where = f"{_shown(device)}/{_shown(seq)}"
    return Break(0, where, "A text stands beside an event that is not there.")


def _shown(stored: bytes) -> str:
    return stored.decode("utf-8", "replace")
