"""Paints pages onto a PDF canvas: the paper's twin of the screen's painter."""

from __future__ import annotations

from collections.abc import Iterable

from reportlab.lib.colors import Color, HexColor
from reportlab.pdfgen.canvas import Canvas

from observe.look.shapes import Disc, Polygon, Rect, Shape
from observe.look.tokens import LIGHT, Theme, Token
from observe.sheets.blocks import Item, Line, Place
from observe.sheets.structure import Structure
from observe.sheets.tags import Close, Open
from observe.sheets.typeset import font, runs

_EVEN_ODD = 0
"""The canvas's number for the rule by which a hole stays free."""


class Painter:
    """Paints items of one page; turns y, which grows downward, for the paper.

    structure: is told what is painted; without one, tags are passed over.
    """

    def __init__(
        self,
        canvas: Canvas,
        height: float,
        theme: Theme = LIGHT,
        structure: Structure | None = None,
    ) -> None:
        self._canvas = canvas
        self._structure = structure
        self._height = height
        self._colours: dict[Token, Color] = {
            token: HexColor(theme.colour(token)) for token in Token
        }
        self._ink: Token | None = None

    def paint(self, items: Iterable[Item]) -> None:
        """Everything in its order; places for signatures are left free."""
        for item in items:
            if isinstance(item, Open | Close):
                self._tag(item)
                continue
            if self._structure:
                self._structure.before(item)
            if isinstance(item, Line):
                self._line(item)
            elif not isinstance(item, Place):
                self._shape(item)

    def _tag(self, item: Open | Close) -> None:
        if self._structure is None:
            return
        if isinstance(item, Open):
            self._structure.enter(item.tag)
        else:
            self._structure.leave()

    def _fill(self, ink: Token) -> None:
        if ink is not self._ink:
            self._canvas.setFillColor(self._colours[ink])
            self._ink = ink

    def _line(self, line: Line) -> None:
        self._fill(line.style.ink)
        text = self._canvas.beginText(line.x, self._height - line.y)
        for run in runs(line.text, line.style):
            text.setFont(font(run.face).fontName, line.style.size)
            text.textOut(run.text)
        if self._structure and self._structure.goes_on:
            text.textOut(" ")  # What a listener hears next is another word.
        self._canvas.drawText(text)

    def _shape(self, shape: Shape) -> None:
        self._fill(shape.ink)
        if isinstance(shape, Rect):
            y = self._height - shape.bottom
            self._canvas.rect(shape.x, y, shape.width, shape.height, stroke=0, fill=1)
        elif isinstance(shape, Disc):
            self._canvas.circle(shape.x, self._height - shape.y, shape.radius, stroke=0, fill=1)
        else:
            self._polygon(shape)

    def _polygon(self, shape: Polygon) -> None:
        path = self._canvas.beginPath()
        for points in (shape.points, shape.hole):
            for number, (x, y) in enumerate(points):
                if number:
                    path.lineTo(x, self._height - y)
                else:
                    path.moveTo(x, self._height - y)
            if points:
                path.close()
        self._canvas.drawPath(path, stroke=0, fill=1, fillMode=_EVEN_ODD)
