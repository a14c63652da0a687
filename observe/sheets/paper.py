"""Paper scoring sheets, printed beforehand for when no screen can be used.

Every step stands under the number that it has on the screen, in the same order, so
that typing a sheet in later goes down the page. The same sheets on the same paper give
the same bytes.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from observe.look.fonts import TEXT
from observe.look.tokens import Weight
from observe.sheets import paper_ends, paper_rows
from observe.sheets.blocks import ROOM, Block, Item, paragraph, shifted, stacked
from observe.sheets.compose import Page
from observe.sheets.painter import Painter
from observe.sheets.paper_content import PaperSheet
from observe.sheets.setting import MM, Paper
from observe.sheets.typeset import font

MARGIN = 10 * MM
PADS = (3.4, 2.6, 1.8, 1.2, 0.7)
"""Room over and under a row, in points; the roomiest with which all stands on two pages."""

_FLOWING = 2.4
_GAP = 7.0
_FOOT_GAP = 8.0


@dataclass(frozen=True, slots=True)
class _Unit:
    """What is never parted. gap: over it; heads: whether column heads belong over it."""

    block: Block
    gap: float = 0.0
    heads: bool = False


def render(sheets: Sequence[PaperSheet], paper: Paper, title: str) -> bytes:
    """The sheets in one PDF, to be printed on one side or on both.

    A sheet of an odd number of pages is followed by a page for notes, so that the next
    one begins on a leaf of its own.
    """
    out = io.BytesIO()
    rl_config.useA85 = 0
    canvas = Canvas(
        out,
        pagesize=paper.size,
        invariant=1,
        pageCompression=1,
        lang="en",
        initialFontName=font(TEXT[Weight.REGULAR]).fontName,  # type: ignore[arg-type]  # a name, whatever the published types say
    )
    canvas.setTitle(title)
    canvas.setCreator("Observe")
    canvas.setProducer("Observe")
    for sheet in sheets:
        for page in compose(sheet, paper):
            Painter(canvas, page.height).paint(page.items)
            canvas.showPage()
    canvas.save()
    return out.getvalue()


def compose(sheet: PaperSheet, paper: Paper) -> tuple[Page, ...]:
    """The pages of one sheet, an even number: two where that can be, else as many as it takes."""
    for pad in PADS:
        bodies = _Flow(sheet, paper, pad).pages()
        if len(bodies) <= 2:
            return _finished(sheet, paper, bodies)
    return _finished(sheet, paper, _Flow(sheet, paper, _FLOWING).pages())


class _Flow:
    """Units of one sheet, poured into pages."""

    def __init__(self, sheet: PaperSheet, paper: Paper, pad: float) -> None:
        self.sheet, self.pad = sheet, pad
        self.wide = paper.size[0] - 2 * MARGIN
        foot = paper_ends.foot(sheet, 1, 99, self.wide).height
        self.high = paper.size[1] - 2 * MARGIN - foot - _FOOT_GAP
        self.steps = paper_rows.step_table(sheet, self.wide)
        self.criticals = paper_rows.critical_table(sheet, self.wide)
        self.heads = self.steps.heads()

    def pages(self) -> list[Block]:
        """The body of each page, from its upper margin down; the last with lines for notes."""
        pages: list[list[Block]] = [[paper_ends.heading(self.sheet, self.wide)]]
        headed = False
        for unit in self._units():
            added = self._added(unit, headed=headed)
            if stacked([*pages[-1], added]).height > self.high + ROOM:
                pages.append([paper_ends.running(self.sheet, self.wide)])
                added = self._added(unit, headed=False)
            pages[-1].append(added)
            headed = unit.heads
        left = self.high - stacked(pages[-1]).height - _GAP
        pages[-1].extend(_below(paper_ends.notes(self.wide, left), _GAP))
        return [stacked(blocks) for blocks in pages]

    def _added(self, unit: _Unit, *, headed: bool) -> Block:
        """A unit as it comes onto a page: with its gap, and with heads if none stand over it."""
        if unit.heads and not headed:
            return stacked((Block(0, 4), self.heads, unit.block))
        return stacked(_below(unit.block, unit.gap))

    def _units(self) -> list[_Unit]:
        wide, sheet = self.wide, self.sheet
        units = self._steps()
        if sheet.criticals:
            rows = [
                paper_rows.critical_row(item, self.criticals, self.pad) for item in sheet.criticals
            ]
            title = stacked((_critical_title(wide), self.criticals.heads(), rows[0]))
            units.append(_Unit(title, _GAP))
            units.extend(_Unit(row) for row in rows[1:])
        units.append(_Unit(paper_ends.clock_and_stop(wide), _GAP))
        units.append(_Unit(paper_ends.overall(sheet, wide), _GAP))
        for place, scale in enumerate(sheet.scales):
            units.append(_Unit(paper_rows.scale_row(scale, wide, self.pad), _GAP * (not place)))
        last: tuple[Callable[[float], Block], ...] = (paper_ends.words, paper_ends.signatures)
        units.extend(_Unit(part(wide), _GAP) for part in last)
        return units

    def _steps(self) -> list[_Unit]:
        """Each step; the first of a phase with the phase's name over it."""
        units = []
        for phase in self.sheet.phases:
            for place, step in enumerate(phase.steps):
                row = paper_rows.step_row(step, self.steps, self.pad)
                if not place:
                    row = stacked((paper_rows.phase_title(phase.label, self.wide), row))
                units.append(_Unit(row, heads=True))
        return units


def _critical_title(wide: float) -> Block:
    return stacked(
        (
            paragraph("Critical items: what happened, and when", paper_rows.TITLE, wide),
            paragraph(
                "Watched: throughout the steps at which it can happen. Nothing happened: leave the "
                "rest blank. Fatal: neither put right unasked nor stopped by a hand.",
                paper_rows.NOTE,
                wide,
            ),
        ),
        gap=1,
    )


def _below(block: Block, gap: float) -> tuple[Block, ...]:
    return (Block(0, gap), block) if block.height and gap else (block,)


def _finished(sheet: PaperSheet, paper: Paper, bodies: Sequence[Block]) -> tuple[Page, ...]:
    width, height = paper.size
    room = width - 2 * MARGIN
    bodies = list(bodies)
    if len(bodies) % 2:
        bodies.append(_notes_page(sheet, room, height))
    pages = []
    for number, body in enumerate(bodies, start=1):
        foot = paper_ends.foot(sheet, number, len(bodies), room)
        items: tuple[Item, ...] = (
            *shifted(body.items, MARGIN, MARGIN),
            *shifted(foot.items, MARGIN, height - MARGIN - foot.height),
        )
        pages.append(Page(width, height, items))
    return tuple(pages)


def _notes_page(sheet: PaperSheet, room: float, height: float) -> Block:
    head = paper_ends.running(sheet, room)
    left = height - 2 * MARGIN - head.height - 60
    return stacked((head, Block(0, _GAP), paper_ends.notes(room, left)))
