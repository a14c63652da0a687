"""What would be printed now, painted from the same pages that the PDF is made of."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPaintEvent
from PySide6.QtWidgets import QWidget

from observe.desk.paint import Pen
from observe.desk.theme import Skin
from observe.look.fonts import Face
from observe.look.shapes import Disc, Point, Rect, Shape
from observe.look.tokens import LIGHT, Token
from observe.sheets.blocks import Drawing, Line, Place, seen_of
from observe.sheets.compose import Page, compose
from observe.sheets.content import SheetContent
from observe.sheets.setting import Paper
from observe.sheets.typeset import runs

GAP = 12
IN_ORDER = "\u202d"
"""Letters stand in the order in which they are printed already; nothing turns them again."""


class Preview(QWidget):
    """Pages below each other, as wide as there is room."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.pages: tuple[Page, ...] = ()

    def show_sheet(self, content: SheetContent) -> None:
        """Show a sheet that was not issued."""
        self.show_pages(compose(content, Paper.A4), "sheet")

    def show_pages(self, pages: tuple[Page, ...], what: str) -> None:
        """Show pages. what: they are of, in a word."""
        self.pages = pages
        words = " ".join(
            item.text for page in self.pages for item in page.items if isinstance(item, Line)
        )
        self.setAccessibleName(f"Preview of the {what}, {len(self.pages)} pages. {words}")
        self.update()

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        gap = self.skin.px(GAP)
        return sum(round(page.height * self._scale(width, page)) + gap for page in self.pages) + gap

    def _scale(self, width: int, page: Page) -> float:
        return min(width - 2 * self.skin.px(GAP), self.skin.px(860)) / page.width

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, y = Pen(painter, self.skin), float(self.skin.px(GAP))
        for page in self.pages:
            scale = self._scale(self.width(), page)
            wide, high = page.width * scale, page.height * scale
            box = QRectF((self.width() - wide) / 2, y, wide, high)
            painter.fillRect(box, QColor(LIGHT.colour(Token.WELL)))
            pen.frame(box.adjusted(-1, -1, 1, 1), Token.LINE, 1)
            painter.save()
            painter.setClipRect(box)
            painter.translate(box.topLeft())
            for item in seen_of(page.items):
                _paint(painter, item, scale)
            painter.restore()
            y += high + self.skin.px(GAP)
        painter.end()


def _paint(painter: QPainter, item: Drawing, scale: float) -> None:
    if isinstance(item, Line):
        _write(painter, item, scale)
    elif not isinstance(item, Place):
        painter.fillPath(_path(item, scale), QColor(LIGHT.colour(item.ink)))


def _write(painter: QPainter, line: Line, scale: float) -> None:
    """A line of text, each stretch as wide as it is on paper."""
    painter.setPen(QColor(LIGHT.colour(line.style.ink)))
    x = line.x * scale
    for run in runs(line.text, line.style):
        font = _font(run.face, line.style.size * scale)
        painter.setFont(font)
        painter.drawText(QPointF(x, line.y * scale), IN_ORDER + run.text)
        x += QFontMetricsF(font).horizontalAdvance(IN_ORDER + run.text)


def _font(face: Face, size: float) -> QFont:
    font = QFont(face.family)
    font.setPixelSize(max(1, round(size)))
    font.setWeight(QFont.Weight(face.css_weight))
    font.setItalic(face.italic)
    return font


def _path(shape: Shape, scale: float) -> QPainterPath:
    path = QPainterPath()
    if isinstance(shape, Rect):
        path.addRect(
            QRectF(shape.x * scale, shape.y * scale, shape.width * scale, shape.height * scale)
        )
    elif isinstance(shape, Disc):
        radius = shape.radius * scale
        path.addEllipse(QPointF(shape.x * scale, shape.y * scale), radius, radius)
    else:
        for ring in (shape.points, shape.hole):
            _ring(path, ring, scale)
    return path


def _ring(path: QPainterPath, ring: tuple[Point, ...], scale: float) -> None:
    for place, (x, y) in enumerate(ring):
        if place:
            path.lineTo(x * scale, y * scale)
        else:
            path.moveTo(x * scale, y * scale)
    if ring:
        path.closeSubpath()
