"""Keys: what can be pressed. A key stands, a reading lies.

A key has a heel in its colour along the bottom. Pressed, the heel goes and the
face moves down; chosen, it has a frame; if it cannot be pressed now, it has no
heel and the reason stands beside it in words.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QEnterEvent,
    QFocusEvent,
    QHideEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QTouchEvent,
)
from PySide6.QtWidgets import QAbstractButton, QWidget

from observe.desk.paint import CENTRE, MIDDLE, Pen, Style
from observe.desk.theme import Skin
from observe.look import tokens
from observe.look.tokens import Token, Weight

Draw = Callable[..., None]
"""Paints what stands on a key: (pen, box, ink, *content)."""

KEYBOARD_REASONS = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)


def words(pen: Pen, box: QRectF, ink: Token, text: str, size: float, weight: Weight) -> None:
    """A word or two in the middle of a key."""
    least = min(size, pen.skin.density.least)
    pen.text(box, text, Style(size, weight, ink, least, CENTRE, MIDDLE))


def nothing(pen: Pen, box: QRectF, ink: Token) -> None:
    """An empty key."""


@dataclass(frozen=True, slots=True)
class Face:
    """What a key shows. Two equal faces look the same, so nothing is repainted for them.

    name: for the reader of the screen. draw, content: what stands on it. fill,
    heel, ink: its colours. quiet: a face of the sheet until it is used.
    """

    name: str
    draw: Draw = nothing
    content: tuple[Any, ...] = ()
    fill: Token = Token.KEY
    heel: Token = Token.KEYHEEL
    ink: Token = Token.INK
    border: Token = Token.LINE
    chosen: bool = False
    can: bool = True

    def allowed(self, *, can: bool) -> Face:
        """The same face, pressable or not."""
        return replace(self, can=can)


def word_face(text: str, *, size: float = 15, weight: Weight = Weight.MEDIUM) -> Face:
    """A key with words in its middle; the words are its name."""
    return Face(text, words, (text, size, weight))


def paint_face(pen: Pen, box: QRectF, face: Face) -> None:
    """A key at rest where there is none: a picture of it."""
    face.draw(pen, _standing(pen, box, face, face.fill), face.ink, *face.content)


def _standing(pen: Pen, box: QRectF, face: Face, fill: Token) -> QRectF:
    """A key that stands: heel, face and frame; returns where the content goes."""
    corner = tokens.KEY_CORNER
    low = box.height() < pen.skin.still(tokens.HEEL_LOW_UNDER, tokens.HEEL_LOW_UNDER)
    heel = pen.skin.px(tokens.HEEL_LOW if low else tokens.HEEL)
    pen.rounded(box, face.heel, corner)
    upper = box.adjusted(0, 0, 0, -heel)
    pen.rounded(upper, fill, corner)
    pen.frame(upper, face.border, 1, corner=corner)
    if face.chosen:
        pen.frame(box, Token.INK, tokens.FRONT_WIDTH, corner=corner)
    return upper


class Key(QAbstractButton):
    """One key. `struck` is emitted once for each press, by finger, mouse or keyboard.

    `at` is where it was pressed last. Keys take the focus from the Tab key only,
    so a press never moves it. Each answers its own touch points: two people can
    press two keys at once. reach_below: px by which the target goes beyond the face.
    """

    struck = Signal()
    focused = Signal()
    """The keyboard reached it."""

    def __init__(self, skin: Skin, parent: QWidget, face: Face | None = None) -> None:
        super().__init__(parent)
        self.skin = skin
        self.face = Face("")
        self.by_keyboard = False
        self.at = QPointF()
        self.reach_below = 0
        self._touched: int | None = None
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        self.setMouseTracking(True)
        self.clicked.connect(self._strike)
        if face is not None:
            self.show_face(face)

    def show_face(self, face: Face) -> None:
        """Show a face; repaints only if it looks different."""
        if face == self.face:
            return
        same = replace(face, name=self.face.name) == self.face
        self.face = face
        if self.accessibleName() != face.name:
            self.setAccessibleName(face.name)
        if self.isEnabled() != face.can:
            if not face.can:
                self._give_back_keyboard()
            self.setEnabled(face.can)
        if not same:
            self.update()

    def _strike(self) -> None:
        self.struck.emit()

    def sizeHint(self) -> QSize:
        return QSize(self.skin.mm(20), self.skin.mm(tokens.ROUTINE_TARGET_MM))

    def place(self, x: int, y: int, width: int, height: int) -> None:
        """Put the key somewhere and show it."""
        self.setGeometry(x, y, width, height)
        self.show()

    def drawn(self) -> QRectF:
        """The part of the widget that is drawn as a key; the rest only widens the target."""
        return QRectF(self.rect()).adjusted(0, 0, 0, -self.reach_below)

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        box = self.drawn()
        inner = self._body(pen, box)
        idle = Token.ONBAND2 if self.face.fill is Token.BAND else Token.INK2
        ink = self.face.ink if self.face.can else idle
        self.face.draw(pen, inner, ink, *self.face.content)
        painter.end()

    def _body(self, pen: Pen, box: QRectF) -> QRectF:
        """Face, heel and frame; returns where the content goes."""
        face, corner = self.face, tokens.KEY_CORNER
        low = box.height() < self.skin.still(tokens.HEEL_LOW_UNDER, tokens.HEEL_LOW_UNDER)
        heel = self.skin.px(tokens.HEEL_LOW if low else tokens.HEEL)
        if not face.can:
            on_band = face.fill is Token.BAND
            if not self.skin.is_dark and not on_band:
                pen.rounded(box, Token.GROUND, corner)
            pen.frame(box, Token.ONBAND2 if on_band else Token.RULE, 1, corner=corner)
            return box.adjusted(0, 0, 0, -heel)
        if self.isDown():
            down = box.adjusted(0, tokens.PRESS_SHIFT, 0, 0)
            pen.rounded(down, self._fill(), corner)
            pen.frame(down, Token.INK, tokens.PRESS_BORDER, corner=corner)
            return down.adjusted(0, 0, 0, -(heel - tokens.PRESS_SHIFT))
        return _standing(pen, box, face, self._fill())

    def _fill(self) -> Token:
        plain = self.face.fill in (Token.KEY, Token.SHEET, Token.WELL)
        return (
            Token.ACTBG if plain and self.underMouse() and self._touched is None else self.face.fill
        )

    # pressing

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QTouchEvent) and self.isEnabled():
            return self._touch(event)
        return super().event(event)

    def _touch(self, event: QTouchEvent) -> bool:
        """One finger presses this key; where it is lifted decides, as with a mouse."""
        kind = event.type()
        if kind == QEvent.Type.TouchBegin:
            self._touched = event.points()[0].id()
            self.setDown(True)
        elif kind == QEvent.Type.TouchCancel:
            self._touched = None
            self.setDown(False)
        elif kind == QEvent.Type.TouchEnd and self._touched is not None:
            point = next((p for p in event.points() if p.id() == self._touched), event.points()[0])
            self._touched = None
            self.at = point.position()
            inside = self.rect().contains(self.at.toPoint())
            self.setDown(False)
            if inside:
                self.click()
        event.accept()
        return True

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.at = event.position()
        super().mousePressEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space and Enter press a key that the Tab key reached; all else goes on to the room."""
        pressing = event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if pressing and self.by_keyboard:
            if not event.isAutoRepeat():
                self.click()
            return
        event.ignore()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        self.by_keyboard = event.reason() in KEYBOARD_REASONS
        super().focusInEvent(event)
        if self.by_keyboard:
            self.focused.emit()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.by_keyboard = False
        super().focusOutEvent(event)

    def let_go(self) -> None:
        """A press that was begun and not ended does nothing: the key means something else now."""
        self._touched = None
        self.setDown(False)

    def hideEvent(self, event: QHideEvent) -> None:
        self.let_go()
        self._give_back_keyboard()
        super().hideEvent(event)

    def _give_back_keyboard(self) -> None:
        """A key that goes gives the keyboard to its page, never to the key that comes next."""
        if self.hasFocus():
            give_back_keyboard(self)

    def enterEvent(self, event: QEnterEvent) -> None:
        self.update()
        super().enterEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        self.update()
        super().leaveEvent(event)


