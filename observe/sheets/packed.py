"""A drawn file made small: objects without a stream go together into compressed ones.

Of the files that the drawing library writes, and of no others: one classic table of
places, whole, without encryption (ISO 32000-1, 7.5.4, 7.5.7 and 7.5.8). What the file
says stays the same, and the same file gives the same bytes.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Sequence
from itertools import pairwise

_START = re.compile(rb"startxref\s+(\d+)\s+%%EOF\s*\Z")
_TABLE = re.compile(rb"xref\s+0 (\d+)\s+")
_HEAD = re.compile(rb"\A\d+ 0 obj\s*")
_TRAILER = re.compile(rb"/ID\s*(\[.*?\]).*?/Info (\d+ 0 R).*?/Root (\d+ 0 R)", re.DOTALL)
_ENTRY = 20
"""Bytes of one line in a table of places."""

_EACH = 24
"""Objects in one stream: who reads one of them reads the list of all."""

_PLAIN, _INSIDE = 1, 2
"""How a table of places says where an object is: in the file, or in an object stream."""


def packed(pdf: bytes) -> bytes:
    """The same document in PDF 1.7. Raises ValueError for a file of another making."""
    start, table = _start_of_table(pdf)
    bodies = _bodies(pdf, table, start)
    small = [number for number, body in enumerate(bodies, start=1) if not _has_stream(body)]
    out = bytearray(b"%PDF-1.7\n" + pdf[9 : table[0]])
    places = [(0, 0, 65535)] + [(_INSIDE, 0, 0)] * len(bodies)
    for number, body in enumerate(bodies, start=1):
        if _has_stream(body):
            places[number] = (_PLAIN, len(out), 0)
            out += b"%d 0 obj\n%b\nendobj\n" % (number, body)
    for begin in range(0, len(small), _EACH):
        some, held = small[begin : begin + _EACH], len(places)
        for index, number in enumerate(some):
            places[number] = (_INSIDE, held, index)
        places.append((_PLAIN, len(out), 0))
        out += _object_stream(held, some, [bodies[number - 1] for number in some])
    places.append((_PLAIN, len(out), 0))
    where = len(out)
    out += _table_of_places(places, pdf[start:])
    return bytes(out + b"startxref\n%d\n%%%%EOF\n" % where)


def _start_of_table(pdf: bytes) -> tuple[int, list[int]]:
    """Where the table of places begins, and the places it holds, from the first object on."""
    end = _START.search(pdf)
    start = int(end[1]) if end else len(pdf)
    table = _TABLE.match(pdf, start)
    if not pdf.startswith(b"%PDF-1.") or not table:
        raise ValueError("only a file as the drawing library writes it is packed")
    lines = range(table.end() + _ENTRY, table.end() + int(table[1]) * _ENTRY, _ENTRY)
    places = [int(pdf[at : at + 10]) for at in lines]
    if not places or places != sorted(places):
        raise ValueError("the objects of a file to be packed follow one another")
    return start, places


def _bodies(pdf: bytes, places: Sequence[int], end: int) -> list[bytes]:
    found = []
    for at, behind in pairwise((*places, end)):
        whole = pdf[at:behind].rstrip()
        head = _HEAD.match(whole)
        if not head or not whole.endswith(b"endobj"):
            raise ValueError("an object is not where the table says")
        found.append(whole[head.end() : -len(b"endobj")].rstrip())
    return found


def _has_stream(body: bytes) -> bool:
    return body.endswith(b"endstream")


def _object_stream(own: int, numbers: Sequence[int], bodies: Sequence[bytes]) -> bytes:
    """Objects one after another, behind a list of their numbers and places."""
    pairs, at = [], 0
    for number, body in zip(numbers, bodies, strict=True):
        pairs.append(b"%d %d" % (number, at))
        at += len(body) + 1
    head = b" ".join(pairs) + b"\n"
    kept = zlib.compress(head + b"\n".join(bodies))
    said = b"/Type /ObjStm /N %d /First %d" % (len(bodies), len(head))
    return _stream(own, said, kept)


def _table_of_places(places: Sequence[tuple[int, int, int]], trailer: bytes) -> bytes:
    kept = zlib.compress(
        b"".join(
            bytes([kind]) + first.to_bytes(4, "big") + second.to_bytes(2, "big")
            for kind, first, second in places
        )
    )
    said = _TRAILER.search(trailer)
    if not said:
        raise ValueError("a trailer lacks what a file needs")
    names = b"/Type /XRef /W [1 4 2] /Size %d /ID %b /Info %b /Root %b" % (
        len(places),
        b"".join(said[1].split()),
        said[2],
        said[3],
    )
    return _stream(len(places) - 1, names, kept)


def _stream(number: int, said: bytes, kept: bytes) -> bytes:
    return b"%d 0 obj\n<<%b /Filter /FlateDecode /Length %d>>\nstream\n%b\nendstream\nendobj\n" % (
        number,
        said,
        len(kept),
        kept,
    )
