"""The way back from a learner's screen: the observer's PIN, or two keys far apart."""

from __future__ import annotations

import time
from collections.abc import Callable

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Key, word_face
from observe.desk.paint import CENTRE, Pen, Style
from observe.desk.sharing.pad import PinPad
from observe.desk.theme import Skin
from observe.domain.troubles import Refused, Surroundings
from observe.look import tokens
from observe.look.tokens import LINE_HEIGHT_READING, Token, Weight
from observe.work.pins import Pins

TITLE = "Give the tablet back to the observer."
TWO_KEYS = "Observer: press the key on the left, then the one on the right."
BETWEEN_S = 4.0
"""The second of the two keys follows the first within this time."""


class LockPanel(QWidget):
    """Fills its parent. `opened` when the observer is back, `closed` when the learner goes on.

    observer: who handed the tablet over; their PIN opens, or two keys where they have none.
    seconds: a clock that never goes back.
    """

    opened = Signal()
    closed = Signal()

    def __init__(
        self,
        skin: Skin,
        pins: Pins,
        observer: str,
        parent: QWidget,
        *,
        seconds: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(parent)
        self.skin, self.pins, self.observer, self._seconds = skin, pins, observer, seconds
        self._armed: float | None = None
        self._by_keys = True
        self.pad = PinPad(skin, self)
        self.pad.entered.connect(self._try)
        self.left_key = Key(skin, self, word_face("First", size=19, weight=Weight.BOLD))
        self.right_key = Key(skin, self, word_face("Then this", size=19, weight=Weight.BOLD))
        self.back_key = Key(skin, self, word_face("Back to my answers", size=17))
        self.left_key.struck.connect(self._arm)
        self.right_key.struck.connect(self._fire)
        self.back_key.struck.connect(self.closed)
        self.hide()

    def ask(self) -> None:
        """Ask the observer to come in."""
        try:
            digits = self.pins.digits(self.observer)
            wait = self.pins.wait_s(self.observer)
        except Surroundings:
            digits = wait = 0  # a damaged file locks nobody out of their room
        self._by_keys, self._armed = not digits, None
        self.pad.setVisible(bool(digits))
        for key in (self.left_key, self.right_key):
            key.setVisible(not digits)
        self.setAccessibleName(f"{TITLE} {TWO_KEYS if self._by_keys else ''}".strip())
        self.show()
        self.raise_()
        if digits:
            self.pad.ask(TITLE, "The observer's PIN opens it.", digits=digits)
            if wait:
                self.pad.refuse("", wait_s=wait)
        self.update()

    def _try(self, pin: str) -> None:
        try:
            self.pins.enter(self.observer, pin)
        except Refused as refusal:
            wait = self.pins.wait_s(self.observer)
            self.pad.refuse(f"{refusal.what} {refusal.remedy}", wait_s=wait)
        except Surroundings as trouble:
            self.pad.refuse(f"{trouble.what} {trouble.remedy}")
        else:
            self.opened.emit()

    def _arm(self) -> None:
        self._armed = self._seconds()

    def _fire(self) -> None:
        armed, self._armed = self._armed, None
        if armed is not None and self._seconds() - armed <= BETWEEN_S:
            self.opened.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        px, mm = self.skin.px, self.skin.mm
        tall, edge = max(px(70), mm(tokens.ROUTINE_TARGET_MM)), px(18)
        side = mm(tokens.CRITICAL_TARGET_MM)
        wide = min(self.width() - 2 * edge, px(760))
        foot = self.height() - tall - edge
        self.pad.setGeometry((self.width() - wide) // 2, px(20), wide, foot - px(30))
        self.back_key.setGeometry((self.width() - mm(44)) // 2, foot, mm(44), tall)
        y = (self.height() - side) // 2
        self.left_key.setGeometry(edge, y, side + mm(6), side)
        self.right_key.setGeometry(self.width() - edge - side - mm(6), y, side + mm(6), side)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        pen.fill(QRectF(self.rect()), Token.SHEET)
        if self._by_keys:
            left = self.left_key.geometry().right() + px(18)
            wide = self.right_key.x() - px(18) - left
            middle = self.height() / 2
            title = Style(26, Weight.BOLD, least=16, across=CENTRE, down=1.0)
            pen.text(QRectF(left, middle - px(90), wide, px(84)), TITLE, title)
            note = Style(17, ink=Token.INK2, least=13, across=CENTRE, leading=LINE_HEIGHT_READING)
            pen.text(QRectF(left, middle + px(6), wide, px(70)), TWO_KEYS, note)
        painter.end()
