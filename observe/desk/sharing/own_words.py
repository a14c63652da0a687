"""A page for a learner's own words; what is typed is kept after a pause and on leaving."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import QRectF, QTimer
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from observe.desk.paint import MIDDLE, RIGHT, Pen, Style
from observe.desk.rating.scales import paint_title, title_height
from observe.desk.theme import Skin
from observe.domain.observation import Slot
from observe.look.tokens import Token, Weight

PAUSE_MS = 800
LONGEST = 400
NOTE = "A few words are enough."


class WordsPage(QWidget):
    """One field for each slot. write: keeps one text, and says whether it is on the disk."""

    def __init__(
        self,
        skin: Skin,
        title: str,
        slots: Sequence[tuple[Slot, str]],
        texts: Mapping[Slot, str],
        write: Callable[[Slot, str], bool],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self.skin, self.title, self.slots, self._write = skin, title, tuple(slots), write
        self._kept = dict(texts)
        self.fields = {slot: self._field(slot, label) for slot, label in slots}
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.timeout.connect(self.keep)
        for field in self.fields.values():
            field.textChanged.connect(self._typed)
        self.setAccessibleName(title)

    def _field(self, slot: Slot, label: str) -> QPlainTextEdit:
        field = QPlainTextEdit(self)
        field.setAccessibleName(label)
        field.setPlaceholderText("Write it here")
        field.setTabChangesFocus(True)
        field.setFont(self.skin.font(19))
        field.setPlainText(self._kept.get(slot, ""))
        return field

    def _typed(self) -> None:
        for field in self.fields.values():
            excess = len(field.toPlainText()) - LONGEST
            cursor = field.textCursor()
            for _ in range(excess):
                cursor.deletePreviousChar()
        self._pause.start(PAUSE_MS)
        self.update()

    def keep(self) -> None:
        """Keep every text that changed; an empty one clears what stands there."""
        self._pause.stop()
        for slot, field in self.fields.items():
            text = field.toPlainText().strip()
            if text != self._kept.get(slot, "") and self._write(slot, text):
                self._kept[slot] = text

    def _heads(self) -> list[QRectF]:
        """Where the labels stand; each field is below its own."""
        top, each = self._top(self.width()), self._each()
        head = self.skin.px(34)
        return [
            QRectF(0, top + place * each, self.width(), head) for place in range(len(self.slots))
        ]

    def _top(self, width: int) -> int:
        return title_height(self.skin, width, self.title, NOTE)

    def _each(self) -> int:
        """Px of height of a label with its field."""
        spare = (self.height() - self._top(self.width())) // len(self.slots)
        return min(self.skin.px(230), spare)

    def needed(self, width: int) -> int:
        """Px of height in a width; where text is not enlarged the fields give."""
        if self.skin.text == 1:
            return 0
        return self._top(width) + len(self.slots) * self.skin.px(150)

    def resizeEvent(self, event: QResizeEvent) -> None:
        px, each = self.skin.px, self._each()
        for head, field in zip(self._heads(), self.fields.values(), strict=True):
            y = round(head.bottom()) + px(4)
            field.setFont(self.skin.font(19))
            field.setGeometry(0, y, self.width(), max(px(60), each - px(54)))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        paint_title(pen, self, self.title, NOTE)
        for head, (slot, label) in zip(self._heads(), self.slots, strict=True):
            named = pen.text(head, label, Style(19, Weight.BOLD, least=14, down=MIDDLE))
            if len(self.fields[slot].toPlainText()) >= LONGEST:
                note = Style(15, ink=Token.INK2, least=12, across=RIGHT, down=MIDDLE)
                rest = head.adjusted(named.width + self.skin.px(12), 0, 0, 0)
                pen.text(rest, f"{LONGEST} letters at most.", note)
        painter.end()
