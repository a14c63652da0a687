"""The one painter of the desk: shapes of `observe.look`, and text that fits its place."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QTextLayout,
    QTextOption,
)

from observe.desk.theme import Skin
from observe.look.shapes import Disc, Point, Polygon, Rect, Shape
from observe.look.tokens import CONTRAST_OUTLINE, LINE_HEIGHT_KEY, Token, Weight

FLOOR = 11
"""px of the density under which not even the shortest text goes."""
LEFT, CENTRE, RIGHT = 0.0, 0.5, 1.0
"""Where a line stands in its place."""
TOP, MIDDLE, BOTTOM = 0.0, 0.5, 1.0


@dataclass(frozen=True, slots=True)
class Style:
    """How a text is set. size and least: px of the density; least 0 means `size`.

    across, down: where it stands in its place, 0 to 1. leading: line height in em.
    code: in the face for digests and paths.
    """

    size: float
    weight: Weight = Weight.REGULAR
    ink: Token = Token.INK
    least: float = 0
    across: float = LEFT
    down: float = TOP
    leading: float = LINE_HEIGHT_KEY
    code: bool = False


@dataclass(frozen=True, slots=True)
class Misfit:
    """A text that has no room in its place, even at its least size."""

    text: str
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Fitted:
    """A text laid out. lines: each with its width; fits: nothing sticks out."""

    size: float
    lines: tuple[tuple[str, float], ...]
    line_height: float
    ascent: float
    fits: bool

    @property
    def height(self) -> float:
        return self.line_height * len(self.lines)

    @property
    def width(self) -> float:
        return max((width for _, width in self.lines), default=0.0)


misfits: list[Callable[[Misfit], None]] = []
"""Who wants to hear of texts without room; empty but in tests."""


class Pen:
    """Paints in the colours and sizes of the skin. Boxes are in px of the widget."""

    def __init__(self, painter: QPainter, skin: Skin) -> None:
        self.painter = painter
        self.skin = skin
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)

    def fill(self, box: QRectF, token: Token) -> None:
        """A filled rectangle on whole px."""
        self.painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        self.painter.fillRect(box, self.skin.colour(token))
        self.painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)

    def frame(self, box: QRectF, token: Token, stroke: float, *, corner: float = 0) -> None:
        """A line round the inside of a box; in high contrast none is thin."""
        if self.skin.is_contrast:
            stroke = max(stroke, CONTRAST_OUTLINE)
        half = stroke / 2
        inner = box.adjusted(half, half, -half, -half)
        self.painter.setPen(_pen(self.skin.colour(token), stroke))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        if corner:
            self.painter.drawRoundedRect(inner, corner, corner)
        else:
            self.painter.drawRect(inner)
        self.painter.setPen(Qt.PenStyle.NoPen)

    def dashed(self, box: QRectF, token: Token, stroke: float) -> None:
        """A dashed line round the inside of a box: a place that is free."""
        pen = _pen(self.skin.colour(token), stroke)
        pen.setDashPattern([5, 4])
        self.painter.setPen(pen)
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        self.painter.drawRect(box.adjusted(stroke, stroke, -stroke, -stroke))
        self.painter.setPen(Qt.PenStyle.NoPen)

    def rounded(self, box: QRectF, token: Token, corner: float) -> None:
        """A filled rectangle with round corners."""
        self.painter.setBrush(self.skin.colour(token))
        self.painter.drawRoundedRect(box, corner, corner)

    def shapes(self, shapes: Sequence[Shape], x: float, y: float, ink: Token | None = None) -> None:
        """Shapes of the look with their origin at (x, y). ink: all in one colour instead."""
        self.painter.save()
        self.painter.translate(x, y)
        for shape in shapes:
            self.painter.setBrush(self.skin.colour(ink or shape.ink))
            _draw(self.painter, shape)
        self.painter.restore()
        self.painter.setPen(Qt.PenStyle.NoPen)

    def text(self, box: QRectF, text: str, style: Style, *, shorter: Sequence[str] = ()) -> Fitted:
        """Write a text into a box: wrapped, stepped down to its least size, then shorter.

        What still does not fit is written all the same and reported as a misfit,
        never cut with dots.
        """
        fitted = fit(self.skin, text, box.width(), box.height(), style, shorter)
        if not fitted.fits:
            for hear in misfits:
                hear(Misfit(text, box.width(), box.height()))
        font = QFont(self.skin.font(style.size, style.weight, code=style.code))
        font.setPixelSize(max(1, round(fitted.size)))
        self.painter.setFont(font)
        self.painter.setPen(self.skin.colour(style.ink))
        y = box.y() + (box.height() - fitted.height) * style.down
        for line, width in fitted.lines:
            x = box.x() + (box.width() - width) * style.across
            baseline = y + (fitted.line_height - fitted.size) / 2 + fitted.ascent
            self.painter.drawText(QPointF(round(x), round(baseline)), line)
            y += fitted.line_height
        self.painter.setPen(Qt.PenStyle.NoPen)
        return fitted


def fit(
    skin: Skin,
    text: str,
    width: float,
    height: float,
    style: Style,
    shorter: Sequence[str] = (),
) -> Fitted:
    """Lay out a text in width × height screen px; see `Pen.text`."""
    font = skin.font(style.size, style.weight, code=style.code)
    biggest = float(font.pixelSize())
    smallest = min(biggest, float(skin.text_px(style.least or style.size)))
    face = font.toString()
    chosen = Fitted(biggest, (), biggest, biggest, fits=False)
    tries = [(one, biggest, smallest) for one in (text, *shorter)]
    if shorter:
        tries.append((shorter[-1], smallest, min(smallest, float(skin.text_px(FLOOR)))))
    for one, first, last in tries:
        trial = first
        while trial >= last:
            chosen = _laid_out(one, face, trial, width, height, style.leading)
            if chosen.fits:
                return chosen
            trial -= 1
    return chosen


@lru_cache(maxsize=4096)
def _laid_out(
    text: str, face: str, size: float, width: float, height: float, leading: float
) -> Fitted:
    font = QFont()
    font.fromString(face)
    font.setPixelSize(max(1, round(size)))
    metrics = QFontMetricsF(font)
    line_height = round(size * leading)
    lines = tuple(_lines(text, font, width, metrics))
    room = height + line_height - size
    fits = len(lines) * line_height <= room + 1 and all(w <= width + 0.5 for _, w in lines)
    # The face's own ascent is drawn from the line's top; centre the em square in the line.
    ascent = (size + metrics.ascent() - metrics.descent()) / 2
    return Fitted(size, lines, line_height, ascent, fits)


def _lines(
    text: str, font: QFont, width: float, metrics: QFontMetricsF
) -> Sequence[tuple[str, float]]:
    found: list[tuple[str, float]] = []
    for paragraph in text.split("\n"):
        if metrics.horizontalAdvance(paragraph) <= width:
            found.append((paragraph, metrics.horizontalAdvance(paragraph)))
            continue
        found.extend(_wrapped(paragraph, font, width, metrics))
    return found


def _wrapped(
    text: str, font: QFont, width: float, metrics: QFontMetricsF
) -> Sequence[tuple[str, float]]:
    layout = QTextLayout(text, font)
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WordWrap)
    layout.setTextOption(option)
    layout.beginLayout()
    found: list[tuple[str, float]] = []
    while True:
        line = layout.createLine()
        if not line.isValid():
            break
        line.setLineWidth(width)
        piece = text[line.textStart() : line.textStart() + line.textLength()].strip()
        found.append((piece, metrics.horizontalAdvance(piece)))
    layout.endLayout()
    return found


def _pen(colour: QColor, stroke: float) -> QPen:
    pen = QPen(colour, stroke)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    return pen


def _draw(painter: QPainter, shape: Shape) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    if isinstance(shape, Rect):
        painter.drawRect(QRectF(shape.x, shape.y, shape.width, shape.height))
    elif isinstance(shape, Disc):
        painter.drawEllipse(QPointF(shape.x, shape.y), shape.radius, shape.radius)
    else:
        painter.drawPath(_path(shape))


def _path(shape: Polygon) -> QPainterPath:
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.OddEvenFill)
    for points in (shape.points, shape.hole):
        if points:
            path.addPolygon(_polygon(points))
            path.closeSubpath()
    return path


def _polygon(points: Sequence[Point]) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in points])
