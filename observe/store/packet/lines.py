"""The lines of a packet: an event, a stub of one that was withheld, a text beside one.

The line of an event is the very bytes that its hash covers (RFC 8785), so its SHA-256 is
the event's hash. A line that is not written in that one way is none.
"""

from __future__ import annotations

import hashlib
import unicodedata
from operator import itemgetter
from typing import Any, NamedTuple

import orjson

from observe.domain.canonical import LARGEST_WHOLE, canonical
from observe.domain.events import Event, content
from observe.store.rows import COLUMNS

LONGEST = 1 << 20
"""Bytes of a line, at most."""
DEEPEST = 32
"""Levels of lists and objects in the body of an event, at most."""
_HASH = 64
_EVENT = frozenset({*COLUMNS} - {"by_", "monotonic_ns", "hash"} | {"by", "monotonic"})
_STUB = frozenset({"device", "seq", "hash"})
_TEXT = frozenset({"device", "seq", "field", "text", "salt"})
_PARTS_OF = itemgetter(
    *("device", "seq", "kind", "version", "gesture", "part", "workshop", "attempt", "observation"),
    *("by", "at", "monotonic", "boot", "prev", "body"),
)
_TYPES_OF_PARTS = (str, int, str, int, str, int, *(str,) * 8, dict)
_BODY, _BOOT = b',"body":', b',"boot":'


class StubLine(NamedTuple):
    """An event that was withheld: only that there is one, and its hash (rule E6)."""

    device: str
    seq: int
    hash: str


class TextLine(NamedTuple):
    """A text beside an event, with its salt (rule E4)."""

    device: str
    seq: int
    field: str
    text: str
    salt: str


class EventLine(NamedTuple):
    """An event: its place, its links, the columns of its row in their order, its body as parsed."""

    device: str
    seq: int
    prev: str
    hash: str
    row: tuple[Any, ...]
    body: dict[str, Any]


Line = EventLine | StubLine | TextLine


def event_line(event: Event) -> bytes:
    """The line of an event."""
    return canonical(content(event))


def stub_line(event: Event) -> bytes:
    """The line of an event that is withheld."""
    return canonical({"device": event.device, "seq": event.seq, "hash": event.hash})


def text_line(line: TextLine) -> bytes:
    """The line of a text."""
    return canonical(line._asdict())


def read_line(line: bytes) -> Line:
    """What a line holds. Raises ValueError where it holds nothing that a packet may."""
    if len(line) > LONGEST:
        raise ValueError("it is too long")
    held = _parsed(line)
    if len(held) == len(_EVENT):
        return _event(line, held)
    keys = held.keys()
    if keys == _STUB:
        return _stub(held)
    if keys == _TEXT:
        return _text(held)
    raise ValueError("it is neither an event nor a stub nor a text")


def _parsed(line: bytes) -> dict[str, Any]:
    held = orjson.loads(line)
    if not isinstance(held, dict):
        raise ValueError("it is no object")  # noqa: TRY004 - one error for all
    if line.isascii():
        same = orjson.dumps(held, option=orjson.OPT_SORT_KEYS) == line
    else:
        if not unicodedata.is_normalized("NFC", line.decode("utf-8")):
            raise ValueError("its text is not in the one form that it can have")
        _require_sound(held, 0)
        same = canonical(held) == line
    if not same:
        raise ValueError("it is not written in the one way it can be")
    return held


def _event(line: bytes, held: dict[str, Any]) -> EventLine:
    try:
        parts = _PARTS_OF(held)
    except KeyError as error:
        raise ValueError("an event lacks a part, or has another one") from error
    if tuple(map(type, parts)) != _TYPES_OF_PARTS:
        raise ValueError("a part of an event is of another kind")
    device, seq, kind, version, gesture, part, workshop, attempt, observation, by = parts[:10]
    at, monotonic, boot, prev, body = parts[10:]
    if seq < 1 or version < 1 or part < 1 or max(seq, version, part) > LARGEST_WHOLE:
        raise ValueError("a number of an event is none")
    if not device or len(prev) != _HASH:
        raise ValueError("an event names no device, or no event before it")
    _require_sound(body, 0)
    written = line[line.index(_BODY) + len(_BODY) : line.rindex(_BOOT)].decode("utf-8")
    hash_ = hashlib.sha256(line).hexdigest()
    place = (device, seq, kind, version, gesture, part, workshop, attempt, observation, by)
    row = (*place, at, _monotonic(monotonic), boot, written, prev, hash_)
    return EventLine(device, seq, prev, hash_, row, body)


def _monotonic(text: str) -> int:
    number = int(text)
    if str(number) != text or not -(2**63) <= number < 2**63:
        raise ValueError("a clock of an event is none")
    return number


def _require_sound(value: object, deep: int) -> None:
    """Raise ValueError for what no record holds: a fraction, a number too large, too deep."""
    kind = type(value)
    if kind is str or kind is bool or value is None:
        return
    if kind is int:
        if not -LARGEST_WHOLE <= value <= LARGEST_WHOLE:  # type: ignore[operator]
            raise ValueError("it holds a number that is too large")
        return
    if deep >= DEEPEST:
        raise ValueError("it is nested too deep")
    if kind is list:
        for one in value:  # type: ignore[attr-defined]
            _require_sound(one, deep + 1)
    elif kind is dict:
        for one in value.values():  # type: ignore[attr-defined]
            _require_sound(one, deep + 1)
    else:
        raise ValueError("it holds a number that is not whole")


def _stub(held: dict[str, Any]) -> StubLine:
    device, seq, hash_ = held["device"], held["seq"], held["hash"]
    if not (type(device) is str and type(seq) is int and type(hash_) is str):
        raise ValueError("a stub is none")
    if not device or not 1 <= seq <= LARGEST_WHOLE or len(hash_) != _HASH:
        raise ValueError("a stub is none")
    return StubLine(device, seq, hash_)


def _text(held: dict[str, Any]) -> TextLine:
    line = TextLine(held["device"], held["seq"], held["field"], held["text"], held["salt"])
    if type(line.seq) is not int or not all(
        type(one) is str for one in (line.device, line.field, line.text, line.salt)
    ):
        raise ValueError("a text is none")
    if not line.salt.isascii() or "\x00" in line.salt:
        raise ValueError("the salt of a text is none")
    return line
