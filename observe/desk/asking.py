"""A question in the records: fields to type in, choices, and a key that answers it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from observe.desk.blocks import SAID, TITLE
from observe.desk.keys import Key, word_face
from observe.desk.paint import Pen, Style, fit
from observe.desk.tall import ENDLESS, height_of
from observe.desk.theme import Skin
from observe.domain.troubles import Trouble
from observe.look.tokens import ROUTINE_TARGET_MM, Token, Weight

LABEL = Style(16, Weight.BOLD, least=14)
WRONG = Style(16, Weight.BOLD, Token.WRONG, 13)
LONGEST = 400
Answers = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Field:
    """A line to type in. secret: its letters are not shown."""

    name: str
    label: str
    text: str = ""
    secret: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several, on keys. options: value and word; none is chosen at first."""

    name: str
    label: str
    options: tuple[tuple[str, str], ...]
    chosen: str = ""


@dataclass(frozen=True)
class Question:
    """What is asked. answer: is given every field and choice by name; may raise a Trouble.

    stays: it cannot be left without an answer.
    """

    title: str
    sentences: tuple[str, ...]
    confirm: str
    answer: Callable[[Answers], None]
    fields: tuple[Field, ...] = ()
    choices: tuple[Choice, ...] = ()
    stays: bool = False


class AskPanel(QWidget):
    """Shows one question at a time. A trouble is told in it, and nothing that was typed goes."""

    left = Signal()
    grown = Signal()
    """It needs another height now."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.asked: Question | None = None
        self.trouble: Trouble | None = None
        self.lines: list[QLineEdit] = []
        self.keys: dict[tuple[str, str], Key] = {}
        self.chosen: dict[str, str] = {}
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.confirm_key = Key(skin, self)
        self.confirm_key.struck.connect(self.confirm)
        self.back_key = Key(skin, self, word_face("Back", size=16))
        self.back_key.struck.connect(self.left)

    def ask(self, question: Question) -> None:
        """Show a question; what was typed for another one goes."""
        self.setFocus(Qt.FocusReason.OtherFocusReason)  # before the line that has it goes
        for part in (*self.lines, *self.keys.values()):
            part.hide()
            part.deleteLater()
        self.asked, self.trouble = question, None
        self.back_key.setVisible(not question.stays)
        self.lines = [self._line(one) for one in question.fields]
        self.keys, self.chosen = {}, {one.name: one.chosen for one in question.choices}
        for choice in question.choices:
            for value, word in choice.options:
                key = Key(self.skin, self)
                key.struck.connect(partial(self._choose, choice.name, value))
                key.show()
                self.keys[choice.name, value] = key
                key.show_face(word_face(word, size=16))
        face = word_face(question.confirm, size=16, weight=Weight.BOLD)
        self.confirm_key.show_face(replace(face, heel=Token.ACT))
        self.setAccessibleName(f"{question.title}. {' '.join(question.sentences)}")
        self._show_chosen()
        if self.lines:
            self.lines[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def _line(self, field: Field) -> QLineEdit:
        line = QLineEdit(field.text, self)
        line.setAccessibleName(field.label)
        line.setMaxLength(LONGEST)
        line.setFrame(False)
        line.setEchoMode(QLineEdit.EchoMode.Password if field.secret else QLineEdit.EchoMode.Normal)
        line.returnPressed.connect(self.confirm)
        line.show()
        return line

    def _choose(self, name: str, value: str) -> None:
        self.chosen[name] = "" if self.chosen[name] == value else value
        self._show_chosen()

    def _show_chosen(self) -> None:
        for (name, value), key in self.keys.items():
            chosen = self.chosen[name] == value
            weight = Weight.BOLD if chosen else Weight.MEDIUM
            face = word_face(key.face.content[0], size=16, weight=weight)
            said = f"{face.name}{', chosen' if chosen else ''}"
            key.show_face(replace(face, name=said, chosen=chosen))
        self.grown.emit()

    @property
    def answers(self) -> Answers:
        """What was typed and chosen, by name."""
        fields = self.asked.fields if self.asked else ()
        typed = {
            one.name: line.text() if one.secret else line.text().strip()
            for one, line in zip(fields, self.lines, strict=True)
        }
        return {**typed, **self.chosen}

    def confirm(self) -> None:
        """Answer the question; a trouble is told below it."""
        if self.asked is None:
            return
        try:
            self.asked.answer(self.answers)
        except Trouble as trouble:
            self.trouble = trouble
            self.grown.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            if self.asked is None or not self.asked.stays:
                self.left.emit()
            return
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not self._types():
            self.confirm()
            return
        super().keyPressEvent(event)

    def _types(self) -> bool:
        """Whether somebody types in a line, which hears Enter itself."""
        return any(line.hasFocus() for line in self.lines)

    # geometry and painting

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        return self._walk(width, None)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._walk(self.width(), None, place=True)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        self._walk(self.width(), Pen(painter, self.skin))
        painter.end()

    def _walk(self, width: int, pen: Pen | None, *, place: bool = False) -> int:
        """Go down the parts: measure them, with a pen paint them, or place what is pressed."""
        if self.asked is None:
            return 0
        y = self._text(pen, self.asked.title, TITLE, self.skin.px(10), width)
        for one in self.asked.sentences:
            y = self._text(pen, one, SAID, y, width)
        for field, line in zip(self.asked.fields, self.lines, strict=True):
            y = self._text(pen, field.label, LABEL, y + self.skin.px(12), width)
            high = max(self.skin.mm(9), self.skin.grows(40, 40, 1))
            if place:
                line.setFont(self.skin.font(17))
                line.setGeometry(2, y, min(width - 4, self.skin.px(640)), high)
            if pen is not None:
                pen.frame(QRectF(line.geometry()).adjusted(-2, -2, 2, 2), Token.LINE, 1)
            y += high
        for choice in self.asked.choices:
            y = self._text(pen, choice.label, LABEL, y + self.skin.px(14), width)
            keys = [self.keys[choice.name, value] for value, _ in choice.options]
            y = self._keys(keys, y, width, place=place)
        if self.trouble is not None:
            said = f"{self.trouble.what} {self.trouble.remedy}"
            y = self._text(pen, said, WRONG, y + self.skin.px(14), width)
        keys = [self.confirm_key, self.back_key]
        return self._keys(keys, y + self.skin.px(18), width, place=place) + self.skin.px(10)

    def _text(self, pen: Pen | None, text: str, style: Style, y: int, width: int) -> int:
        high = height_of(self.skin, text, width, style)
        if pen is not None:
            pen.text(QRectF(0, y, width, high), text, style)
        return y + high + self.skin.px(6)

    def _keys(self, keys: list[Key], y: int, width: int, *, place: bool) -> int:
        px = self.skin.px
        high, gap, x = max(self.skin.mm(ROUTINE_TARGET_MM), px(40)), px(8), 0
        for key in keys:
            style = Style(16, Weight.BOLD)
            words = fit(self.skin, str(key.face.content[0]), ENDLESS, high, style)
            wide = min(width, max(self.skin.mm(22), round(words.width) + px(32)))
            if x and x + wide > width:
                x, y = 0, y + high + gap
            if place:
                key.setGeometry(x, y, wide, high)
            x += wide + gap
        return y + high
