"""The steps of one phase for a peer: each done, or not yet."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.rating.scales import TITLE_HEIGHT, paint_title
from observe.desk.theme import Skin
from observe.domain.form import Step
from observe.domain.marks import DONE, NOT_DONE, NOT_SEEN, Mark
from observe.look.marks import MarkLook, mark_shapes
from observe.look.tokens import ROUTINE_TARGET_MM, Token, Weight

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
        spare = (self.height() - px(TITLE_HEIGHT)) // max(1, len(self.steps)) - gap
        high = max(min(least, spare), min(px(92), spare))
        top = px(TITLE_HEIGHT)
        return [
            QRectF(0, top + place * (high + gap), self.width(), high)
            for place in range(len(self.steps))
        ]

    def _key_width(self) -> int:
        return max(self.skin.px(150), self.skin.mm(24))

    def resizeEvent(self, event: QResizeEvent) -> None:
        wide, gap = self._key_width(), self.skin.px(8)
        for row, (_, step) in zip(self._rows(), self.steps, strict=True):
            for place, key in enumerate(reversed(self.keys[step.id])):
                x = self.width() - (place + 1) * wide - place * gap
                key.setGeometry(x, round(row.y()), wide, round(row.height()))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        paint_title(pen, self, self.title, NOTE)
        end = 2 * self._key_width() + px(28)
        for row, (number, step) in zip(self._rows(), self.steps, strict=True):
            pen.fill(QRectF(0, row.bottom() + px(2), self.width(), 1), Token.RULE)
            pen.text(row, str(number), Style(19, Weight.BLACK, Token.INK2, 14, down=MIDDLE))
            label = row.adjusted(px(44), 0, -end, 0)
            pen.text(label, step.label, Style(19, Weight.MEDIUM, least=13, down=MIDDLE))
        painter.end()


def paint_answer(pen: Pen, box: QRectF, ink: Token, look: MarkLook, word: str) -> None:
    """A mark and its word."""
    px = pen.skin.px
    side = px(20)
    style = Style(18, Weight.BOLD, ink, 13, down=MIDDLE)
    place = box.adjusted(px(16) + side + px(10), 0, -px(6), 0)
    pen.shapes(mark_shapes(look, side), box.x() + px(16), round(box.center().y() - side / 2))
    pen.text(place, word, style)