def give_back_keyboard(widget: QWidget) -> None:
    """Give the keyboard to the page around a widget, as the Esc key does."""
    page = widget.parentWidget()
    while page is not None and page.focusPolicy() != Qt.FocusPolicy.StrongFocus:
        page = page.parentWidget()
    if page is not None:
        page.setFocus(Qt.FocusReason.OtherFocusReason)


class Row(Key):
    """A reading that can be pressed: it has no heel, and lights up under the pointer."""

    def _body(self, pen: Pen, box: QRectF) -> QRectF:
        lit = self.isDown() or (self.underMouse() and self._touched is None)
        if self.isEnabled() and lit and self.face.fill is not Token.BAND:
            pen.fill(box, Token.ACTBG)
        elif self.face.fill is not Token.KEY:
            pen.fill(box, self.face.fill)
        if self.isDown():
            pen.frame(box, Token.INK, tokens.PRESS_BORDER)
        return box


class FocusRing(QWidget):
    """The ring round the key that has the keyboard: 4 px outside of it, never clipped.

    Where the key ends at the edge of the window, so does the ring.
    """

    def __init__(self, skin: Skin, window: QWidget) -> None:
        super().__init__(window)
        self.skin = skin
        self._key: Key | None = None
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.hide()

    def follow(self, old: QWidget | None, now: QWidget | None) -> None:
        """Go to the key that has the focus now, or away."""
        mine = isinstance(now, Key) and now.by_keyboard and self.window().isAncestorOf(now)
        self._key = now if isinstance(now, Key) and mine else None
        self.settle()

    def settle(self) -> None:
        """Stand round the key where it is now."""
        window = self.parentWidget()
        if self._key is None or window is None or not self._key.isVisible():
            self.hide()
            return
        reach = tokens.RING_GAP + tokens.RING_WIDTH
        corner = self._key.mapTo(window, self._key.rect().topLeft())
        size = self._key.size()
        around = QRect(corner, size).adjusted(-reach, -reach, reach, reach)
        self.setGeometry(around.intersected(window.rect()))
        self.raise_()
        self.show()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        pen.frame(QRectF(self.rect()), Token.ACT, tokens.RING_WIDTH, corner=tokens.RING_GAP)
        painter.end()
