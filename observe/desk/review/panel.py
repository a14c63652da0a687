"""A panel of the review: its frame, title and note; or why it is empty and what would help."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from observe.desk.paint import MIDDLE, RIGHT, Pen, Style
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.look.tokens import LINE_HEIGHT_READING, Token, Weight
from observe.work.reviewing import Review

TITLE = Style(17, Weight.BOLD, least=14, down=MIDDLE)
NOTE = Style(14, ink=Token.INK2, least=11.5, across=RIGHT, down=MIDDLE)
FOOT = Style(14, ink=Token.INK2, least=11.5, leading=LINE_HEIGHT_READING)
EMPTY = Style(17, Weight.BOLD, least=13)
HELP = Style(16, ink=Token.INK2, least=12.5, leading=LINE_HEIGHT_READING)
HEAD_PX = 38
MINUS = "−"


class Panel(QWidget):
    """What every panel has. title: over it."""

    title = ""

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.made: Review | None = None
        self.empty: tuple[str, str] = ("", "")

    def show_review(self, made: Review | None, empty: tuple[str, str]) -> None:
        """Show a review. empty: what is missing and what would help, where there is nothing."""
        self.made = made
        self.tell(empty)

    def tell(self, empty: tuple[str, str]) -> None:
        """Show what the panel has now; empty as for `show_review`."""
        self.empty = empty
        said = self.read_out() if self.is_filled else " ".join(empty)
        self.setAccessibleName(f"{self.title}. {said}")
        self.update()

    @property
    def is_filled(self) -> bool:
        """Whether there is anything to show."""
        return self.made is not None and bool(self.made.gathered.planned)

    @property
    def note(self) -> str:
        """What stands at the right of the title."""
        return ""

    def read_out(self) -> str:
        """The figures of the panel in words, for who does not see them."""
        return ""

    def paint_content(self, pen: Pen, inside: QRectF) -> None:
        """Paint what is below the title."""

    def needed(self, width: int) -> int:
        """Px of height in a width, where panels stand below each other."""
        px = self.skin.px
        said = " ".join(self.empty)
        return px(HEAD_PX + 60) + height_of(self.skin, said, width - px(60), HELP)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.RULE, 1)
        head = QRectF(px(14), px(2), box.width() - px(28), px(HEAD_PX - 4))
        half = head.width() * (0.62 if self.note else 1)
        title = pen.text(QRectF(head.x(), head.y(), half, head.height()), self.title, TITLE)
        left = head.x() + title.width + px(10)
        if self.note and self.is_filled:
            pen.text(QRectF(left, head.y(), head.right() - left, head.height()), self.note, NOTE)
        inside = box.adjusted(px(14), px(HEAD_PX), -px(14), -px(8))
        if self.is_filled:
            self.paint_content(pen, inside)
        elif any(self.empty):
            self._paint_empty(pen, inside)
        painter.end()

    def paint_foot(self, pen: Pen, inside: QRectF, text: str) -> float:
        """Write a sentence along the lower edge; the px of height it takes."""
        high = height_of(self.skin, text, inside.width(), FOOT)
        pen.text(QRectF(inside.x(), inside.bottom() - high, inside.width(), high), text, FOOT)
        return high

    def _paint_empty(self, pen: Pen, inside: QRectF) -> None:
        px = self.skin.px
        missing, helps = self.empty
        wide = inside.width() - px(20)
        high = height_of(self.skin, missing, wide, EMPTY)
        top = inside.y() + max(px(4), min(px(40), inside.height() * 0.12))
        pen.text(QRectF(inside.x() + px(10), top, wide, high), missing, EMPTY)
        below = QRectF(inside.x() + px(10), top + high + px(8), wide, inside.bottom() - top - high)
        pen.text(below.adjusted(0, 0, 0, -px(8)), helps, HELP)


def coefficient(value: float | None) -> str:
    """A coefficient to two decimals as it is printed: ".48", "−.12", "1.00"."""
    if value is None:
        return "…"
    text = f"{abs(value):.2f}"
    sign = MINUS if value < 0 and float(text) else ""
    return sign + (text.removeprefix("0") if text.startswith("0.") else text)


def points(value: float) -> str:
    """A difference in points with its sign: "+2.3", "−0.6"."""
    text = f"{abs(value):.1f}"
    if not float(text):
        return text
    return ("+" if value > 0 else MINUS) + text
