"""A seat as it looks with the settings that hold now; nothing on it can be pressed."""

from __future__ import annotations

from fractions import Fraction

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import paint_face
from observe.desk.live import faces
from observe.desk.live.rod_strip import RodReading
from observe.desk.live.seat import HeadReading, paint_head
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.theme import Skin
from observe.look.marks import MarkLook
from observe.look.rod import RodStep
from observe.look.tokens import Token, Weight

TITLE = "A seat looks like this"
SENTENCE = "Prepares skin in a wide field, lets it dry"
_LOOKS = (
    *(MarkLook.DONE, MarkLook.DONE, MarkLook.PROMPT_1, MarkLook.INCORRECT, MarkLook.DONE),
    *(MarkLook.NOT_SEEN, MarkLook.DONE, MarkLook.PROMPT_2, MarkLook.NOT_DONE),
    *(MarkLook.AHEAD, MarkLook.AHEAD, MarkLook.AHEAD),
)


class SeatSample(QWidget):
    """Head, sentence key and critical key of an invented learner."""

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.setAccessibleName(f"{TITLE}: name, sentence key and critical key of a learner.")

    def high(self) -> int:
        """Px of height it needs."""
        return self.skin.px(36) + self._head() + self._keys() + self.skin.px(8)

    def _head(self) -> int:
        return self.skin.px(92)

    def _keys(self) -> int:
        critical = self.skin.mm(20)
        return max(critical, self._sentence(), self.skin.px(70))

    def _sentence(self) -> int:
        return faces.sentence_height(self.skin, SENTENCE, max(1, self._widths()[0]))

    def _widths(self) -> tuple[int, int, int]:
        """Px of the sentence key, the gap, and the critical key."""
        critical = max(self.skin.mm(20), self.skin.grows(117, 76, 0.2))
        gap = max(self.skin.mm(3), self.skin.px(12))
        return self.width() - 2 * self.skin.px(8) - gap - critical, gap, critical

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        title = QRectF(px(2), 0, self.width() - px(4), px(30))
        pen.text(title, TITLE, Style(16, Weight.MEDIUM, Token.INK2, 12, down=MIDDLE))
        top = px(36)
        seat = QRectF(0, top, self.width(), self.height() - top)
        pen.fill(seat, Token.SHEET)
        pen.frame(seat, Token.RULE, 1)
        steps = tuple(RodStep(look, Fraction(1)) for look in _LOOKS)
        head = HeadReading(
            number=5,
            name="Ravi Senapathi",
            time="12:44",
            running=True,
            seen="95 % seen",
            looked="0:41 ago",
            watched=None,
            front=False,
            rod=RodReading(steps, (), 9),
        )
        paint_head(pen, QRectF(0, top, self.width(), self._head()), Token.INK, head)
        self._paint_keys(pen, top + self._head())
        painter.end()

    def _paint_keys(self, pen: Pen, y: int) -> None:
        wide, gap, critical = self._widths()
        left = self.skin.px(8)
        high = self._keys()
        sentence = QRectF(left, y, wide, high)
        flag = QRectF(left + wide + gap, y, critical, high)
        if self.skin.is_left:
            flag = QRectF(left, y, critical, high)
            sentence = QRectF(left + critical + gap, y, wide, high)
        paint_face(pen, sentence, faces.sentence_face(SENTENCE, 10, "", low=True, can=True))
        quiet = faces.critical_face(
            sign=None, time="", words="", count=0, can=True, name="", quiet=True
        )
        paint_face(pen, flag, quiet)
