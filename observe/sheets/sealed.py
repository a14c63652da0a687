"""Whether a signed file holds what a sheet holds and nothing beside it (rule K3).

The sheet drawn again is sealed again with a key that is thrown away. Whatever differs
then, apart from the signatures themselves, was put there by something else: a place
for a signature that shows a picture, an action, a second title.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.metadata import xmp_xml
from pyhanko.pdf_utils.reader import PdfFileReader

from observe.sheets import reading
from observe.sheets.content import Part
from observe.sheets.lockstep import Path, difference
from observe.sheets.sheet import Unsigned
from observe.sheets.sign import countersign, sign
from observe.trust.keys import make, opened

_AT = datetime(2000, 1, 1, tzinfo=UTC)
_TITLES = ("/Title", "/Author", "/Subject", "/Keywords", "/Creator")
_NOTED_BY_THE_SIGNER = frozenset({"/Metadata"})  # when the file was last written, and with what


def beside(reader: PdfFileReader, again: Unsigned) -> str:
    """A sentence on what the file holds beside the sheet; empty where it holds nothing.

    again: the file's record drawn again. Raises `reading.Damaged`.
    """
    own = reading.opened(_sealed(again, _signed_later(reader)))
    way = difference(reader.root, own.root, _NOTED_BY_THE_SIGNER)
    if way is not None:
        return _sentence(reader, way)
    if _titles(reader) != _titles(own):
        return "The title of the file is not the sheet's."
    return ""


def _sealed(sheet: Unsigned, later: Sequence[Part]) -> bytes:
    key = opened(make("Nobody", _AT))
    pdf = sign(sheet, key, _AT)
    own = {field.name for field in sheet.fields}
    for part in later:
        if part.value in own:
            pdf = countersign(pdf, part, key, _AT)
    return pdf


@reading.guarded
def _signed_later(reader: PdfFileReader) -> tuple[Part, ...]:
    """The places that were signed after the first, in their order."""
    names = [one.field_name for one in reader.embedded_signatures]
    return tuple(part for name in names for part in Part if part.value == name)[1:]


@reading.guarded
def _titles(reader: PdfFileReader) -> tuple[str, ...]:
    """What the file calls itself, in both of the ways that there are."""
    said = reader.trailer["/Info"]
    described = xmp_xml.parse_xmp(io.BytesIO(reader.root["/Metadata"].data))
    over_the_window = xmp_xml.meta_from_xmp(described).title
    return (*(str(said[name]) for name in _TITLES), str(over_the_window or ""))


def _sentence(reader: PdfFileReader, way: Path) -> str:
    name = _field_on(reader, way)
    if name:
        return f"The place “{name}” is not where a sheet has it, or shows something else."
    if "/Annots" in way or "/AcroForm" in way:
        return "The places for signatures are not those of a sheet."
    return f"The file holds something that no sheet holds, at {way[-1][:40]}."


@reading.guarded
def _field_on(reader: PdfFileReader, way: Path) -> str:
    """The name of the last of our fields that a way leads through; empty if of none."""
    name = ""
    value: Any = reader.root
    for step in way:
        if isinstance(value, generic.ArrayObject):
            value = value[int(step) - 1]
        elif isinstance(value, generic.DictionaryObject) and step in value:
            value = value[step]
        if isinstance(value, generic.DictionaryObject) and value.get("/T") in set(Part):
            name = str(value["/T"])
    return name
