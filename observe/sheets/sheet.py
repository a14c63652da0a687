"""The sheet as a PDF, not yet signed: pages, metadata and the attached record.

The same content on the same paper gives the same bytes with the same versions of
the program and its libraries: the verifier draws a sheet again and compares.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from reportlab import rl_config
from reportlab.pdfbase import pdfdoc
from reportlab.pdfgen.canvas import Canvas

from observe.look.fonts import TEXT
from observe.look.tokens import Weight
from observe.sheets import record
from observe.sheets.blocks import Place
from observe.sheets.compose import Page, compose
from observe.sheets.content import SheetContent
from observe.sheets.painter import Painter
from observe.sheets.setting import Paper
from observe.sheets.typeset import font


@dataclass(frozen=True, slots=True)
class Field:
    """A place for a signature, as PDF counts: page from 0, corners from lower left."""

    name: str
    page: int
    box: tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Unsigned:
    """A drawn sheet. digest: of its record, as printed at its foot."""

    pdf: bytes
    fields: tuple[Field, ...]
    digest: str
    pages: int


class _Canvas(Canvas):
    """A canvas that can attach a file, for which the library has no public way."""

    _doc: Any  # what the types of the library leave out is just what is needed

    def attach(self, kept: bytes) -> None:
        """The record as an associated file of the document (ISO 32000-2, 7.11.4 and 14.13)."""
        document = self._doc
        stream = pdfdoc.PDFStream(
            dictionary=pdfdoc.PDFDictionary(
                {
                    "Type": pdfdoc.PDFName("EmbeddedFile"),
                    "Subtype": "/application#2Fjson",
                    "Params": pdfdoc.PDFDictionary({"Size": len(kept)}),
                }
            ),
            content=kept,
            filters=[pdfdoc.PDFZCompress],
        )
        name = pdfdoc.PDFString(record.FILE_NAME)
        described = pdfdoc.PDFDictionary(
            {
                "Type": pdfdoc.PDFName("Filespec"),
                "F": name,
                "UF": name,
                "Desc": pdfdoc.PDFString("The record of this sheet, canonical JSON"),
                "AFRelationship": pdfdoc.PDFName("Data"),
                "EF": pdfdoc.PDFDictionary({"F": document.Reference(stream)}),
            }
        )
        specification = document.Reference(described)
        names = pdfdoc.PDFArray([name, specification])
        catalog = document.Catalog
        catalog.Names = pdfdoc.PDFDictionary(
            {"EmbeddedFiles": pdfdoc.PDFDictionary({"Names": names})}
        )
        catalog.AF = pdfdoc.PDFArray([specification])
        catalog.__NoDefault__ = [*catalog.__NoDefault__, "AF"]


def render(content: SheetContent, paper: Paper = Paper.A4) -> Unsigned:
    """Draw a sheet on A4 or US Letter, one learner's, with its record attached."""
    pages = compose(content, paper)
    kept = record.written(content)
    out = io.BytesIO()
    canvas = _canvas(out, paper)
    _describe(canvas, content)
    for page in pages:
        Painter(canvas, page.height).paint(page.items)
        canvas.showPage()
    canvas.attach(kept)
    canvas.save()
    return Unsigned(out.getvalue(), _fields(pages), record.digest_of(kept), len(pages))


def print_run(contents: Iterable[SheetContent], paper: Paper = Paper.A4) -> bytes:
    """Sheets one after another in one file to be printed; nothing is attached or signed."""
    out = io.BytesIO()
    canvas = _canvas(out, paper)
    canvas.setTitle("Sheets to be printed; the signed ones are files of their own")
    canvas.setProducer("Observe")
    for content in contents:
        for page in compose(content, paper):
            Painter(canvas, page.height).paint(page.items)
            canvas.showPage()
    canvas.save()
    return out.getvalue()


def _canvas(out: io.BytesIO, paper: Paper) -> _Canvas:
    """An empty document in the faces of the look; the same bytes for the same drawing."""
    rl_config.useA85 = 0  # bytes as they are: smaller, and half the time
    return _Canvas(
        out,
        pagesize=paper.size,
        invariant=1,
        pageCompression=1,
        lang="en",
        # A name, whatever the published types of the library say.
        initialFontName=font(TEXT[Weight.REGULAR]).fontName,  # type: ignore[arg-type]
    )


def _fields(pages: tuple[Page, ...]) -> tuple[Field, ...]:
    return tuple(
        Field(place.name, number, _box(place, page.height))
        for number, page in enumerate(pages)
        for place in page.places
    )


def _box(place: Place, height: float) -> tuple[int, int, int, int]:
    left, top = round(place.x), round(height - place.y)
    return (left, top - round(place.height), left + round(place.width), top)


def _describe(canvas: Canvas, content: SheetContent) -> None:
    occasion = content.occasion
    canvas.setTitle(f"{occasion.learner}, {occasion.procedure}, {occasion.date}")
    canvas.setAuthor(content.signer.name)
    canvas.setSubject(f"{content.decision.word}. {occasion.ordinal}, {occasion.mode}.")
    canvas.setCreator(f"Observe {content.origin.engine}")
    canvas.setProducer("Observe")
