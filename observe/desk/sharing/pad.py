"""The pad for a PIN: keys in a fixed order, dots instead of digits, sentences, no dialogs."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.deeds import icon_face
from observe.desk.keys import Face, Key, word_face
from observe.desk.paint import CENTRE, MIDDLE, Pen, Style
from observe.desk.theme import Skin
from observe.domain.words import counted
from observe.look.shapes import Disc
from observe.look.tokens import LINE_HEIGHT_READING, Token, Weight
from observe.work.pins import LEAST_DIGITS, MOST_DIGITS

KEY_MM = 14
"""Least height and width of a key: a PIN is typed in a hurry."""
MOST_MM = 22
ORDER = ("1", "2", "3", "4", "5", "6", "7", "8", "9", "back", "0", "ok")
HEAD = 128
"""px above the keys: title, note, dots, and a sentence if something is wrong."""
TICK_MS = 1000


class PinPad(QWidget):
    """Asks for digits, and emits `entered` with them.

    Where the number of digits is known the last one enters, without another key.
    """

    entered = Signal(str)

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.typed = ""
        self.title, self.note, self.said = "", "", ""
        self._digits = 0
        self._wait = 0
        self.keys = {name: Key(skin, self) for name in ORDER}
        for name, key in self.keys.items():
            key.struck.connect(lambda name=name: self._strike(name))
        self._timer = QTimer(self)
        self._timer.timeout.connect(self._tick)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.ask("", "")

    def ask(self, title: str, note: str, *, digits: int = 0) -> None:
        """Ask for a PIN. digits: how many it has; 0 where the person chooses that."""
        self.title, self.note, self._digits = title, note, digits
        self._show("")
        self._wait_for(0)
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def refuse(self, sentence: str, *, wait_s: int = 0) -> None:
        """Say what was wrong; nothing is typed any more. wait_s: no key takes a press so long."""
        self._show(sentence)
        self._wait_for(wait_s)

    def _show(self, sentence: str) -> None:
        self.typed, self.said = "", sentence
        self.refresh()

    def _wait_for(self, seconds: int) -> None:
        self._wait = seconds
        if seconds:
            self._timer.start(TICK_MS)
        else:
            self._timer.stop()
        self.refresh()

    def _tick(self) -> None:
        """A second of the wait went by."""
        self._wait_for(max(0, self._wait - 1))
        if not self._wait:
            self.said = "Try again."
            self.refresh()

    def refresh(self) -> None:
        """Show the keys as they can be pressed now, and the dots."""
        can = self._wait == 0
        most = self._digits or MOST_DIGITS
        for name, key in self.keys.items():
            if name == "back":
                key.show_face(
                    icon_face("take back", "Delete").allowed(can=can and bool(self.typed))
                )
            elif name == "ok":
                enough = len(self.typed) >= (self._digits or LEAST_DIGITS)
                key.setVisible(not self._digits)
                face = word_face("Go on", size=19, weight=Weight.BOLD)
                key.show_face(
                    Face(face.name, face.draw, face.content, heel=Token.ACT, can=can and enough)
                )
            else:
                face = word_face(name, size=28, weight=Weight.BOLD)
                key.show_face(face.allowed(can=can and len(self.typed) < most))
        self.setAccessibleName(
            f"{self.title}. {self.sentence()} {counted(len(self.typed), 'digit')} typed."
        )
        self.update()

    def sentence(self) -> str:
        """What stands under the dots."""
        if self._wait:
            return f"Wait {counted(self._wait, 'second')}."
        return self.said

    # pressing

    def _strike(self, name: str) -> None:
        if self._wait:
            return
        if name == "back":
            self.typed = self.typed[:-1]
        elif name == "ok":
            self._finish()
            return
        elif len(self.typed) < (self._digits or MOST_DIGITS):
            self.typed += name
        self.said = ""
        self.refresh()
        if self._digits and len(self.typed) == self._digits:
            self._finish()

    def _finish(self) -> None:
        if len(self.typed) >= LEAST_DIGITS:
            typed, self.typed = self.typed, ""
            self.refresh()
            self.entered.emit(typed)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Digits, Backspace and Enter, as on the pad; all else goes on."""
        key = event.key()
        if event.text() in ORDER and event.text():
            self._strike(event.text())
        elif key == Qt.Key.Key_Backspace:
            self._strike("back")
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._finish()
        else:
            super().keyPressEvent(event)

    def hideEvent(self, event: QHideEvent) -> None:
        """What was typed half-way is forgotten."""
        self.typed = ""
        self._timer.stop()

    # geometry and painting

    def resizeEvent(self, event: QResizeEvent) -> None:
        px, gap = self.skin.px, self.skin.px(8)
        least, most = self.skin.mm(KEY_MM), self.skin.mm(MOST_MM)
        top = px(HEAD)
        high = max(least, min(most, (self.height() - top - 3 * gap) // 4))
        wide = max(least, min(round(high * 1.5), (self.width() - 2 * gap) // 3))
        left = (self.width() - 3 * wide - 2 * gap) // 2
        for place, name in enumerate(ORDER):
            row, column = divmod(place, 3)
            self.keys[name].setGeometry(
                left + column * (wide + gap), top + row * (high + gap), wide, high
            )
        self.refresh()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        wide = self.width()
        title = Style(24, Weight.BOLD, least=16, across=CENTRE, down=MIDDLE)
        pen.text(QRectF(0, 0, wide, px(34)), self.title, title)
        note = Style(15, ink=Token.INK2, least=12, across=CENTRE, leading=LINE_HEIGHT_READING)
        pen.text(QRectF(0, px(34), wide, px(36)), self.note, note)
        self._paint_dots(pen, px(84))
        wrong = Style(16, Weight.BOLD, Token.WRONG, 12.5, CENTRE, MIDDLE)
        pen.text(QRectF(0, px(97), wide, px(28)), self.sentence(), wrong)
        painter.end()

    def _paint_dots(self, pen: Pen, y: float) -> None:
        """A dot for each digit typed; places for those still to come stand on the sill."""
        px, count = self.skin.px, self._digits or max(LEAST_DIGITS, len(self.typed))
        apart, size = px(34), px(9)
        left = self.width() / 2 - apart * (count - 1) / 2
        for place in range(count):
            x = left + place * apart
            if place < len(self.typed):
                pen.shapes((Disc(0, 0, size, Token.INK),), x, y)
            else:
                pen.fill(QRectF(x - size, y + size - 2, 2 * size, 2), Token.LINE)
