"""A part that may need more height than its place has: then it scrolls, with a bar for a finger."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QScrollArea, QScrollBar, QWidget

from observe.desk.paint import Pen, Style, fit
from observe.desk.theme import Skin
from observe.look import tokens
from observe.look.tokens import Token

SLIDER_MM = 9
"""Width of the scroll bar: a finger moves it."""
ENDLESS = 100_000
"""px of height that no text reaches."""


class Slider(QScrollBar):
    """A bar that a finger moves: a groove, and in it a key with a heel for what is in sight."""

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Vertical, parent)
        self.skin = skin
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def sizeHint(self) -> QSize:
        return QSize(self.skin.mm(SLIDER_MM), super().sizeHint().height())

    def handle(self) -> QRectF:
        """What stands for the part in sight, in px of the bar; never lower than it is wide."""
        whole = self.maximum() - self.minimum() + self.pageStep()
        high = max(self.width(), self.height() * self.pageStep() / max(1, whole))
        spare = max(0, self.height() - high)
        at = (self.value() - self.minimum()) / max(1, self.maximum() - self.minimum())
        return QRectF(0, spare * at, self.width(), min(high, self.height()))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        pen.fill(QRectF(self.rect()), Token.GROUND)
        pen.frame(QRectF(self.rect()), Token.LINE, 1)
        handle, heel = self.handle(), self.skin.px(tokens.HEEL_LOW)
        pen.rounded(handle, Token.KEYHEEL, tokens.KEY_CORNER)
        face = handle.adjusted(0, 0, 0, -heel)
        pen.rounded(face, Token.KEY, tokens.KEY_CORNER)
        pen.frame(face, Token.LINE, 1, corner=tokens.KEY_CORNER)
        for line in (-1, 0, 1):
            y = round(face.center().y()) + line * self.skin.px(6)
            pen.fill(QRectF(self.width() * 0.28, y, self.width() * 0.44, 2), Token.INK2)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._go(event.position().y())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if event.buttons():
            self._go(event.position().y())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def _go(self, y: float) -> None:
        """The middle of the handle comes under the finger."""
        high = self.handle().height()
        share = (y - high / 2) / max(1.0, self.height() - high)
        span = self.maximum() - self.minimum()
        self.setValue(self.minimum() + round(min(max(share, 0.0), 1.0) * span))


class Tall(QScrollArea):
    """Shows one part over the whole of its place, or higher than that with a bar beside it.

    needed: px of height that the part needs in a width. The bar stands as long as the
    part is higher than its place, so that nobody takes what is seen for all there is.
    """

    def __init__(
        self, skin: Skin, parent: QWidget, part: QWidget, needed: Callable[[int], int]
    ) -> None:
        super().__init__(parent)
        self.skin, self.part, self.needed = skin, part, needed
        self.slider = Slider(skin, self)
        self.setVerticalScrollBar(self.slider)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.viewport().setAutoFillBackground(False)
        self.setWidget(part)
        part.setAutoFillBackground(False)

    @property
    def scrolls(self) -> bool:
        """Whether the part is higher than its place."""
        return self.part.height() > self.height()

    def turn(self, parts: int) -> None:
        """Scroll by so many thirds of what is in sight: down, or up where it is negative."""
        bar = self.verticalScrollBar()
        bar.setValue(bar.value() + parts * self.height() // 3)

    def lay_out(self) -> None:
        """Give the part its size, and the bar beside it where that is needed.

        The part is told its size anew though it stays the same: what is on it may not.
        """
        wide = max(1, self.width())
        high = self.needed(wide)
        if high > self.height():
            wide = max(1, wide - self.skin.mm(SLIDER_MM) - self.skin.px(6))
            high = self.needed(wide)
            self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        else:
            self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        size = QSize(wide, max(high, self.height()))
        if self.part.size() == size:
            QApplication.sendEvent(self.part, QResizeEvent(size, size))
        else:
            self.part.resize(size)
        self.part.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.lay_out()


def height_of(skin: Skin, text: str, width: float, style: Style) -> int:
    """Px of height of a text in a width: at its least size, or at its own where text is enlarged.

    Who asked for larger text scrolls rather than reads it smaller.
    """
    if skin.text == 1:
        style = replace(style, size=style.least or style.size)
    return round(fit(skin, text, max(1, width), ENDLESS, style).height)
