"""The sheet as a PDF, not yet signed: pages, structure, metadata and the attached record.

The same content on the same paper gives the same bytes with the same versions of
the program and its libraries: the verifier draws a sheet again and compares.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import dataclass

from reportlab import rl_config

from observe.look.fonts import TEXT
from observe.look.tokens import Weight
from observe.sheets import record
from observe.sheets.blocks import Place
from observe.sheets.canvas import SheetCanvas
from observe.sheets.compose import Page, compose
from observe.sheets.content import SheetContent
from observe.sheets.packed import packed
from observe.sheets.painter import Painter
from observe.sheets.setting import Paper
from observe.sheets.structure import Structure
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


def render(content: SheetContent, paper: Paper = Paper.A4) -> Unsigned:
    """Draw a sheet on A4 or US Letter, one learner's, with its record attached."""
    occasion = content.occasion
    described = Described(
        f"{occasion.learner}, {occasion.procedure}, {occasion.date}",
        content.signer.name,
        f"{content.decision.word}. {occasion.ordinal}, {occasion.mode}.",
        content.origin.engine,
    )
    return draw(compose(content, paper), record.written(content), described, paper)


@dataclass(frozen=True, slots=True)
class Described:
    """What a file says of itself. engine: version of the program."""

    title: str
    author: str
    subject: str
    engine: str


def draw(pages: tuple[Page, ...], kept: bytes, described: Described, paper: Paper) -> Unsigned:
    """Pages with their structure and the record that they print."""
    out = io.BytesIO()
    canvas = _canvas(out, paper)
    _describe(canvas, described)
    structure = Structure(canvas.write)
    for page in pages:
        structure.begin_page(page.height)
        Painter(canvas, page.height, structure=structure).paint(page.items)
        structure.end_page()
        canvas.showPage()
    canvas.structured(structure)
    canvas.attach(record.FILE_NAME, kept, "The record of this sheet, canonical JSON")
    canvas.save()
    return Unsigned(packed(out.getvalue()), _fields(pages), record.digest_of(kept), len(pages))


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


def _canvas(out: io.BytesIO, paper: Paper) -> SheetCanvas:
    """An empty document in the faces of the look; the same bytes for the same drawing."""
    rl_config.useA85 = 0  # bytes as they are: smaller, and half the time
    return SheetCanvas(
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


def _describe(canvas: SheetCanvas, described: Described) -> None:
    canvas.setTitle(described.title)
    canvas.setAuthor(described.author)
    canvas.setSubject(described.subject)
    canvas.setCreator(f"Observe {described.engine}")
    canvas.setProducer("Observe")
