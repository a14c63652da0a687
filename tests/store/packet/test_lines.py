"""The lines of a packet are read only as they were written."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.canonical import canonical
from observe.domain.events import hash_of
from observe.store.packet.lines import (
    DEEPEST,
    EventLine,
    StubLine,
    TextLine,
    event_line,
    read_line,
    stub_line,
    text_line,
)
from observe.store.rows import event_from
from tests.store.builders import EVENT

KEPT = replace(EVENT, prev="0" * 64)
KEPT = replace(KEPT, hash=hash_of(KEPT))
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | TEXT,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3),
    max_leaves=8,
)


def test_the_line_of_an_event_is_what_its_hash_covers() -> None:
    line = event_line(KEPT)
    assert hashlib.sha256(line).hexdigest() == KEPT.hash
    read = read_line(line)
    assert isinstance(read, EventLine)
    assert event_from(read.row) == KEPT
    assert (read.device, read.seq, read.prev, read.hash) == ("d", 1, "0" * 64, KEPT.hash)


@given(st.dictionaries(TEXT, VALUES, max_size=4))
def test_any_body_comes_back(body: dict[str, object]) -> None:
    try:
        canonical(body)
    except ValueError:
        return  # Two keys that are one once normalised: no event holds them.
    written = replace(KEPT, body=json.loads(canonical(body)))
    written = replace(written, hash=hash_of(written))
    read = read_line(event_line(written))
    assert isinstance(read, EventLine)
    assert event_from(read.row) == written


def test_a_stub_and_a_text_come_back() -> None:
    assert read_line(stub_line(KEPT)) == StubLine("d", 1, KEPT.hash)
    text = TextLine("d", 1, "name", "Zoë Ängström", "5a")
    assert read_line(text_line(text)) == text


def changed(**members: object) -> bytes:
    held = json.loads(event_line(KEPT))
    return canonical({**held, **members})


@pytest.mark.parametrize(
    "line",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b"{}",
        b'{"device":"d"}',
        event_line(KEPT) + b" ",
        event_line(KEPT).replace(b'"seq":1', b'"seq": 1'),
        event_line(KEPT).replace(b'"seq":1', b'"seq":1.0'),
        event_line(KEPT).replace(b'"seq":1', b'"seq":1,"seq":1'),
        event_line(KEPT).replace("drapé".encode(), b"drap\\u00e9"),
        event_line(KEPT).replace("drapé".encode(), "drape\u0301".encode()),
        event_line(KEPT).replace("drapé".encode(), b"drap\xff"),
        changed(seq=0),
        changed(seq=True),
        changed(seq="1"),
        changed(body=[]),
        changed(kind=None),
        changed(device=""),
        changed(prev="0"),
        changed(monotonic="01"),
        changed(monotonic="x"),
        changed(monotonic=str(2**63)),
        changed(more=1),
        b'{"device":"d","hash":"short","seq":1}',
        b'{"device":"d","field":"f","salt":"\\u0000","seq":1,"text":"t"}',
        b'{"device":"d","field":"f","salt":"s","seq":1,"text":1}',
    ],
)
def test_anything_else_is_no_line(line: bytes) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - its message is for a sentence elsewhere
        read_line(line)


@pytest.mark.parametrize(
    "value", ["1.5", "1e400", "NaN", str(2**53), "[" * (DEEPEST + 1) + "]" * (DEEPEST + 1)]
)
def test_a_body_that_no_record_holds_is_no_line(value: str) -> None:
    line = event_line(KEPT).replace(b'"list":[1,null,true]', b'"list":' + value.encode())
    with pytest.raises(ValueError):  # noqa: PT011 - as above
        read_line(line)


def test_a_line_nested_without_end_is_no_line() -> None:
    for line in (b"[" * 100_000, b'{"a":' * 100_000):
        with pytest.raises(ValueError):  # noqa: PT011 - as above
            read_line(line)
