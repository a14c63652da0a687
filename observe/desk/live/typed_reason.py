"""A reason in one's own words, in the well: what was typed is a draft until it is given."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QHideEvent, QPainter, QPaintEvent, QResizeEvent, QTextCursor
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from observe.desk.keys import Key, word_face
from observe.desk.live.layout import Box, split_row
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.theme import Skin
from observe.look import tokens
from observe.look.tokens import Token, Weight

LONGEST = 200
"""Letters of a reason; more has no room on a sheet."""
MOST_PICKS = 4


@dataclass(frozen=True, slots=True)
class Typing:
    """One reason that is asked for in words.

    question: what stands above the field. slot: under which name the draft is kept.
    words: what stands on the key that gives the reason; give: called with it. picks:
    further reasons that can be given with one press.
    """

    question: str
    slot: str
    words: str
    give: Callable[[str], None]
    picks: tuple[str, ...] = ()


class TypedReason(QWidget):
    """A question, a field, a key that gives the reason and one that keeps it for later.

    The keys stand right below the field, so that a keyboard on the screen covers neither.
    draft: called at every letter with what is typed so far.
    """

    def __init__(self, skin: Skin, parent: QWidget, *, ground: Token = Token.WELL) -> None:
        super().__init__(parent)
        self.skin, self.ground = skin, ground
        self.asked: Typing | None = None
        self.field = QPlainTextEdit(self)
        self.field.setPlaceholderText("Write it here")
        self.field.setTabChangesFocus(True)
        self.field.textChanged.connect(self._typed)
        self.give_key, self.back_key = Key(skin, self), Key(skin, self)
        self.give_key.struck.connect(self.give)
        self.back_key.struck.connect(self._go_back)
        self.pick_keys = [Key(skin, self) for _ in range(MOST_PICKS)]
        for place, key in enumerate(self.pick_keys):
            key.struck.connect(partial(self._pick, place))
        self._draft: Callable[[str], None] = lambda _text: None
        self._back: Callable[[], None] = lambda: None
        self.hide()

    def ask(
        self,
        asked: Typing,
        text: str,
        *,
        draft: Callable[[str], None],
        back: Callable[[], None],
    ) -> None:
        """Ask for a reason. text: the draft so far. Nothing changes where it is asked already."""
        if self.asked is not None and self.asked.slot == asked.slot and not self.isHidden():
            return
        self.asked = None
        self.field.setFont(self.skin.font(17))
        self.field.setPlainText(text)
        self.field.moveCursor(QTextCursor.MoveOperation.End)
        self.asked, self._draft, self._back = asked, draft, back
        self.field.setAccessibleName(asked.question)
        self.setAccessibleName(asked.question)
        self.back_key.show_face(word_face("Back: keep it for later"))
        for place, key in enumerate(self.pick_keys):
            there = place < len(asked.picks)
            key.setVisible(there)
            if there:
                key.show_face(word_face(asked.picks[place]))
        self._show_give()
        self._lay_out()
        self.show()
        self.raise_()
        self.field.setFocus(Qt.FocusReason.OtherFocusReason)
        self.update()

    @property
    def text(self) -> str:
        return self.field.toPlainText().strip()

    def give(self) -> None:
        """Give what was typed, if anything was."""
        if self.asked is not None and self.text:
            self.asked.give(self.text)

    def _pick(self, place: int) -> None:
        if self.asked is not None and place < len(self.asked.picks):
            self.asked.give(self.asked.picks[place])

    def _go_back(self) -> None:
        self._back()

    def _typed(self) -> None:
        typed = self.field.toPlainText()
        if len(typed) > LONGEST:
            cursor = self.field.textCursor()
            at = min(cursor.position(), LONGEST)
            self.field.setPlainText(typed[:LONGEST])
            cursor = self.field.textCursor()
            cursor.setPosition(at)
            self.field.setTextCursor(cursor)
            return
        if self.asked is not None:
            self._draft(typed)
            self._show_give()

    def _show_give(self) -> None:
        words = self.asked.words if self.asked else ""
        face = word_face(words, weight=Weight.BOLD)
        self.give_key.show_face(face.allowed(can=bool(self.text)))

    def hideEvent(self, event: QHideEvent) -> None:
        """The keyboard goes back to the page, never on to a key that the next Space would press."""
        if self.field.hasFocus():
            give_back_focus(self)
        super().hideEvent(event)

    # geometry and painting

    def least_height(self, _width: int) -> int:
        """Px of height in which everything has room, whatever the width."""
        px = self.skin.px
        return px(34) + px(60) + (self._foot() + px(8)) * 2

    def _foot(self) -> int:
        return max(self.skin.mm(tokens.ROUTINE_TARGET_MM), self.skin.grows(70, 45, 0.4))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _lay_out(self) -> None:
        px = self.skin.px
        head, gap = px(34), px(8)
        foot = self._foot()
        picks: Sequence[Key] = self.pick_keys[: len(self.asked.picks)] if self.asked else ()
        below = (foot + gap) * (2 if picks else 1)
        high = max(px(44), min(px(132), self.height() - head - below))
        self.field.setGeometry(0, head, self.width(), high)
        row = Box(0, head + high + gap, self.width(), foot)
        boxes = split_row(row, (1.4, 1), gap)
        for key, box in zip((self.give_key, self.back_key), boxes, strict=True):
            key.setGeometry(box.x, box.y, box.width, box.height)
        row = Box(0, row.bottom + gap, self.width(), foot)
        for key, box in zip(picks, split_row(row, (1,) * max(1, len(picks)), gap), strict=False):
            key.setGeometry(box.x, box.y, box.width, box.height)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        pen.fill(QRectF(self.rect()), self.ground)
        place = QRectF(0, 0, self.width(), self.skin.px(30))
        question = self.asked.question if self.asked else ""
        pen.text(place, question, Style(16, Weight.MEDIUM, Token.INK2, 12, down=MIDDLE))
        painter.end()


def give_back_focus(widget: QWidget) -> None:
    """Hand the keyboard to the nearest page around a widget; to nobody if there is none."""
    around = widget.parentWidget()
    while around is not None and around.focusPolicy() != Qt.FocusPolicy.StrongFocus:
        around = around.parentWidget()
    if around is not None:
        around.setFocus(Qt.FocusReason.OtherFocusReason)
