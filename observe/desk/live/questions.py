"""What the room or a learner is asked about by hand: choices and texts, over the well, never modal.

Seats keep their keys while it is open. Whichever way it is left, a text that was typed
is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QHideEvent, QPainter, QPaintEvent, QResizeEvent, QTextCursor
from PySide6.QtWidgets import QApplication, QPlainTextEdit, QWidget

from observe.desk.keys import Face, Key, give_back_keyboard, word_face
from observe.desk.live.layout import Box, split_grid, split_row
from observe.desk.live.panels import AskPanel, Choice
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.look import tokens
from observe.look.tokens import Token, Weight

LONGEST = 400
"""Letters of a text; more has no room on a sheet."""
QUESTION = Style(16, Weight.MEDIUM, Token.INK2, 12, down=MIDDLE)
MOST_PICKS = 6


@dataclass(frozen=True, slots=True)
class Pick:
    """A text that can be taken over with one press. chosen: it stands already."""

    words: str
    deed: Callable[[], None]
    chosen: bool = False


class TextPanel(QWidget):
    """A question, a place to write, texts to pick, and a way to keep or to leave.

    keep is called with what was typed, once, whichever way the panel is left, if it is
    not what stood there before.
    """

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.question = ""
        self.field = QPlainTextEdit(self)
        self.field.setPlaceholderText("Write it here")
        self.field.setTabChangesFocus(True)
        self.field.textChanged.connect(self._take_off_excess)
        self.keep_key, self.leave_key = Key(skin, self), Key(skin, self)
        self.keep_key.struck.connect(self._strike_keep)
        self.leave_key.struck.connect(self._forget)
        self.pick_keys = [Key(skin, self) for _ in range(MOST_PICKS)]
        for place, key in enumerate(self.pick_keys):
            key.struck.connect(partial(self._pick, place))
        self._picks: tuple[Pick, ...] = ()
        self._before, self._always = "", False
        self._keep: Callable[[str], None] | None = None
        self._left: Callable[[], None] = lambda: None
        self.hide()

    def ask(
        self,
        question: str,
        text: str,
        keep: Callable[[str], None],
        *,
        left: Callable[[], None],
        picks: Sequence[Pick] = (),
        keep_words: str = "Keep",
        always: bool = False,
    ) -> None:
        """Show a question with the text that stands there.

        always: the key that keeps it does so though nothing was changed.
        """
        self.question, self._before, self._always = question, text, always
        self._keep, self._left = keep, left
        self._picks = tuple(picks[:MOST_PICKS])
        self.field.setFont(self.skin.font(17))
        self.field.setPlainText(text)
        self.field.setAccessibleName(question)
        self.setAccessibleName(question)
        self.keep_key.show_face(word_face(keep_words, weight=Weight.BOLD))
        self.leave_key.show_face(word_face("Leave it as it was"))
        self._lay_out()
        self.show()
        self.raise_()
        self.field.setFocus(Qt.FocusReason.OtherFocusReason)
        self.update()

    def _strike_keep(self) -> None:
        keep, text = self._keep, self.field.toPlainText().strip()
        if self._always and keep is not None and text == self._before.strip():
            self._keep = None
            self.hide()
            keep(text)
            return
        self.hide()

    def flush(self) -> None:
        """Keep what was typed so far; the panel stays."""
        text = self.field.toPlainText().strip()
        if self._keep is not None and text != self._before.strip():
            self._before = text
            self._keep(text)

    def _forget(self) -> None:
        self._keep = None
        self.hide()

    def hideEvent(self, event: QHideEvent) -> None:
        if self.isAncestorOf(QApplication.focusWidget() or self):
            give_back_keyboard(self)
        self.flush()
        self._keep = None
        left, self._left = self._left, lambda: None
        left()
        super().hideEvent(event)

    def _take_off_excess(self) -> None:
        excess = len(self.field.toPlainText()) - LONGEST
        if excess > 0:
            cursor = self.field.textCursor()
            cursor.movePosition(
                QTextCursor.MoveOperation.Left, QTextCursor.MoveMode.KeepAnchor, excess
            )
            cursor.removeSelectedText()

    def _pick(self, place: int) -> None:
        if place < len(self._picks):
            self._picks[place].deed()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _head(self) -> int:
        """Px of height of the question: one line, or as many as it needs."""
        px = self.skin.px
        return max(px(34), height_of(self.skin, self.question, self.width(), QUESTION) + px(10))

    def _lay_out(self) -> None:
        px = self.skin.px
        head, gap = self._head(), px(8)
        foot = max(self.skin.mm(tokens.ROUTINE_TARGET_MM), self.skin.pick(70, 45))
        body = Box(0, head, self.width(), max(0, self.height() - head - foot - gap))
        columns = 2 if len(self._picks) > 1 else 1
        least = self.skin.mm(tokens.ROUTINE_TARGET_MM)
        room = max(0, body.height - px(46))
        rows = min(-(-len(self._picks) // columns), room // (least + gap))
        most = max(body.height // 2, rows * (least + gap))
        picked = min(rows * (foot + gap), most, room)
        self.field.setGeometry(0, head, self.width(), max(px(40), body.height - picked))
        grid = Box(0, body.bottom - picked + gap, self.width(), max(0, picked - gap))
        boxes = split_grid(grid, columns, rows, gap) if rows else ()
        for place, key in enumerate(self.pick_keys):
            there = place < min(len(self._picks), len(boxes))
            key.setVisible(there)
            if there:
                pick, box = self._picks[place], boxes[place]
                face = Face(pick.words, paint_phrase, (pick.words,), chosen=pick.chosen)
                key.show_face(face)
                key.setGeometry(box.x, box.y, box.width, box.height)
        below = Box(0, body.bottom + gap, self.width(), foot)
        for key, box in zip(
            (self.keep_key, self.leave_key), split_row(below, (1.4, 1), gap), strict=True
        ):
            key.setGeometry(box.x, box.y, box.width, box.height)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        pen.fill(QRectF(self.rect()), Token.WELL)
        place = QRectF(0, 0, self.width(), self._head() - self.skin.px(4))
        pen.text(place, self.question, QUESTION)
        painter.end()


def paint_phrase(pen: Pen, box: QRectF, ink: Token, text: str) -> None:
    """A phrase that can be taken over as it stands."""
    px = pen.skin.px
    inner = box.adjusted(px(10), px(2), -px(8), -px(2))
    pen.text(inner, text, Style(16, Weight.MEDIUM, ink, 12, down=MIDDLE, leading=1.12))


class Questions(QWidget):
    """Holds one question at a time over the well, in a frame of its own.

    about: the seat that is asked about; None where it is the whole room.
    """

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.choices = AskPanel(skin, self)
        self.texts = TextPanel(skin, self)
        self._numbers: tuple[int, ...] = ()
        self.about: int | None = None
        self.hide()

    @property
    def is_open(self) -> bool:
        return self.isVisible()

    def choose(
        self,
        question: str,
        choices: Sequence[Choice],
        leaving: Sequence[Choice],
        *,
        numbers: Sequence[int] = (),
    ) -> None:
        """Ask with a grid of answers. numbers: those on the number keys; else from 1 up."""
        self.texts.hide()
        self._numbers = tuple(numbers) or tuple(range(1, len(choices) + 1))
        self._open()
        self.choices.ask(question, choices, leaving)

    def write(
        self,
        question: str,
        text: str,
        keep: Callable[[str], None],
        *,
        picks: Sequence[Pick] = (),
        keep_words: str = "Keep",
        always: bool = False,
    ) -> None:
        """Ask for a text; as `TextPanel.ask`."""
        self.choices.hide()
        self._open()
        self.texts.ask(
            question,
            text,
            keep,
            left=self._text_left,
            picks=picks,
            keep_words=keep_words,
            always=always,
        )

    def answer(self, number: int) -> None:
        """Give the answer that a number key stands for, if choices are offered."""
        if self.choices.isVisible() and number in self._numbers:
            self.choices.answer(self._numbers.index(number))

    def close_it(self) -> None:
        """Leave; what was typed is kept."""
        self.about = None
        self.texts.hide()
        self.choices.hide()
        self.hide()

    def _text_left(self) -> None:
        if not self.choices.isVisible():
            self.hide()

    def _open(self) -> None:
        self.show()
        self.raise_()
        self._lay_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _lay_out(self) -> None:
        pad = self.skin.px(10)
        inner = self.rect().adjusted(pad, pad, -pad, -pad)
        self.choices.setGeometry(inner)
        self.texts.setGeometry(inner)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        box = QRectF(self.rect())
        pen.fill(box, Token.WELL)
        pen.frame(box, Token.BAND, tokens.FRONT_WIDTH)
        painter.end()
