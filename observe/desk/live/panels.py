"""Panels of the well that ask something, in the place of the mark keys. Never dialogs.

Each can be left without an answer; what stays open is asked before sealing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key
from observe.desk.live.layout import Box, split_grid, split_row
from observe.desk.paint import BOTTOM, MIDDLE, Pen, Style, fit
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.look import tokens
from observe.look.tokens import LINE_HEIGHT_READING, Token, Weight

ANSWER = Style(17, Weight.MEDIUM, least=11, leading=1.12)
DETAIL = Style(16, Weight.REGULAR, Token.INK, 14, leading=LINE_HEIGHT_READING)
QUESTION = Style(16, Weight.MEDIUM, Token.INK2, 14, down=MIDDLE)


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: what stands on its key, a note below it, and what it does."""

    words: str
    note: str
    deed: Callable[[], None]
    heel: Token = Token.KEYHEEL


class AskPanel(QWidget):
    """A question, a grid of answers, and a row of ways to leave it.

    lets: whether a press on a key counts now; answers by number always do.
    """

    def __init__(self, skin: Skin, parent: QWidget, *, ground: Token = Token.WELL) -> None:
        super().__init__(parent)
        self.skin = skin
        self.question, self.detail, self.ground = "", "", ground
        self.lets: Callable[[], bool] = lambda: True
        self.answers: list[Key] = []
        self.ways: list[Key] = []
        self._choices: tuple[Choice, ...] = ()
        self._leaving: tuple[Choice, ...] = ()
        self.hide()

    def ask(
        self,
        question: str,
        choices: Sequence[Choice],
        leaving: Sequence[Choice],
        *,
        detail: str = "",
    ) -> None:
        """Show a question with its answers, and ways to go on without one.

        detail: what the question is about, in full; shown where there is room for it.
        """
        self.question, self.detail = question, detail
        self._choices, self._leaving = tuple(choices), tuple(leaving)
        self.setAccessibleName(question)
        self._fill(self.answers, self._choices)
        self._fill(self.ways, self._leaving)
        self._lay_out()
        self.show()
        self.raise_()
        self.update()

    def answer(self, number: int) -> None:
        """Give the answer with a number from 0, if there is one."""
        if number < len(self._choices):
            self._choices[number].deed()

    def leave(self) -> None:
        """Take the first way out."""
        if self._leaving:
            self._leaving[0].deed()

    def _fill(self, keys: list[Key], choices: Sequence[Choice]) -> None:
        while len(keys) < len(choices):
            keys.append(self._new_key(keys))
        for place, key in enumerate(keys):
            key.let_go()
            key.setVisible(place < len(choices))
            if place < len(choices):
                key.show_face(choice_face(choices[place]))

    def _new_key(self, keys: list[Key]) -> Key:
        key, place = Key(self.skin, self), len(keys)
        answers = keys is self.answers

        def strike() -> None:
            choices = self._choices if answers else self._leaving
            if self.lets():
                choices[place].deed()

        key.struck.connect(strike)
        return key

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _head(self) -> int:
        """Height of the question: one line, or as many as it needs."""
        one = self.skin.px(30)
        fits = fit(self.skin, self.question, self.width(), one - self.skin.px(4), QUESTION).fits
        if fits or self.width() < 1:
            return one
        needed = height_of(self.skin, self.question, self.width(), QUESTION)
        return max(self.skin.px(50), needed + self.skin.px(8))

    def _measures(self) -> tuple[int, int]:
        """Px between keys, and of height of the row of ways."""
        gap = max(self.skin.mm(tokens.CRITICAL_GAP_MM), self.skin.px(12))
        foot = max(self.skin.mm(tokens.ROUTINE_TARGET_MM), self.skin.grows(70, 45, 0.4))
        return gap, foot

    def least_height(self, width: int) -> int:
        """Px of height in which everything has room, the answers at their least height."""
        gap, foot = self._measures()
        least = max(self.skin.mm(tokens.CRITICAL_TARGET_MM), self.skin.pick(118, 80))
        area = Box(0, 0, width, 0)
        for columns in range(self._usual_columns(), 0, -1):
            rows = self._rows(columns)
            high = rows * least + (rows - 1) * gap
            if columns == 1 or self._hold(
                split_grid(replace(area, height=high), columns, rows, gap)
            ):
                break
        return self._head() + high + gap // 2 + foot

    def _usual_columns(self) -> int:
        count = max(1, len(self._choices))
        return min(4, count) if count != 5 else 3

    def _rows(self, columns: int) -> int:
        return -(-max(1, len(self._choices)) // columns)

    def _detail_height(self) -> int:
        """Px that the detail takes below the question; 0 where there is no room for it."""
        if not self.detail or self.width() < 1:
            return 0
        spare = self.height() - self.least_height(self.width())
        said = fit(self.skin, self.detail, self.width(), max(0, spare), DETAIL)
        return round(said.height) + self.skin.px(14) if said.fits else 0

    def _lay_out(self) -> None:
        gap, foot = self._measures()
        head, apart = self._head() + self._detail_height(), gap // 2
        area = Box(0, head, self.width(), max(0, self.height() - head - foot - apart))
        usual = self._usual_columns()
        columns = (*range(usual, 0, -1), usual + 1, usual + 2)
        grids = [self._grid(area, count, gap) for count in columns]
        least = (tokens.CRITICAL_TARGET_MM, tokens.ROUTINE_TARGET_MM)
        held = (grid for high in least for grid in grids if self._hold(grid, high))
        boxes = next(held, grids[0])
        area = Box(area.x, area.y, area.width, boxes[-1].bottom - area.y)
        for key, box in zip(self.answers, boxes, strict=False):
            key.setGeometry(box.x, box.y, box.width, box.height)
        below = Box(0, area.bottom + apart, self.width(), foot)
        for key, box in zip(
            self.ways, split_row(below, (1,) * max(1, len(self._leaving)), gap), strict=False
        ):
            key.setGeometry(box.x, box.y, box.width, box.height)

    def _grid(self, area: Box, columns: int, gap: int) -> tuple[Box, ...]:
        """Places for the answers in some columns, no higher than they need."""
        rows = self._rows(columns)
        wide = (area.width - (columns - 1) * gap) // columns
        most = max(self.skin.pick(150, 110), min(wide, self.skin.pick(190, 130)))
        high = min(area.height, rows * most + (rows - 1) * gap)
        return split_grid(Box(area.x, area.y, area.width, high), columns, rows, gap)

    def _hold(self, boxes: Sequence[Box], least: float = tokens.CRITICAL_TARGET_MM) -> bool:
        """Whether every answer has room in its place, and that has the least mm of a target."""
        if min(boxes[0].height, boxes[0].width) < self.skin.mm(least):
            return False
        skin, px = self.skin, self.skin.px
        pairs = zip(self._choices, boxes, strict=False)
        return all(
            fit(skin, one.words, box.width - px(15), box.height - px(13), ANSWER).fits
            for one, box in pairs
        )

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        pen.fill(QRectF(self.rect()), self.ground)
        place = QRectF(0, 0, self.width(), self._head() - self.skin.px(4))
        pen.text(place, self.question, QUESTION)
        high = self._detail_height()
        if high:
            pen.text(QRectF(0, self._head(), self.width(), high), self.detail, DETAIL)
        painter.end()


def choice_face(choice: Choice) -> Face:
    """The face of an answer."""
    name = f"{choice.words}. {choice.note}" if choice.note else choice.words
    return Face(name, _choice, (choice.words, choice.note), heel=choice.heel)


def _choice(pen: Pen, box: QRectF, ink: Token, words: str, note: str) -> None:
    px = pen.skin.px
    inner = box.adjusted(px(9), px(5), -px(6), -px(4))
    style = replace(ANSWER, ink=ink)
    small = Style(14, Weight.REGULAR, Token.INK2, 11.5, down=BOTTOM)
    for foot in (px(18), px(34)) if note else ():
        above = inner.adjusted(0, 0, 0, -foot)
        below = QRectF(inner.x(), inner.bottom() - foot, inner.width(), foot)
        has_room = fit(pen.skin, words, above.width(), above.height(), style).fits
        if has_room and fit(pen.skin, note, below.width(), foot, small).fits:
            pen.text(above, words, style)
            pen.text(below, note, small)
            return
    pen.text(inner, words, style)
