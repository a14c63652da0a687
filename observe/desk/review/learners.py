"""The learners of a form: each with attempts in order, one chosen by touch or arrow keys."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.paint import MIDDLE, RIGHT, Pen, Style
from observe.desk.review.charts import paint_square
from observe.desk.review.panel import FOOT, HEAD_PX, Panel
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.look.tokens import ROUTINE_TARGET_MM, Token, Weight

NAME = Style(15, least=11.5, down=MIDDLE)
STATE = Style(14, ink=Token.INK2, least=11, across=RIGHT, down=MIDDLE)
ROW_PX, SQUARE_PX, GAP_PX = 40, 12, 5
LEGEND = "Filled: pass. Open: remediate. Dot: no step of a chart."


@dataclass(frozen=True, slots=True)
class Row:
    """A learner. marks: of each attempt in order; None for one that does not count."""

    name: str
    marks: tuple[bool | None, ...]
    state: str

    @property
    def short(self) -> tuple[str, ...]:
        """The name for where it has no room: its first and its last word."""
        first, *rest = self.name.split()
        return (f"{first} {rest[-1]}",) if len(rest) > 1 else ()

    @property
    def spoken(self) -> str:
        """The row in words."""
        words = {True: "pass", False: "remediate", None: "not counted"}
        return f"{self.name}: {', '.join(words[one] for one in self.marks)}. {self.state}"


class LearnerRows(QWidget):
    """The rows, as high as they need."""

    chosen_changed = Signal(int)

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.rows: tuple[Row, ...] = ()
        self.chosen = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def show_rows(self, rows: Sequence[Row], chosen: int) -> None:
        """Show learners, one of them chosen."""
        self.rows, self.chosen = tuple(rows), chosen
        self.update()
        self._name()

    @property
    def name(self) -> str:
        """Of the learner who is chosen; empty where there is none."""
        return self.rows[self.chosen].name if self.rows else ""

    def _name(self) -> None:
        if self.rows:
            row = self.rows[self.chosen]
            place = f"{self.chosen + 1} of {len(self.rows)}"
            self.setAccessibleName(f"Learner {place}. {row.spoken}")

    def row_height(self) -> int:
        """Px of height of each row: a target for a finger."""
        px = self.skin.px
        least = max(px(ROW_PX), self.skin.mm(ROUTINE_TARGET_MM) * 2 // 3)
        return max(least, self.skin.text_px(NAME.size) * 2 + px(6))

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        del width
        return max(1, len(self.rows) * self.row_height())

    def choose(self, place: int) -> None:
        """Choose a learner by place; nothing beyond the ends."""
        if 0 <= place < len(self.rows) and place != self.chosen:
            self.chosen = place
            self.update()
            self._name()
            self.chosen_changed.emit(place)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.choose(int(event.position().y()) // self.row_height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
        ends = {Qt.Key.Key_Home: 0, Qt.Key.Key_End: len(self.rows) - 1}
        key = Qt.Key(event.key())
        if key in steps:
            self.choose(self.chosen + steps[key])
        elif key in ends:
            self.choose(ends[key])
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, high = Pen(painter, self.skin), self.row_height()
        for place, row in enumerate(self.rows):
            self._paint_row(pen, QRectF(0, place * high, self.width(), high), row, place)
        painter.end()

    def _paint_row(self, pen: Pen, box: QRectF, row: Row, place: int) -> None:
        px = self.skin.px
        chosen = place == self.chosen
        if chosen:
            pen.fill(box, Token.WELL)
            pen.frame(box, Token.INK, 3 if self.hasFocus() else 1.4)
        else:
            pen.fill(QRectF(box.x(), box.bottom() - 1, box.width(), 1), Token.RULE)
        names = box.width() * 0.4
        weight = Weight.BOLD if chosen else Weight.REGULAR
        style = Style(NAME.size, weight, Token.INK, NAME.least, down=MIDDLE)
        pen.text(
            QRectF(box.x() + px(8), box.y(), names - px(12), box.height()),
            row.name,
            style,
            shorter=row.short,
        )
        side, x = px(SQUARE_PX), box.x() + names
        state = box.width() * 0.34
        room = max(1, int((box.right() - state - x) // (side + px(GAP_PX))))
        for mark in row.marks[-room:]:
            square = QRectF(round(x), round(box.center().y() - side / 2), side, side)
            paint_square(pen, square, mark)
            x += side + px(GAP_PX)
        place_of = QRectF(box.right() - state, box.y(), state - px(8), box.height())
        pen.text(place_of, row.state, STATE)


class LearnersPanel(Panel):
    """The rows under their title, with what the squares mean below."""

    title = "Learners"

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(skin, parent)
        self.foot = LEGEND
        self.list = LearnerRows(skin)
        self.area = Tall(skin, self, self.list, self.list.needed)
        self.list.chosen_changed.connect(self._bring_into_sight)

    def show_rows(
        self, rows: Sequence[Row], chosen: int, lasts: str, empty: tuple[str, str]
    ) -> None:
        """Show learners. lasts: how long it lasts, a sentence on all of them.

        empty: what is missing and what would help, where there is no learner.
        """
        self.foot = f"{LEGEND} {lasts}".strip()
        self.list.show_rows(rows, chosen)
        self.tell(empty)
        self.area.setVisible(bool(rows))
        self.lay_out()

    @property
    def is_filled(self) -> bool:
        """Whether there is a learner."""
        return bool(self.list.rows)

    def read_out(self) -> str:
        """Every row in words."""
        return " ".join((*(row.spoken for row in self.list.rows), self.foot))

    def needed(self, width: int) -> int:
        """Px of height in a width, where panels stand below each other."""
        px, inner = self.skin.px, width - self.skin.px(28)
        foot = height_of(self.skin, self.foot, inner, FOOT)
        return px(HEAD_PX) + self.list.needed(inner) + foot + px(24)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def lay_out(self) -> None:
        """Place the rows between the title and the sentence below."""
        px = self.skin.px
        foot = height_of(self.skin, self.foot, self.width() - px(28), FOOT)
        high = self.height() - px(HEAD_PX) - foot - px(16)
        self.area.setGeometry(px(14), px(HEAD_PX), max(1, self.width() - px(20)), max(1, high))
        self.area.lay_out()

    def _bring_into_sight(self, place: int) -> None:
        high = self.list.row_height()
        self.area.ensureVisible(0, place * high + high // 2, 0, high // 2)

    def paint_content(self, pen: Pen, inside: QRectF) -> None:
        """The foot; the rows paint themselves."""
        self.paint_foot(pen, inside, self.foot)
