"""What a file says to somebody who listens to it, read back for tests."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.reader import PdfFileReader

from observe.sheets import reading

_LETTERS = re.compile(rb"\((?:\\.|[^\\()])*\)|<[0-9A-Fa-f]*>|%[^\n]*", re.DOTALL)
_WORD = re.compile(rb"<<.*?>>|/[^\s/<>\[\]()]+|[^\s/<>\[\]()]+", re.DOTALL)
PAINTS = {b"Tj", b"TJ", b"'", b'"', b"f", b"F", b"f*", b"S", b"s", b"B", b"b", b"sh", b"Do"}
"""Operators that leave ink (ISO 32000-1, annex A)."""


@dataclass(frozen=True)
class Painted:
    """One operator that leaves ink, and the marked sequences it stands in."""

    operator: str
    within: tuple[str, ...]


def painted(drawing: bytes) -> Iterator[Painted]:
    """Every operator of a page that leaves ink."""
    open_: list[str] = []
    before: list[bytes] = []
    for word in _WORD.findall(_LETTERS.sub(b" ~ ", drawing)):
        if word in {b"BDC", b"BMC"}:
            open_.append(b" ".join(before[-2 if word == b"BDC" else -1 :]).decode())
        elif word == b"EMC":
            open_.pop()
        elif word in PAINTS:
            yield Painted(word.decode(), tuple(open_))
        before.append(word)
    assert not open_, "a marked sequence is not closed"


def elements(reader: PdfFileReader) -> Iterator[Any]:
    """Every element of the structure, in the order of reading."""
    yield from _below(reader.root["/StructTreeRoot"]["/K"])


def _below(element: generic.DictionaryObject) -> Iterator[Any]:
    yield element
    for kid in kids(element):
        if isinstance(kid, generic.DictionaryObject) and "/S" in kid:
            yield from _below(kid)


def kids(element: generic.DictionaryObject) -> list[Any]:
    """What is directly in an element: elements, and the numbers of marked sequences."""
    return entries(element["/K"]) if "/K" in element else []


def entries(found: object) -> list[Any]:
    """The entries of an array, each followed to where it refers; of one thing, that thing."""
    if isinstance(found, generic.ArrayObject):
        return [found[place] for place in range(len(found))]
    return [found]


def roles(reader: PdfFileReader) -> list[str]:
    return [str(one["/S"])[1:] for one in elements(reader)]


def owners(reader: PdfFileReader) -> dict[int, Any]:
    """The parent tree: for each page its elements by number, for each field its own."""
    held = entries(reader.root["/StructTreeRoot"]["/ParentTree"]["/Nums"])
    return {
        int(key): entries(one) if isinstance(one, generic.ArrayObject) else one
        for key, one in zip(held[::2], held[1::2], strict=True)
    }


def opened(pdf: bytes) -> PdfFileReader:
    return reading.opened(pdf)
