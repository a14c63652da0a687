"""Debrief: decision, score and what was missed, the attempt in time; one learner after another."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from PySide6.QtCore import QRectF, Qt, QUrl, Signal
from PySide6.QtGui import QDesktopServices, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QFileDialog, QWidget

from observe.desk.asking import AskPanel, Question
from observe.desk.blocks import Block, BlockList
from observe.desk.debrief.decision import DecisionPanel
from observe.desk.debrief.directing import exchanging, overruling
from observe.desk.debrief.score import DomainsPanel, ScorePanel
from observe.desk.debrief.shown import Shown, shown
from observe.desk.debrief.story import StoryPanel
from observe.desk.debrief.today import Today, attempt
from observe.desk.keys import Face, Key, Row, word_face
from observe.desk.live import reading
from observe.desk.live.model import LiveModel
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.preview import Preview
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.domain.decision import Line
from observe.domain.overruling import OUTCOMES
from observe.domain.troubles import Trouble
from observe.look.marks import DecisionLook, decision_shapes
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import ROUTINE_TARGET_MM, Token, Weight

RAIL_SHARE = 0.34
"""Of the width, at most, for the learners where text is enlarged."""
NAME = Style(18, Weight.BOLD, least=13, down=MIDDLE)
SAID = Style(15, least=11, down=MIDDLE)
AMEND, OVERRULE = "Amend …", "Overrule …"
PREVIEW, TODAY = "Preview the sheet", "Today's sheets"
FOOT = (AMEND, OVERRULE, PREVIEW, TODAY)
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
        self._sheet = QRectF()
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
        self.panel, self.list, self.preview = AskPanel(skin), BlockList(skin), Preview(skin)
        self.panel_area = Tall(skin, self, self.panel, self.panel.needed)
        self.list_area = Tall(skin, self, self.list, self.list.needed)
        self.preview_area = Tall(skin, self, self.preview, self.preview.needed)
        self.panel.left.connect(self.show_column)
        self.panel.grown.connect(self.panel_area.lay_out)
        self.keys = {word: Key(skin, self, word_face(word, size=16)) for word in FOOT}
        deeds = (self.amend, self.overrule, self.show_preview, self.show_today)
        for key, deed in zip(self.keys.values(), deeds, strict=True):
            key.struck.connect(deed)
        for area in self._others:
            area.hide()
        skin.changed.connect(self.update)
        self.refresh()

    @property
    def shown(self) -> Shown:
        """What may be shown of the chosen learner."""
        return self._shown[self.seat]

    @property
    def _others(self) -> tuple[Tall, ...]:
        """What may stand in place of the decision and what is below it."""
        return (self.panel_area, self.list_area, self.preview_area)

    # deeds

    def choose(self, seat: int) -> None:
        """Show another learner."""
        self.seat, self._told, self._opened = seat, "", ""
        self.show_column()
        self.refresh()

    def show_column(self) -> None:
        """Back to the decision and what is below it."""
        self.panel.asked = None
        self._show_only(self.column)
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_only(self, shown: Tall) -> None:
        for area in (self.column, *self._others):
            area.setVisible(area is shown)
        self._lay_out()
        self.update()

    def _ask(self, question: Question) -> None:
        self.panel.ask(question)
        self._show_only(self.panel_area)

    def amend(self) -> None:
        """Amend one's own sealed observation, with a reason (rule D3)."""
        from observe.desk.debrief.amending import Amending

        room = self.model.room
        others = tuple((one, room.name(one)) for one in room.workshop.observers)
        others = tuple(one for one in others if one[0] != room.observer)
        session = self.model.sessions[self.seat]
        exchange = partial(self._ask, exchanging(room, session.seat, self._exchanged))
        self._ask(Amending(session, others, self._ask, self._amended, exchange).begin())

    def overrule(self) -> None:
        """A director overrules the decision, with a reason (rule D4)."""
        self._ask(overruling(self.model.room, self.shown.result, self._amended))

    def _amended(self) -> None:
        self._anew("Kept. The decision has to be signed anew.")

    def _exchanged(self) -> None:
        self.model.room.reseat()
        self._anew("Kept. Both decisions have to be signed anew, and both sheets are superseded.")

    def _anew(self, said: str) -> None:
        self._told = said
        self.show_column()
        self.refresh()

    def show_preview(self) -> None:
        """The sheet as it would be printed now, or back."""
        if self.preview_area.isVisible():
            self.show_column()
            return
        try:
            content = self._today().press.preview(self.shown.result, by=self.model.room.observer)
        except Trouble as trouble:
            self._tell(f"{trouble.what} {trouble.remedy}")
            return
        self.preview.show_sheet(content)
        self._show_only(self.preview_area)

    def show_today(self) -> None:
        """What each learner still lacks today, or back."""
        if self.list_area.isVisible():
            self.show_column()
            return
        self.list.show_blocks(self._blocks(self._today()))
        self._show_only(self.list_area)

    def _today(self) -> Today:
        return Today(self.model.room, self._ask, self._did, self._where, self._tick)

    def _blocks(self, today: Today, said: str = "") -> list[Block]:
        """The day's list, its deeds guarded; what was just done comes first."""
        blocks = [
            replace(
                block,
                deeds=tuple(
                    (word, partial(attempt, deed, self._did)) for word, deed in block.deeds
                ),
            )
            for block in today.blocks()
        ]
        return [Block(said), *blocks] if said else blocks

    def _did(self, said: str) -> None:
        self.panel.asked = None
        self.refresh()
        self.list.show_blocks(self._blocks(self._today(), said))
        self._show_only(self.list_area)

    def _where(self, name: str) -> str:
        chosen, _ = QFileDialog.getSaveFileName(self, "One file for the printer", name)
        return chosen

    def _tick(self, done: int, total: int) -> None:
        """Between two sheets: say how far it is."""
        self.list.show_blocks([Block(f"Issuing: {done} of {total} …")])
        self.list.repaint()

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
        room = self.model.room
        today, result = self._today(), self.shown.result
        press = today.press
        if press.standing(result.seat) is None and room.logbook.keys.needs_passphrase(
            room.observer, press.now()
        ):
            today.with_key(self._open_and_see)
            return
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

    def _open_and_see(self) -> None:
        self.show_column()
        self.see_sheet()

    def _tell(self, words: str) -> None:
        self._told = words
        self._show_parts()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            there = self.seat + (1 if key == Qt.Key.Key_Down else -1)
            if 0 <= there < len(self.rows):
                self.choose(there)
        elif key == Qt.Key.Key_Escape and not self.column.isVisible():
            self.show_column()
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
        can = {
            AMEND: found.mine is not None and not found.is_void,
            OVERRULE: found.result.outcome in OUTCOMES,
            PREVIEW: bool(found.result.reveals),
        }
        for word, key in self.keys.items():
            key.show_face(word_face(word, size=16).allowed(can=can.get(word, True)))
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
        tall = max(self.skin.mm(ROUTINE_TARGET_MM), px(44))
        if self.skin.text > 1:
            tall = max(tall, self.skin.text_px(16) * 2 + px(12))
        wide, high = max(1, self.width() - x - pad), max(1, self.height() - 3 * pad - tall)
        self._sheet = QRectF(x, pad, wide, high)
        self.column.setGeometry(x, pad, wide, high)
        inner = self._sheet.adjusted(px(18), px(10), -px(12), -px(8)).toRect()
        for area in (self.panel_area, self.list_area):
            area.setGeometry(inner)
        self.preview_area.setGeometry(self._sheet.toRect())
        for area in (self.column, *self._others):
            area.lay_out()
        each = min(px(210), (wide - 2 * px(8)) // len(self.keys))
        for place, key in enumerate(self.keys.values()):
            key.setGeometry(x + place * (each + px(8)), self.height() - pad - tall, each, tall)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        pen.fill(QRectF(self.rect()), Token.GROUND)
        if not self.column.isVisible():
            pen.fill(self._sheet, Token.SHEET)
            pen.frame(self._sheet, Token.RULE, 1)
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
        first, second = round(room * 0.36), round(room * 0.35)
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
