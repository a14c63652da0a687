"""A part that may need more height than its place has: then it scrolls, with a bar for a finger."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from observe.desk.paint import Style, fit
from observe.desk.theme import Skin

SLIDER_MM = 9
"""Width of the scroll bar: a finger moves it."""
ENDLESS = 100_000
"""px of height that no text reaches."""


class Tall(QScrollArea):
    """Shows one part over the whole of its place, or higher than that with a bar beside it.

    needed: px of height that the part needs in a width. The bar stands as long as the
    part is higher than its place, so that nobody takes what is seen for all there is.
    """

    def __init__(
        self, skin: Skin, parent: QWidget, part: QWidget, needed: Callable[[int], int]
    ) -> None:
        super().__init__(parent)
        self.skin, self.part, self._needed = skin, part, needed
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

    def lay_out(self) -> None:
        """Give the part its size, and the bar beside it where that is needed."""
        wide = max(1, self.width())
        high = self._needed(wide)
        if high > self.height():
            slider = self.skin.mm(SLIDER_MM)
            self.verticalScrollBar().setFixedWidth(slider)
            wide = max(1, wide - slider - self.skin.px(6))
            high = self._needed(wide)
            self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        else:
            self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.part.resize(wide, max(high, self.height()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.lay_out()


def height_of(skin: Skin, text: str, width: float, style: Style) -> int:
    """px of height of a text in a width: at its least size, or at its own where text is enlarged.

    Who asked for larger text scrolls rather than reads it smaller.
    """
    if skin.text == 1:
        style = replace(style, size=style.least or style.size)
    return round(fit(skin, text, max(1, width), ENDLESS, style).height)
