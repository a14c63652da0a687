"""Debrief: decision, score and what was missed, the attempt in time; one learner after another."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from PySide6.QtCore import QRectF, Qt, QUrl, Signal
from PySide6.QtGui import QDesktopServices, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.debrief.decision import DecisionPanel
from observe.desk.debrief.score import DomainsPanel, ScorePanel
from observe.desk.debrief.shown import Shown, shown
from observe.desk.debrief.story import StoryPanel
from observe.desk.keys import Face, Row
from observe.desk.live import reading
from observe.desk.live.model import LiveModel
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.domain.decision import Line
from observe.domain.troubles import Trouble
from observe.look.marks import DecisionLook, decision_shapes
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Token, Weight

RAIL_SHARE = 0.34
"""Of the width, at most, for the learners where text is enlarged."""
NAME = Style(18, Weight.BOLD, least=13, down=MIDDLE)
SAID = Style(15, least=11, down=MIDDLE)
Opener = Callable[[Path], bool]


def open_with_system(path: Path) -> bool:
    """Show a file with the program that the system has for it; False if there is none."""
    return QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))


class DebriefPage(QWidget):
    """Learners in seat order at the left, the chosen one at the right."""

    live = Signal()
    rate = Signal(int)

    def __init__(
        self, skin: Skin, model: LiveModel, seat: int, opener: Opener = open_with_system
    ) -> None:
        super().__init__()
        self.skin, self.model, self.seat = skin, model, seat
        self._opener = opener
        self._told = ""
        self._opened = ""
        self._shown: list[Shown] = []
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        rail = Rail(skin, len(model))
        self.rows, self.rail = rail.rows, Tall(skin, self, rail, rail.needed)
        for place, row in enumerate(self.rows):
            row.struck.connect(partial(self.choose, place))
        column = Column(skin)
        self.column = Tall(skin, self, column, column.needed)
        self.decision, self.story = column.decision, column.story
        self.score, self.domains = column.score, column.domains
        self.decision.sign.connect(self.sign)
        self.decision.sheet.connect(self.see_sheet)
        self.decision.rate.connect(self._rate)
        self.decision.opened.connect(self._open_line)
        skin.changed.connect(self.update)
        self.refresh()

    @property
    def shown(self) -> Shown:
        """What may be shown of the chosen learner."""
        return self._shown[self.seat]

    # deeds

    def choose(self, seat: int) -> None:
        """Show another learner."""
        self.seat, self._told, self._opened = seat, "", ""
        self.refresh()

    def _rate(self) -> None:
        self.rate.emit(self.seat)

    def _open_line(self, line: Line) -> None:
        self._opened = "" if self._opened == line.id else line.id
        self._show_parts()

    def sign(self) -> None:
        """A person signs the decision (rule D4)."""
        from observe.work.debrief import sign_decision

        found = self.shown
        if not found.may_sign:
            return
        room = self.model.room
        try:
            sign_decision(room.logbook, room.workshop, found.result, by=room.observer)
            self._told = ""
        except Trouble as trouble:
            self._told = f"{trouble.what} {trouble.remedy}"
        self.refresh()

    def see_sheet(self) -> None:
        """Issue the sheet, unless the one that was issued still stands, and open it."""
        from observe.work.press import Press, sheets_folder

        room = self.model.room
        folder = sheets_folder(room.logbook, room.workshop)
        press = Press(room.logbook, room.workshop, folder)
        result = self.shown.result
        self._tell("Making the sheet …")
        self.repaint()
        try:
            path = press.standing(result.seat) or press.issue(result, by=room.observer)
        except Trouble as trouble:
            self._tell(f"{trouble.what} {trouble.remedy}")
            return
        opened = self._opener(path)
        self._tell(
            f"The signed sheet is {path}" + ("" if opened else ". No program opens it here.")
        )

    def _tell(self, words: str) -> None:
        self._told = words
        self._show_parts()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            there = self.seat + (1 if key == Qt.Key.Key_Down else -1)
            if 0 <= there < len(self.rows):
                self.choose(there)
        elif key == Qt.Key.Key_Escape:
            self.live.emit()
        else:
            super().keyPressEvent(event)

    # showing

    def refresh(self) -> None:
        """Read every learner anew."""
        self._shown = [shown(self.model, seat) for seat in range(len(self.model))]
        for seat, row in enumerate(self.rows):
            one = self._shown[seat]
            name = self.model.name(seat)
            here = seat == self.seat
            number = self.model.number(seat)
            content = LearnerReading(number, name, one.look, one.word, bool(one.signed), here)
            fill = Token.BAND if here else Token.SHEET
            said = f"Seat {number}, {name}, {one.word}{', signed' if one.signed else ''}"
            row.show_face(Face(said, paint_learner, (content,), fill=fill))
        self._show_parts()

    def _show_parts(self) -> None:
        found = self.shown
        self.decision.show_decision(found, self._told, self._opened)
        for part in (self.score, self.domains):
            part.setVisible(found.mine is not None and not found.is_void)
        self.story.setVisible(found.mine is not None)
        if found.mine is not None:
            self.score.show_score(found.basis or found.mine)
            self.domains.show_domains(found.basis or found.mine)
            line = next((one for one in self.decision.lines if one.id == self._opened), None)
            if line is None:
                self.story.show_time(found.mine)
            else:
                self.story.show_steps(found.mine, line.title, line.steps)
        self._lay_out()
        self.update()

    # geometry

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _lay_out(self) -> None:
        px = self.skin.px
        pad = px(6)
        rail = px(222)
        if self.skin.text > 1:
            rail = min(rail, max(self.skin.still(222, 222), round(self.width() * RAIL_SHARE)))
        self.rail.setGeometry(pad, pad, rail, max(1, self.height() - pad))
        self.rail.lay_out()
        x = pad + rail + px(10)
        wide, high = max(1, self.width() - x - pad), max(1, self.height() - 2 * pad)
        self.column.setGeometry(x, pad, wide, high)
        self.column.lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        Pen(painter, self.skin).fill(QRectF(self.rect()), Token.GROUND)
        painter.end()


class Column(QWidget):
    """What is shown of one learner: divided over its height, or enlarged one below the other."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.decision = DecisionPanel(skin, self)
        self.score, self.domains = ScorePanel(skin, self), DomainsPanel(skin, self)
        self.story = StoryPanel(skin, self)

    def _parts(self) -> list[DecisionPanel | ScorePanel | DomainsPanel | StoryPanel]:
        parts = (self.decision, self.score, self.domains, self.story)
        return [part for part in parts if part.isVisibleTo(self)]

    def needed(self, width: int) -> int:
        """Px of height in a width; where text is not enlarged the parts give."""
        if self.skin.text == 1:
            return 0
        gap = self.skin.px(8)
        return sum(part.needed(width) + gap for part in self._parts()) - gap

    def resizeEvent(self, event: QResizeEvent) -> None:
        if self.skin.text > 1:
            self._stack()
        else:
            self._divide()

    def _stack(self) -> None:
        y, wide = 0, self.width()
        for part in self._parts():
            part.setGeometry(0, y, wide, part.needed(wide))
            y += part.height() + self.skin.px(8)

    def _divide(self) -> None:
        gap, wide = self.skin.px(8), self.width()
        room = self.height() - 2 * gap
        first, second = round(room * 0.36), round(room * 0.32)
        self.decision.setGeometry(0, 0, wide, first)
        y = first + gap
        if not self.score.isVisibleTo(self):
            self.story.setGeometry(0, y, wide, room - first + gap)
            return
        left = round(wide * 0.53)
        self.score.setGeometry(0, y, left, second)
        self.domains.setGeometry(left + gap, y, wide - left - gap, second)
        self.story.setGeometry(0, y + second + gap, wide, room - first - second)


