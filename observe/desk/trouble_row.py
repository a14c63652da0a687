"""A trouble in the frame: a row that says what happened, what is safe, and what can be done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Key, word_face
from observe.desk.paint import BOTTOM, Pen, Style
from observe.desk.theme import Skin
from observe.domain.troubles import Trouble
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Token, Weight

ROW_HEIGHT = 82
Deed = tuple[str, Callable[[], None]]


class TroubleRow(QWidget):
    """Pushes the content, never covers it. Up to three deeds."""

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.trouble: Trouble | None = None
        self._deeds: Sequence[Deed] = ()
        self.keys = [Key(skin, self) for _ in range(3)]
        for place, key in enumerate(self.keys):
            key.struck.connect(partial(self._do, place))
        self.hide()

    def tell(self, trouble: Trouble, deeds: Sequence[Deed] = ()) -> None:
        """Show a trouble with what can be done about it."""
        self.trouble, self._deeds = trouble, deeds
        self.setAccessibleName(str(trouble))
        for place, key in enumerate(self.keys):
            key.setVisible(place < len(deeds))
            if place < len(deeds):
                key.show_face(word_face(deeds[place][0]))
        self._lay_out()
        self.show()
        self.update()

    def _do(self, place: int) -> None:
        self._deeds[place][1]()

    def clear(self) -> None:
        """The trouble is over."""
        self.trouble = None
        self.hide()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _lay_out(self) -> None:
        px = self.skin.px
        wide, x = px(150), self.width() - px(8)
        for key in reversed(self.keys[: len(self._deeds)]):
            x -= wide
            key.setGeometry(x, px(6), wide, self.height() - px(12))
            x -= px(6)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.WELL)
        pen.frame(box, Token.INK, 2)
        if self.trouble is not None:
            self._paint_words(pen, box, self.trouble, px(44))
        painter.end()

    def _paint_words(self, pen: Pen, box: QRectF, trouble: Trouble, side: int) -> None:
        px = self.skin.px
        pen.shapes(sign_shapes(SignLook.TROUBLE, side), px(18), round(box.center().y() - side / 2))
        left = px(18) + side + px(20)
        right = min((key.x() for key in self.keys[: len(self._deeds)]), default=self.width())
        middle = box.center().y()
        above = QRectF(left, px(4), right - left - px(12), middle - px(4))
        below = QRectF(left, middle + px(3), above.width(), box.height() - middle - px(7))
        pen.text(above, trouble.what, Style(18, Weight.BOLD, least=13, down=BOTTOM))
        said = " ".join(part for part in (trouble.remedy, trouble.where) if part)
        style = Style(15, ink=Token.INK2, least=11.5)
        pen.text(below, said, style, shorter=(trouble.remedy,))
