"""A page for a learner's own words; what is typed is kept after a pause and on leaving."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import QRectF, QTimer
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from observe.desk.paint import MIDDLE, RIGHT, Pen, Style
from observe.desk.rating.scales import TITLE_HEIGHT, paint_title
from observe.desk.theme import Skin
from observe.domain.observation import Slot
from observe.look.tokens import Token, Weight

PAUSE_MS = 800
LONGEST = 400


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
        px = self.skin.px
        top, count = px(TITLE_HEIGHT), len(self.slots)
        each = min(px(230), (self.height() - top) // count)
        return [QRectF(0, top + place * each, self.width(), px(34)) for place in range(count)]

    def resizeEvent(self, event: QResizeEvent) -> None:
        px = self.skin.px
        each = min(px(230), (self.height() - px(TITLE_HEIGHT)) // len(self.slots))
        for head, field in zip(self._heads(), self.fields.values(), strict=True):
            y = round(head.bottom()) + px(4)
            field.setGeometry(0, y, self.width(), max(px(60), each - px(54)))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        paint_title(pen, self, self.title, "A few words are enough.")
        for head, (slot, label) in zip(self._heads(), self.slots, strict=True):
            pen.text(head, label, Style(19, Weight.BOLD, least=14, down=MIDDLE))
            if len(self.fields[slot].toPlainText()) >= LONGEST:
                note = Style(15, ink=Token.INK2, least=12, across=RIGHT, down=MIDDLE)
                pen.text(head, f"{LONGEST} letters at most.", note)
        painter.end()