class Rail(QWidget):
    """The learners in seat order."""

    def __init__(self, skin: Skin, count: int) -> None:
        super().__init__()
        self.skin = skin
        self.rows = [Row(skin, self) for _ in range(count)]

    def _high(self, width: int) -> int:
        """Px of height of each row."""
        px, wide = self.skin.px, width - self.skin.px(54)
        found = [row.face.content[0] for row in self.rows if row.face.content]
        needed = [
            height_of(self.skin, one.name, wide - px(18), NAME)
            + height_of(self.skin, one.said, wide - px(21), SAID)
            for one in found
        ]
        return max([self.skin.mm(12), *(one + px(16) for one in needed)])

    def needed(self, width: int) -> int:
        """Px of height in a width; where text is not enlarged the rows give."""
        each = self._high(width) + self.skin.px(5)
        return 0 if self.skin.text == 1 else each * len(self.rows)

    def resizeEvent(self, event: QResizeEvent) -> None:
        px = self.skin.px
        high = min(px(82), self.height() // len(self.rows) - px(5))
        if self.skin.text > 1:
            high = self._high(self.width())
        for place, row in enumerate(self.rows):
            row.setGeometry(0, place * (high + px(5)), self.width(), high)


@dataclass(frozen=True, slots=True)
class LearnerReading:
    """A learner in the rail. here: whether this one is shown."""

    number: int
    name: str
    look: DecisionLook | None
    word: str
    signed: bool
    here: bool

    @property
    def said(self) -> str:
        return (f"{self.word}, signed" if self.signed else self.word).lower()


def paint_learner(pen: Pen, box: QRectF, ink: Token, shown: LearnerReading) -> None:
    """A learner in the rail: number, name, decision, and a clamp when signed."""
    px = pen.skin.px
    first, second = (Token.ONBAND, Token.ONBAND2) if shown.here else (ink, Token.INK2)
    if not shown.here:
        pen.frame(box, Token.RULE, 1)
    inner = box.adjusted(px(10), px(4), -px(8), -px(4))
    half = inner.height() / 2
    if pen.skin.text > 1:
        half = (
            inner.height() - height_of(pen.skin, shown.said, inner.width() - px(49), SAID) - px(2)
        )
    above = QRectF(inner.x(), inner.y(), inner.width(), half)
    pen.text(above, str(shown.number), Style(20, Weight.BLACK, second, 15, down=MIDDLE))
    place = above.adjusted(px(28), 0, -px(26) if shown.signed else 0, 0)
    style = replace(NAME, ink=first)
    pen.text(place, shown.name, style, shorter=reading.down_to_initials(shown.name))
    if shown.signed:
        side = px(18)
        y = round(above.center().y() - side / 2)
        pen.shapes(sign_shapes(SignLook.SEALED, side), inner.right() - side, y, first)
    left = inner.x() + px(28)
    below = QRectF(left, inner.y() + half, inner.right() - left, inner.height() - half)
    if shown.look is not None:
        side = px(13)
        y = round(below.center().y() - side / 2)
        pen.shapes(decision_shapes(shown.look, side), below.x(), y, first if shown.here else None)
        below.setLeft(below.x() + side + px(8))
    pen.text(below, shown.said, replace(SAID, ink=second))
