"""A trouble in the frame: a row that says what happened, what is safe, and what can be done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Key, word_face
from observe.desk.paint import BOTTOM, Pen, Style
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.domain.troubles import Trouble
from observe.look import tokens
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Token, Weight

ROW_HEIGHT = 82
WHAT = Style(18, Weight.BOLD, least=13)
SAID = Style(15, ink=Token.INK2, least=11.5)
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
        wide, x = self._key_width(), self.width() - px(8)
        top, high = px(6), self.height() - px(12)
        if not self._has_keys_beside(self.width()):
            high = self._key_height()
            top = self.height() - high - px(6)
        for key in reversed(self.keys[: len(self._deeds)]):
            x -= wide
            key.setGeometry(x, top, wide, high)
            x -= px(6)

    def _key_width(self) -> int:
        return self.skin.grows(150, 150, 0.4)

    def _key_height(self) -> int:
        return max(self.skin.mm(tokens.ROUTINE_TARGET_MM), self.skin.grows(56, 56, 0.3))

    def _words_width(self, width: int) -> int:
        """Px of the words beside the keys."""
        px, keys = self.skin.px, len(self._deeds) * (self._key_width() + self.skin.px(6))
        return width - px(18) - px(44) - px(20) - px(20) - keys

    def _has_keys_beside(self, width: int) -> bool:
        """Whether the keys stand beside the words; enlarged, they may have to stand below."""
        return self.skin.text == 1 or self._words_width(width) >= self.skin.px(300)

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        px = self.skin.px
        if self.trouble is None or self.skin.text == 1:
            return px(ROW_HEIGHT)
        beside = self._has_keys_beside(width)
        wide = self._words_width(width) if beside else width - px(94)
        words = height_of(self.skin, self.trouble.what, wide, WHAT) + px(16)
        words += height_of(self.skin, self._said(), wide, SAID)
        if not beside:
            return words + self._key_height() + px(12)
        return max(words, self._key_height() + px(12), self.skin.still(ROW_HEIGHT, ROW_HEIGHT))

    def _said(self) -> str:
        """What can be done; where it is only if there is room."""
        return self.trouble.remedy if self.trouble else ""

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
        y = round(box.center().y() - side / 2)
        if not self._has_keys_beside(self.width()):
            y = px(10)
        pen.shapes(sign_shapes(SignLook.TROUBLE, side), px(18), y)
        left = px(18) + side + px(20)
        right = min((key.x() for key in self.keys[: len(self._deeds)]), default=self.width())
        middle = box.center().y()
        if self.skin.text > 1:
            self._paint_enlarged(pen, box, trouble, left)
            return
        above = QRectF(left, px(4), right - left - px(12), middle - px(4))
        below = QRectF(left, middle + px(3), above.width(), box.height() - middle - px(7))
        pen.text(above, trouble.what, replace(WHAT, down=BOTTOM))
        said = " ".join(part for part in (trouble.remedy, trouble.where) if part)
        pen.text(below, said, SAID, shorter=(trouble.remedy,))

    def _paint_enlarged(self, pen: Pen, box: QRectF, trouble: Trouble, left: int) -> None:
        """The words one below the other, over the keys where these stand below."""
        px = self.skin.px
        beside = self._has_keys_beside(self.width())
        wide = self._words_width(self.width()) if beside else self.width() - px(94)
        high = height_of(self.skin, trouble.what, wide, WHAT)
        first = QRectF(left, px(6), wide, high)
        pen.text(first, trouble.what, WHAT)
        end = box.height() if beside else self.height() - self._key_height() - px(6)
        pen.text(
            QRectF(left, first.bottom() + px(4), wide, end - first.bottom() - px(6)),
            self._said(),
            SAID,
        )
