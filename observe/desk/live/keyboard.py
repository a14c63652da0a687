"""The keyboard of Live: which key does what, and the table that says so."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from types import MappingProxyType

from PySide6.QtCore import QPoint, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Key, word_face
from observe.desk.paint import MIDDLE, Pen, Style, fit
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.look import tokens
from observe.look.tokens import Token, Weight

LARGE_TEXT = 1.5
"""Scale of the text from which the table has one column."""


class Deed(StrEnum):
    """What a key of the keyboard does for the learner in front."""

    SEAT = "seat"
    DONE = "done"
    PROMPT = "prompt"
    INCORRECT = "incorrect"
    NOT_DONE = "not done"
    ASIDE = "aside"
    WHY = "why"
    VOICED = "voiced"
    UNSEEN = "unseen"
    ORDER = "order"
    TAKE_BACK = "take back"
    PUT_BACK = "put back"
    CRITICAL = "critical"
    RECOVERED = "recovered"
    STOP = "stop"
    PAUSE = "pause"
    PAUSE_ALL = "pause all"
    BEFORE = "before"
    AFTER = "after"
    GO_TO = "go to"
    RATE = "rate"
    SEATS = "seats"
    GRID = "grid"
    TOGETHER = "together"
    SHIELD = "shield"
    ROOM = "room"
    LOOK = "look"
    MORE = "more"
    MOVE = "move"
    TABLE = "table"
    CLOSE = "close"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A deed, and the number that goes with it: a seat from 0, or a prompt level."""

    deed: Deed
    number: int = 0


K, M = Qt.Key, Qt.KeyboardModifier

SEAT_KEYS: Sequence[Qt.Key] = (
    *(K.Key_1, K.Key_2, K.Key_3, K.Key_4, K.Key_5, K.Key_6),
    *(K.Key_7, K.Key_8, K.Key_9, K.Key_0, K.Key_Minus, K.Key_Equal),
)
_PROMPT_KEYS = (K.Key_F1, K.Key_F2, K.Key_F3, K.Key_F4)

_PLAIN: Mapping[Qt.Key, Deed] = MappingProxyType(
    {
        K.Key_Space: Deed.DONE,
        K.Key_I: Deed.INCORRECT,
        K.Key_N: Deed.NOT_DONE,
        K.Key_X: Deed.ASIDE,
        K.Key_Y: Deed.WHY,
        K.Key_V: Deed.VOICED,
        K.Key_U: Deed.UNSEEN,
        K.Key_O: Deed.ORDER,
        K.Key_Backspace: Deed.TAKE_BACK,
        K.Key_C: Deed.CRITICAL,
        K.Key_F12: Deed.STOP,
        K.Key_P: Deed.PAUSE,
        K.Key_Up: Deed.BEFORE,
        K.Key_Down: Deed.AFTER,
        K.Key_Slash: Deed.GO_TO,
        K.Key_R: Deed.RATE,
        K.Key_S: Deed.SEATS,
        K.Key_G: Deed.GRID,
        K.Key_T: Deed.TOGETHER,
        K.Key_H: Deed.SHIELD,
        K.Key_Q: Deed.ROOM,
        K.Key_A: Deed.MORE,
        K.Key_L: Deed.LOOK,
        K.Key_M: Deed.MOVE,
        K.Key_Escape: Deed.CLOSE,
    }
)
_PEDALS: Mapping[Qt.Key, Deed] = MappingProxyType(
    {K.Key_PageDown: Deed.DONE, K.Key_PageUp: Deed.TAKE_BACK}
)
"""What pedals that turn pages type. Enter, B and the arrows at the side mean nothing in
the room, so that a pedal or a presenter's stick which types them does no harm."""
_SHIFTED: Mapping[Qt.Key, Deed] = MappingProxyType(
    {
        K.Key_Backspace: Deed.PUT_BACK,
        K.Key_C: Deed.RECOVERED,
        K.Key_P: Deed.PAUSE_ALL,
        K.Key_Slash: Deed.TABLE,
    }
)

TABLE: Sequence[tuple[str, str]] = (
    ("1 … 9, 0, −, =", "seat 1 … 12 to the well"),
    ("Space, or a pedal: Page Down", "Done"),
    ("F1 … F4, Alt+1 … 4", "Prompt 1 … 4"),
    ("I   N   X", "Incorrect, Not done, Not applicable"),
    ("Y, then 1 … 3", "why it does not apply"),
    ("V", "Voiced, where the form lets"),
    ("U", "Not seen, go on"),
    ("O", "Seen out of order, when asked"),
    ("Backspace, or a pedal: Page Up", "take back"),
    ("Shift+Backspace", "put back"),
    ("C", "Critical, time kept"),
    ("C, then 1 … 9", "names it, answers what is asked"),
    ("Shift+C", "last critical: noticed and put right"),
    ("F12", "Stop for safety; again: go on, end"),
    ("P   Shift+P", "pause this clock, all clocks"),
    ("↑   ↓", "step before, after, no mark"),
    ("/, number, Enter", "go to a step"),
    ("R", "rate this learner"),
    ("S   G", "Seats, Grid"),
    ("T", "Together: one mark for several"),
    ("H", "shield: hide every mark, show them"),
    ("A", "more for this learner: words, time, variant"),
    ("M, then a seat", "wrong learner: move the last mark there"),
    ("L", "the seat to look at next, where it is lit"),
    ("Q", "the room: what else can be done"),
    ("Tab, Space", "from key to key, press it"),
    ("Esc", "leave what is asked for later"),
    ("F11", "full screen"),
    ("?", "this table"),
)


