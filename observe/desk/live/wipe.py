"""The wipe lock: a page over Live that takes no touch while the tablet is wiped.

It is left by what a cloth does not do: three clean presses far apart, in order, with
nothing else touched between them; or Esc held on a keyboard.
"""

from __future__ import annotations

import time
from collections.abc import Callable

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QHideEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QShowEvent,
    QTouchEvent,
)
from PySide6.QtWidgets import QWidget

from observe.desk.paint import CENTRE, MIDDLE, Pen, Style
from observe.desk.theme import Skin
from observe.look import tokens
from observe.look.tokens import Token, Weight

ORDER_S = 6.0
"""The three presses lie no further apart than this together."""
STRAY_MM = 4.0
"""A finger that moves further than this while it is down is wiping."""
HOLD_S = 2.0
"""How long Esc is held."""
DIGITS = (Qt.Key.Key_1, Qt.Key.Key_2, Qt.Key.Key_3)
TITLE = "Wipe the screen now"
SAID = (
    "It takes no touch, and no mark is set.",
    "Running clocks run on.",
    "For a critical event, lift the lock first.",
)
HOW = "To go on press 1, 2, 3 one after the other, or hold Esc."
AGAIN = "Not in order: begin with 1."
TICK_MS = 1000


class WipePage(QWidget):
    """Covers its parent. `lifted` is emitted once when it is to go.

    seconds: a clock that never goes back. time: the session's clock in words, or empty.
    """

    lifted = Signal()

    def __init__(
        self,
        skin: Skin,
        parent: QWidget,
        *,
        seconds: Callable[[], float] = time.monotonic,
        clock: Callable[[], str] = str,
    ) -> None:
        super().__init__(parent)
        self.skin, self._seconds, self._clock = skin, seconds, clock
        self.done = 0
        self._began = 0.0
        self._down: tuple[int, QPointF] | None = None
        self._held_from: float | None = None
        self._missed = False
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.update)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        self.setAccessibleName(f"{TITLE}. {' '.join(SAID)} {HOW}")
        self.hide()

    def cover(self) -> None:
        """Lie over the whole of the parent, with nothing pressed yet."""
        self._begin_again()
        self._missed = False
        parent = self.parentWidget()
        if parent is not None:
            self.setGeometry(parent.rect())
        self.show()
        self.raise_()
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def keys(self) -> tuple[QRectF, QRectF, QRectF]:
        """Where 1, 2 and 3 are: three corners, 20 mm wide and high at least."""
        side, edge = self.skin.mm(tokens.CRITICAL_TARGET_MM), self.skin.mm(6)
        right, below = self.width() - edge - side, self.height() - edge - side
        places = ((edge, edge), (right, below), (right, edge))
        one, two, three = (QRectF(x, y, side, side) for x, y in places)
        return one, two, three

    # pressing

    def _begin_again(self) -> None:
        self.done, self._down, self._held_from = 0, None, None

    def _stray(self) -> None:
        """Something else was touched: what was pressed so far counts no more."""
        self._missed = self._missed or self.done > 0
        self._begin_again()
        self.update()

    def _press(self, number: int) -> None:
        """One of the three, from 0, was pressed cleanly."""
        now = self._seconds()
        if self.done and now - self._began > ORDER_S:
            self._begin_again()
        if number != self.done:
            self._stray()
            self.done = 0
            return
        if not self.done:
            self._began = now
        self.done += 1
        self._missed = False
        self.update()
        if self.done == len(DIGITS):
            self._lift()

    def _lift(self) -> None:
        self._begin_again()
        self.hide()
        self.lifted.emit()

    def _key_at(self, place: QPointF) -> int | None:
        found = [number for number, box in enumerate(self.keys()) if box.contains(place)]
        return found[0] if found else None

    def _begin_press(self, place: QPointF) -> None:
        number = self._key_at(place)
        if number is None or self._down is not None:
            self._stray()
            return
        self._down = (number, place)

    def _follow_press(self, place: QPointF) -> None:
        if self._down is not None and self._moved(place) > self.skin.mm(STRAY_MM):
            self._stray()

    def _moved(self, place: QPointF) -> float:
        start = self._down[1] if self._down else place
        return max(abs(place.x() - start.x()), abs(place.y() - start.y()))

    def _end_press(self, place: QPointF) -> None:
        down, self._down = self._down, None
        if down is None:
            return
        if self._key_at(place) == down[0]:
            self._press(down[0])
        else:
            self._stray()

    # every event ends here

    def event(self, event: QEvent) -> bool:
        kind = event.type()
        if isinstance(event, QTouchEvent):
            self._touch(event)
            event.accept()
            return True
        if kind in (QEvent.Type.ShortcutOverride, QEvent.Type.Wheel, QEvent.Type.ContextMenu):
            event.accept()
            return True
        return super().event(event)

    def _touch(self, event: QTouchEvent) -> None:
        points = event.points()
        if event.type() == QEvent.Type.TouchCancel or len(points) != 1:
            self._stray()
            return
        place = points[0].position()
        if event.type() == QEvent.Type.TouchBegin:
            self._begin_press(place)
        elif event.type() == QEvent.Type.TouchUpdate:
            self._follow_press(place)
        elif event.type() == QEvent.Type.TouchEnd:
            self._end_press(place)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._begin_press(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._follow_press(event.position())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._end_press(event.position())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self._begin_press(event.position())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Digits as on the glass; Esc held; any other key is the cloth on the keyboard."""
        event.accept()
        if event.key() == Qt.Key.Key_Escape:
            self._hold(again=event.isAutoRepeat())
        elif event.isAutoRepeat():
            self._stray()
        elif event.key() in DIGITS:
            self._held_from = None
            self._press(DIGITS.index(Qt.Key(event.key())))
        else:
            self._stray()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        event.accept()
        if event.key() == Qt.Key.Key_Escape and not event.isAutoRepeat():
            self._hold(again=True)
            self._held_from = None

    def _hold(self, *, again: bool) -> None:
        if not again:
            self._begin_again()
            self._held_from = self._seconds()
        elif self._held_from is not None and self._seconds() - self._held_from >= HOLD_S:
            self._lift()

    def focusNextPrevChild(self, next: bool) -> bool:  # noqa: A002, FBT001 - Qt's own words
        """The Tab key leads nowhere."""
        return True

    # showing

    def showEvent(self, event: QShowEvent) -> None:
        self._timer.start(TICK_MS)

    def hideEvent(self, event: QHideEvent) -> None:
        self._timer.stop()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        box = QRectF(self.rect())
        dark = self.skin.is_dark  # the band of the dark theme is bright
        pen.fill(box, Token.GROUND if dark else Token.BAND)
        self._paint_words(pen, box, Token.INK if dark else Token.ONBAND)
        for number, place in enumerate(self.keys()):
            self._paint_key(pen, place, number)
        painter.end()

    def _paint_words(self, pen: Pen, box: QRectF, ink: Token) -> None:
        px, inset = self.skin.px, self.skin.mm(tokens.CRITICAL_TARGET_MM + 12)
        wide = box.width() - 2 * inset
        lines = [(TITLE, Style(38, Weight.BLACK, ink, 24, CENTRE, MIDDLE), 60)]
        clock = self._clock()
        if clock:
            lines.append((clock, Style(30, Weight.BOLD, ink, 20, CENTRE, MIDDLE), 48))
        plain = Style(20, Weight.MEDIUM, ink, 14, CENTRE, MIDDLE)
        lines += [(said, plain, 36) for said in SAID]
        how = AGAIN if self._missed else f"{self.done} of 3 pressed." if self.done else HOW
        lines.append((how, Style(20, Weight.BOLD, ink, 14, CENTRE, MIDDLE), 64))
        y = box.center().y() - sum(px(high) for _, _, high in lines) / 2
        for said, style, high in lines:
            pen.text(QRectF(box.x() + inset, y, wide, px(high)), said, style)
            y += px(high)

    def _paint_key(self, pen: Pen, box: QRectF, number: int) -> None:
        pressed = number < self.done
        heel = self.skin.px(tokens.HEEL)
        if not pressed:
            pen.rounded(box, Token.KEYHEEL, tokens.KEY_CORNER)
        face = box.adjusted(0, heel if pressed else 0, 0, 0 if pressed else -heel)
        pen.rounded(face, Token.KEY, tokens.KEY_CORNER)
        pen.frame(face, Token.INK if pressed else Token.LINE, 2 if pressed else 1, corner=3)
        style = Style(38, Weight.BLACK, Token.INK, 24, CENTRE, MIDDLE)
        if pressed:
            upper = QRectF(face.x(), face.y(), face.width(), face.height() * 0.6)
            pen.text(upper, str(number + 1), style)
            below = QRectF(face.x(), upper.bottom(), face.width(), face.height() * 0.3)
            small = Style(15, Weight.BOLD, Token.INK2, 12, CENTRE, MIDDLE)
            pen.text(below, "pressed", small)
        else:
            pen.text(face, str(number + 1), style)
