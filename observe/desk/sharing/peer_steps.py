"""The steps of one phase for a peer: each done, or not yet."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.rating.scales import paint_title, title_height
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.domain.form import Step
from observe.domain.marks import DONE, NOT_DONE, NOT_SEEN, Mark
from observe.look.marks import MarkLook, mark_shapes
from observe.look.tokens import ROUTINE_TARGET_MM, Token, Weight

LABEL = Style(19, Weight.MEDIUM, least=13, down=MIDDLE)
NOTE = "Press what you saw; leave what you could not see."
WORDS = ((DONE, MarkLook.DONE, "Done"), (NOT_DONE, MarkLook.NOT_DONE, "Not yet"))


class StepsPage(QWidget):
    """One row for each step with two keys. steps: number and step. mark: keeps a mark."""

    def __init__(
        self,
        skin: Skin,
        title: str,
        steps: Sequence[tuple[int, Step]],
        mark: Callable[[str, Mark], None],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self.skin, self.title, self.steps = skin, title, tuple(steps)
        self.keys = {step.id: (Key(skin, self), Key(skin, self)) for _, step in steps}
        for _, step in steps:
            for key, (given, _, _) in zip(self.keys[step.id], WORDS, strict=True):
                key.struck.connect(partial(mark, step.id, given))
        self.setAccessibleName(f"{title}. {NOTE}")

    def show_marks(self, marks: Mapping[str, Mark]) -> None:
        """Show which of the two was pressed for each step."""
        for number, step in self.steps:
            now = marks.get(step.id, NOT_SEEN)
            for key, (given, look, word) in zip(self.keys[step.id], WORDS, strict=True):
                name = f"{word}, step {number}, {step.label}"
                chosen = now == given
                key.show_face(Face(name, paint_answer, (look, word), chosen=chosen))

    def _rows(self) -> list[QRectF]:
        px, gap = self.skin.px, self.skin.px(6)
        least = self.skin.mm(ROUTINE_TARGET_MM)
        top = title_height(self.skin, self.width(), self.title, NOTE)
        spare = (self.height() - top) // max(1, len(self.steps)) - gap
        high = max(min(least, spare), min(max(px(92), self._row_high(self.width())), spare))
        return [
            QRectF(0, top + place * (high + gap), self.width(), high)
            for place in range(len(self.steps))
        ]

    def _row_high(self, width: int) -> int:
        """Px of height that a row needs, enlarged."""
        if self.skin.text == 1:
            return 0
        return max(self._label_high(width), self._key_high()) + self._below(width)

    def _label_high(self, width: int) -> int:
        """Px of height of the labels."""
        end = 0 if self._below(width) else 2 * self._key_width() + self.skin.px(28)
        wide = width - self.skin.px(44) - end
        return max(height_of(self.skin, step.label, wide, LABEL) for _, step in self.steps) + 8

    def _key_high(self) -> int:
        return max(self.skin.mm(ROUTINE_TARGET_MM), self.skin.px(40))

    def _below(self, width: int) -> int:
        """Px of height of the keys below the label, where they have no room beside it."""
        beside = width - 2 * self._key_width() - self.skin.px(72) >= self.skin.px(180)
        return 0 if beside or self.skin.text == 1 else self._key_high() + self.skin.px(4)

    def needed(self, width: int) -> int:
        """Px of height in a width; where text is not enlarged the rows give."""
        if self.skin.text == 1:
            return 0
        top = title_height(self.skin, width, self.title, NOTE)
        return top + len(self.steps) * (self._row_high(width) + self.skin.px(6))

    def _key_width(self) -> int:
        return max(self.skin.px(150), self.skin.mm(24))

    def resizeEvent(self, event: QResizeEvent) -> None:
        wide, gap = self._key_width(), self.skin.px(8)
        below = self._below(self.width())
        for row, (_, step) in zip(self._rows(), self.steps, strict=True):
            y, high = round(row.y()), round(row.height())
            if below:
                y, high = y + high - self._key_high(), self._key_high()
            for place, key in enumerate(reversed(self.keys[step.id])):
                x = self.width() - (place + 1) * wide - place * gap
                key.setGeometry(x, y, wide, high)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        paint_title(pen, self, self.title, NOTE)
        below = self._below(self.width())
        end = 0 if below else 2 * self._key_width() + px(28)
        for row, (number, step) in zip(self._rows(), self.steps, strict=True):
            pen.fill(QRectF(0, row.bottom() + px(2), self.width(), 1), Token.RULE)
            upper = row.adjusted(0, 0, 0, -below)
            pen.text(upper, str(number), Style(19, Weight.BLACK, Token.INK2, 14, down=MIDDLE))
            pen.text(upper.adjusted(px(44), 0, -end, 0), step.label, LABEL)
        painter.end()


def paint_answer(pen: Pen, box: QRectF, ink: Token, look: MarkLook, word: str) -> None:
    """A mark and its word."""
    px = pen.skin.px
    side = px(20)
    style = Style(18, Weight.BOLD, ink, 13, down=MIDDLE)
    place = box.adjusted(px(16) + side + px(10), 0, -px(6), 0)
    pen.shapes(mark_shapes(look, side), box.x() + px(16), round(box.center().y() - side / 2))
    pen.text(place, word, style)
