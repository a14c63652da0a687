"""What the verifier needs from a PDF that may have been made by anybody.

Every function that reads into a file raises `Damaged` where the file does not
hold together; nothing else comes out of a hostile file.
"""

from __future__ import annotations

import io
import logging
import re
import struct
import zlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from typing import Any, ParamSpec, TypeVar

from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.misc import PdfError
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.fields import enumerate_sig_fields

from observe.domain.troubles import BadInput
from observe.sheets.record import FILE_NAME

_P = ParamSpec("_P")
_R = TypeVar("_R")

BROKEN = (
    PdfError,
    ArithmeticError,
    AssertionError,
    AttributeError,
    LookupError,
    MemoryError,
    NotImplementedError,
    OSError,
    RecursionError,
    SyntaxError,  # of XML
    TypeError,
    ValueError,
    struct.error,
    zlib.error,
)
"""What the library lets through when a file does not hold together."""

for _library in ("pyhanko", "pyhanko_certvalidator"):  # what they say is told as findings
    logging.getLogger(_library).addHandler(logging.NullHandler())
    logging.getLogger(_library).propagate = False

MOST_BYTES = 50_000_000
_DEEPEST = 40
_MOST_PAGES = 200
_SPAN = re.compile(rb"/ByteRange\s*\[\s*(\d+)\s+(\d+)\s+(\d+)\s+(\d+)\s*\]")


class Damaged(BadInput):
    """The file does not hold together as a PDF."""

    def __init__(self) -> None:
        super().__init__(
            "The file is damaged or cut off: it does not open as a PDF.",
            remedy="Ask for it again from where it was made.",
        )


def guarded(function: Callable[_P, _R]) -> Callable[_P, _R]:
    """The function, raising `Damaged` for whatever a broken file makes the library raise."""

    def inner(*args: _P.args, **kwargs: _P.kwargs) -> _R:
        try:
            return function(*args, **kwargs)
        except BROKEN as error:
            raise Damaged from error

    return inner


@dataclass(frozen=True, slots=True)
class Span:
    """The bytes a signature covers: all up to `gap_start` and from `gap_end` to `end`."""

    gap_start: int
    gap_end: int
    end: int


def spans(pdf: bytes) -> tuple[Span, ...]:
    """Every byte range written anywhere in the file, in its order, even in a broken one."""
    return tuple(
        Span(int(m[2]), int(m[3]), int(m[3]) + int(m[4]))
        for m in _SPAN.finditer(pdf)
        if all(len(number) < 12 for number in m.groups())
    )


def padding_is_zero(pdf: bytes, span: Span) -> bool:
    """Whether the room left in a signature's place holds zeros and nothing else (rule K3).

    Digits of the signature in another case than they are written in are something else too.
    """
    held = pdf[span.gap_start : span.gap_end]
    if not (held.startswith(b"<") and held.endswith(b">")):
        return False
    try:
        value = bytes.fromhex(held[1:-1].decode("ascii"))
    except ValueError:
        return False
    if held[1:-1] != value.hex().upper().encode("ascii"):
        return False
    length = _der_length(value)
    return length is not None and not any(value[length:])


def _der_length(value: bytes) -> int | None:
    """Bytes of the first DER value (X.690, 8.1.3); None if there is none."""
    if len(value) < 2:
        return None
    first = value[1]
    if first < 0x80:
        return 2 + first
    count = first & 0x7F
    if not 1 <= count <= 4 or len(value) < 2 + count:
        return None
    return 2 + count + int.from_bytes(value[2 : 2 + count], "big")


@guarded
def opened(pdf: bytes) -> PdfFileReader:
    """A reader over the file; the library bounds how far streams grow. Raises `Damaged`."""
    reader = PdfFileReader(io.BytesIO(pdf))
    _ = reader.root["/Pages"]
    return reader


@guarded
def attached(reader: PdfFileReader) -> bytes | None:
    """The attached record; None if the file has none. Raises `Damaged`."""
    names = _entry(_entry(_entry(reader.root, "/Names", {}), "/EmbeddedFiles", {}), "/Names", [])
    found: list[bytes] = [
        names[place + 1]["/EF"]["/F"].data
        for place in range(0, len(names) - 1, 2)
        if names[place] == FILE_NAME
    ]
    if len(found) > 1:
        raise ValueError("more than one record is attached")
    return found[0] if found else None


def _entry(dictionary: Any, name: str, default: object) -> Any:  # noqa: ANN401 - any PDF object
    """An entry of a dictionary, followed to where it refers; the library's `get` does not."""
    try:
        return dictionary[name]
    except KeyError:
        return default


@guarded
def fields(reader: PdfFileReader) -> Mapping[str, bool]:
    """Names of the signature fields, and whether each is filled. Raises `Damaged`."""
    return {name: value is not None for name, value, _ in enumerate_sig_fields(reader)}


@guarded
def page_size(reader: PdfFileReader) -> tuple[float, float]:
    """Width and height of the first page in points. Raises `Damaged`."""
    first = next(_leaves(reader.root["/Pages"], 0))
    left, bottom, right, top = (float(number) for number in first["/MediaBox"])
    return (right - left, top - bottom)


@guarded
def pages(reader: PdfFileReader) -> tuple[generic.DictionaryObject, ...]:
    """The pages in order. Raises `Damaged`."""
    found = tuple(islice(_leaves(reader.root["/Pages"], 0), _MOST_PAGES + 1))
    if len(found) > _MOST_PAGES:
        raise ValueError("no sheet has so many pages")
    return found


def _leaves(node: generic.DictionaryObject, depth: int) -> Iterator[generic.DictionaryObject]:
    if depth > _DEEPEST:
        raise ValueError("pages nest too deep")
    if "/Kids" not in node:
        yield node
        return
    for kid in node["/Kids"]:
        yield from _leaves(kid.get_object(), depth + 1)


@guarded
def drawing_of(page: generic.DictionaryObject) -> bytes:
    """The drawing instructions of a page. Raises `Damaged`."""
    contents = page["/Contents"]
    if isinstance(contents, generic.StreamObject):
        return contents.data
    return b"\n".join(part.get_object().data for part in contents)


@guarded
def annotations_of(page: generic.DictionaryObject) -> tuple[tuple[str, str], ...]:
    """Subtype and field name of each annotation of a page. Raises `Damaged`."""
    return tuple(
        (
            str(_entry(one.get_object(), "/Subtype", "")),
            str(_entry(one.get_object(), "/T", "")),
        )
        for one in _entry(page, "/Annots", [])
    )
