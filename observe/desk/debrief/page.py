"""Debrief: decision, score and what was missed, the attempt in time; one learner after another."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
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
from observe.desk.theme import Skin
from observe.domain.decision import Line
from observe.domain.troubles import Trouble
from observe.look.marks import DecisionLook, decision_shapes
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Token, Weight

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
        self.rows = [Row(skin, self) for _ in range(len(model))]
        for place, row in enumerate(self.rows):
            row.struck.connect(partial(self.choose, place))
        self.decision = DecisionPanel(skin, self)
        self.score, self.domains = ScorePanel(skin, self), DomainsPanel(skin, self)
        self.story = StoryPanel(skin, self)
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
        from observe.work.press import Press

        room = self.model.room
        press = Press(room.logbook, room.workshop, room.logbook.path.parent / "sheets")
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
        self._lay_out()
        if found.mine is not None:
            self.score.show_score(found.basis or found.mine)
            self.domains.show_domains(found.basis or found.mine)
            line = next((one for one in self.decision.lines if one.id == self._opened), None)
            if line is None:
                self.story.show_time(found.mine)
            else:
                self.story.show_steps(found.mine, line.title, line.steps)
        self.update()

    # geometry

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _lay_out(self) -> None:
        px = self.skin.px
        pad, gap = px(6), px(8)
        rail = px(222)
        high = min(px(82), (self.height() - pad) // len(self.rows) - px(5))
        for place, row in enumerate(self.rows):
            row.setGeometry(pad, pad + place * (high + px(5)), rail, high)
        x = pad + rail + px(10)
        wide = self.width() - x - pad
        room = self.height() - 2 * pad - 2 * gap
        first, second = round(room * 0.36), round(room * 0.32)
        self.decision.setGeometry(x, pad, wide, first)
        y = pad + first + gap
        left = round(wide * 0.53)
        self.score.setGeometry(x, y, left, second)
        self.domains.setGeometry(x + left + gap, y, wide - left - gap, second)
        y += second + gap
        if self.shown.is_void:
            self.story.setGeometry(x, pad + first + gap, wide, room - first + gap)
        else:
            self.story.setGeometry(x, y, wide, room - first - second)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        Pen(painter, self.skin).fill(QRectF(self.rect()), Token.GROUND)
        painter.end()


@dataclass(frozen=True, slots=True)
class LearnerReading:
    """A learner in the rail. here: whether this one is shown."""

    number: int
    name: str
    look: DecisionLook | None
    word: str
    signed: bool
    here: bool


def paint_learner(pen: Pen, box: QRectF, ink: Token, shown: LearnerReading) -> None:
    """A learner in the rail: number, name, decision, and a clamp when signed."""
    px = pen.skin.px
    first, second = (Token.ONBAND, Token.ONBAND2) if shown.here else (ink, Token.INK2)
    if not shown.here:
        pen.frame(box, Token.RULE, 1)
    inner = box.adjusted(px(10), px(4), -px(8), -px(4))
    half = inner.height() / 2
    above = QRectF(inner.x(), inner.y(), inner.width(), half)
    pen.text(above, str(shown.number), Style(20, Weight.BLACK, second, 15, down=MIDDLE))
    place = above.adjusted(px(28), 0, -px(26) if shown.signed else 0, 0)
    style = Style(18, Weight.BOLD, first, 13, down=MIDDLE)
    pen.text(place, shown.name, style, shorter=reading.initials(shown.name))
    if shown.signed:
        side = px(18)
        y = round(above.center().y() - side / 2)
        pen.shapes(sign_shapes(SignLook.SEALED, side), inner.right() - side, y, first)
    below = QRectF(inner.x() + px(28), inner.y() + half, inner.width() - px(28), half)
    if shown.look is not None:
        side = px(13)
        y = round(below.center().y() - side / 2)
        pen.shapes(decision_shapes(shown.look, side), below.x(), y, first if shown.here else None)
        below.setLeft(below.x() + side + px(8))
    said = f"{shown.word}, signed" if shown.signed else shown.word
    pen.text(below, said.lower(), Style(15, ink=second, least=11, down=MIDDLE))
