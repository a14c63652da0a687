"""The foot of the Grid: a critical event is one press away, whatever else is open.

Each learner has a key under their column where columns are wide enough; else there is
one key for the learner in front, and a sentence that says how to get to another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from math import ceil

from PySide6.QtCore import QRect, QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Draw, Face, Key, word_face
from observe.desk.live.grid.geometry import key_widths
from observe.desk.live.grid.model import GridModel
from observe.desk.live.seat import critical_key_face
from observe.desk.paint import BOTTOM, MIDDLE, Pen, Style, fit
from observe.desk.theme import MM_IN_INCH, Skin
from observe.look.tokens import CRITICAL_GAP_MM, CRITICAL_TARGET_MM, Token, Weight

COUNTED_MM = CRITICAL_TARGET_MM - 0.5
"""Widths count in whole millimetres: a column of 116 px on a tablet, 19.8 mm, counts as 20."""
HIGH = (117, 92)
"""px of the densities that the face of a critical key needs in height."""
WIDE, WIDE_SHARE = (100, 70), 0.6
"""The same in width; it matters in large text only."""
HIGH_SHARE = 0.5
"""How much of the growth of the text the height of a key takes part in."""
FRONT, FRONT_SHARE = (270, 230), 0.8
"""Least px of width of the one key for the learner in front; how it grows with the text."""
LAST_EVENT = 128
"""px of the one wide key that say what was recorded last; beside it is whose it is."""

COLUMNS_WORDS = (
    "Critical",
    "Press it under the learner: the time is kept at once. What it was can be said later.",
)
SHORT_NOTE = "The time is kept at once."
FRONT_WORDS = (
    "Another learner: press the name at the top first, then Critical",
    "The time is kept at once; what it was can be said later.",
)


class CriticalFoot(QWidget):
    """Critical keys below the rows. It only says whose was pressed.

    is_wide: one key for the learner in front, because columns are too narrow.
    """

    struck = Signal(int)

    def __init__(self, skin: Skin, grid: GridModel, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.grid = skin, grid
        self.is_wide = False
        self.keys: list[Key] = []
        self.front_key = Key(skin, self)
        self.front_key.struck.connect(lambda: self.struck.emit(self.grid.model.front))
        self._words = QRectF()

    # geometry

    @property
    def gap(self) -> int:
        """The px between the last row and the keys."""
        return self.skin.mm(CRITICAL_GAP_MM)

    def height_of_keys(self) -> int:
        """The height of the keys: 20 mm, or what the face needs in large text."""
        return max(self.skin.mm(CRITICAL_TARGET_MM), self.skin.grows(*HIGH, HIGH_SHARE))

    def lay_out(self, label: int, columns: Sequence[tuple[int, int]]) -> None:
        """Place the keys. label: px of the labels; columns: x and width of each learner."""
        counted = ceil(COUNTED_MM * self.skin.dots_per_inch / MM_IN_INCH)
        least = max(counted, self.skin.grows(*WIDE, WIDE_SHARE))
        full = self.skin.mm(CRITICAL_TARGET_MM)
        widths = key_widths([wide for _, wide in columns], least, full, self.gap)
        self.is_wide = not widths
        while len(self.keys) < len(widths):
            self.keys.append(self._new_key(len(self.keys)))
        high = self.height()
        for key, (x, column), wide in zip(self.keys, columns, widths, strict=False):
            key.setGeometry(x + (column - wide) // 2, 0, wide, high)
        front = max(label, self.skin.grows(*FRONT, FRONT_SHARE))
        self.front_key.setGeometry(0, 0, front, high)
        left = front + self.gap if self.is_wide else 0
        right = self.width() if self.is_wide else label - self.gap
        self._words = QRectF(left, 0, max(0, right - left), high)
        self.refresh()
        self.update()

    def _new_key(self, column: int) -> Key:
        key = Key(self.skin, self)
        key.struck.connect(partial(self._strike, column))
        return key

    def _strike(self, column: int) -> None:
        self.struck.emit(self.grid.seats[column])

    def boxes(self) -> list[QRect]:
        """Where keys are, in this widget."""
        keys = [self.front_key, *self.keys]
        return [key.geometry() for key in keys if not key.isHidden()]

    # showing

    def refresh(self) -> None:
        """Show what was recorded last of every learner; covered under the shield (rule P2)."""
        seats = () if self.is_wide else self.grid.seats
        for column, key in enumerate(self.keys):
            there = column < len(seats) and not self._is_over(seats[column])
            key.setVisible(there)
            if there:
                key.show_face(self._face(seats[column]))
        self.front_key.setVisible(self.is_wide and bool(self.grid.seats))
        if self.is_wide:
            self.front_key.show_face(self._front_face())

    def _is_over(self, seat: int) -> bool:
        state = self.grid.model.state(seat)
        return bool(state.sealed or state.void)

    def _face(self, seat: int) -> Face:
        model = self.grid.model
        return critical_key_face(model, seat, can=model.can_mark(seat), quiet=True)

    def _front_face(self) -> Face:
        model = self.grid.model
        seat = model.front
        who = f"{model.number(seat)} {model.name(seat)}"
        if self._is_over(seat):
            said = "sealed" if model.state(seat).sealed else "void"
            return word_face(f"{who}: {said}").allowed(can=False)
        face = self._face(seat)
        return replace(face, draw=_paint_wide, content=(face.draw, face.content, who))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        pen.fill(QRectF(self.rect()), Token.GROUND)
        title, note = FRONT_WORDS if self.is_wide else COLUMNS_WORDS
        place = self._words.adjusted(px(14), 0, 0, 0)
        above = QRectF(place.x(), place.y(), place.width(), place.height() * 0.46)
        below = QRectF(place.x(), above.bottom(), place.width(), place.height() - above.height())
        pen.text(above, title, Style(20, Weight.BOLD, least=14, down=BOTTOM))
        pen.text(below, note, Style(15, ink=Token.INK2, least=12), shorter=(SHORT_NOTE,))
        painter.end()


def _paint_wide(
    pen: Pen, box: QRectF, ink: Token, draw: Draw, content: tuple[object, ...], who: str
) -> None:
    """The usual face at the left; beside it whose it is, and what a press does."""
    px = pen.skin.px
    left = QRectF(box.x(), box.y(), min(px(LAST_EVENT), box.width() * 0.46), box.height())
    draw(pen, left, ink, *content)
    place = QRectF(left.right() + px(4), box.y(), 0, box.height())
    place.setRight(box.right() - px(8))
    name = Style(18, Weight.BOLD, ink, 12, down=MIDDLE)
    note = Style(15, Weight.MEDIUM, ink, 12)
    line = px(20)
    said = fit(pen.skin, who, place.width(), place.height() - line - px(6), name)
    top = place.y() + (place.height() - said.height - line) / 2
    pen.text(QRectF(place.x(), top, place.width(), said.height), who, name)
    below = QRectF(place.x(), top + said.height, place.width(), line)
    pen.text(below, "keep the time", note)