def stroke_of(event: QKeyEvent) -> Stroke | None:
    """What a key press means; None for keys that mean nothing here."""
    key = Qt.Key(event.key())
    modifiers = event.modifiers() & ~M.KeypadModifier
    if key in _PEDALS:  # without its lock the number pad types them for 9 and 3
        return Stroke(_PEDALS[key]) if event.modifiers() == M.NoModifier else None
    if event.text() == "?":
        return Stroke(Deed.TABLE)
    if modifiers == M.AltModifier and key in SEAT_KEYS[:4]:
        return Stroke(Deed.PROMPT, SEAT_KEYS.index(key) + 1)
    if modifiers == M.ShiftModifier and key in _SHIFTED:
        return Stroke(_SHIFTED[key])
    return _plain(key) if modifiers == M.NoModifier else None


def _plain(key: Qt.Key) -> Stroke | None:
    if key in SEAT_KEYS:
        return Stroke(Deed.SEAT, SEAT_KEYS.index(key))
    if key in _PROMPT_KEYS:
        return Stroke(Deed.PROMPT, _PROMPT_KEYS.index(key) + 1)
    return Stroke(_PLAIN[key]) if key in _PLAIN else None


class KeysTable(QWidget):
    """The table of keys over the room; any press or Esc closes it. The clocks run on.

    Where it is higher than its place it is scrolled: by its bar, or by the arrow keys.
    A critical event of the learner in front can be kept from it at once.
    """

    closed = Signal()
    critical = Signal()

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.critical_key = Key(skin, self)
        self.critical_key.struck.connect(self.critical)
        self.close_key = Key(skin, self, word_face("Close"))
        self.close_key.struck.connect(self.closed)
        rows = KeyRows(skin)
        self.area = Tall(skin, self, rows, rows.needed)
        self.setAccessibleName("Keys: " + "; ".join(f"{key}: {deed}" for key, deed in TABLE))
        self.hide()

    def show_over(self, place: QRect, number: int, name: str) -> None:
        """Open in the middle of a place. number, name: the seat and the learner in front."""
        px = self.skin.px
        wide = min(place.width() - px(20), px(860))
        least = max(self.skin.grows(118, 118, 0.4), self.skin.mm(tokens.CRITICAL_TARGET_MM))
        top = self.skin.mm(tokens.CRITICAL_TARGET_MM) + px(20)
        inner = wide - 2 * px(12)
        high = min(place.height() - px(20), top + self.area.needed(inner) + px(14))
        corner = place.center() - QPoint(wide // 2, high // 2)
        self.setGeometry(corner.x(), corner.y(), wide, high)
        self.close_key.setGeometry(wide - least - px(12), px(10), least, top - px(20))
        apart = max(self.skin.mm(tokens.CRITICAL_GAP_MM), px(12))
        across = min(2 * least, self.close_key.x() - apart - px(12))
        left = self.close_key.x() - apart - across
        self.critical_key.setGeometry(left, px(10), across, top - px(20))
        words = word_face(f"Critical, seat {number}", weight=Weight.BOLD)
        said = f"Critical, keep the time. Seat {number}, {name}"
        self.critical_key.show_face(replace(words, name=said, heel=Token.CRIT))
        self.area.setGeometry(px(12), top, inner, high - top - px(10))
        self.area.lay_out()
        self.show()
        self.raise_()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.closed.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.WELL)
        pen.frame(box, Token.BAND, tokens.FRONT_WIDTH)
        title = QRectF(px(24), 0, self.critical_key.x() - px(30), self.area.y())
        style = Style(24, Weight.BOLD, down=MIDDLE)
        if fit(self.skin, "Keys", title.width(), title.height(), style).fits:
            pen.text(title, "Keys", style)
        painter.end()


class KeyRows(QWidget):
    """The rows of the table: in two columns, or in one where its words are too large for that."""

    KEY = Style(15, Weight.BOLD, least=12, down=MIDDLE)
    DEED = Style(15, ink=Token.INK2, least=12, down=MIDDLE)

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin

    def _columns(self, width: int) -> int:
        return 2 if width >= self.skin.px(760) and self.skin.text < LARGE_TEXT else 1

    def _heights(self, width: int) -> list[int]:
        """Px of each row in a table so wide."""
        px, columns = self.skin.px, self._columns(width)
        half = (width - px(24) * (columns + 1)) / columns
        found = []
        for key, deed in TABLE:
            named = height_of(self.skin, key, half * 0.42, self.KEY)
            said = height_of(self.skin, deed, half * 0.57, self.DEED)
            found.append(max(px(32), named + 8, said + 8))
        return found

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        heights, columns = self._heights(width), self._columns(width)
        rows = -(-len(TABLE) // columns)
        return max(sum(heights[:rows]), sum(heights[rows:]))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        heights, columns = self._heights(self.width()), self._columns(self.width())
        half = (self.width() - px(24) * (columns + 1)) / columns
        rows = -(-len(TABLE) // columns)
        for place, (key, deed) in enumerate(TABLE):
            x = px(24) + (place // rows) * (half + px(24))
            y, high = sum(heights[place // rows * rows : place]), heights[place]
            pen.fill(QRectF(x, y, half, 1), Token.RULE)
            pen.text(QRectF(x, y, half * 0.42, high), key, self.KEY)
            pen.text(QRectF(x + half * 0.43, y, half * 0.57, high), deed, self.DEED)
        painter.end()
