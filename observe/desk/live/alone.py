"""One learner alone: all steps at the side, the critical items by name below the well."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from observe.desk.keys import Face, Key, Row
from observe.desk.live import reading
from observe.desk.live.layout import Box, split_grid
from observe.desk.live.model import LiveModel
from observe.desk.live.shield import COVERED, heed, is_up
from observe.desk.paint import MIDDLE, RIGHT, Pen, Style
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.form import Critical, Step
from observe.domain.markwords import mark_words
from observe.domain.observation import Observation
from observe.domain.printing import clock
from observe.look import tokens
from observe.look.marks import MarkLook, mark_shapes
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Token, Weight


class StepsList(QWidget):
    """Every step with its mark and time; press one to go to it."""

    def __init__(self, skin: Skin, model: LiveModel, seat: int, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.model, self.seat = skin, model, seat
        self.area = QScrollArea(self)
        self.area.setFrameShape(QScrollArea.Shape.NoFrame)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.viewport().setAutoFillBackground(False)
        self.list = QWidget()
        self.area.setWidget(self.list)
        self.list.setAutoFillBackground(False)
        self.rows: list[Row] = []
        self._at = ""
        heed(model, self.refresh)
        self.setAccessibleName("All steps")

    def resizeEvent(self, event: QResizeEvent) -> None:
        head = self.skin.px(46)
        self.area.setGeometry(1, head, self.width() - 2, max(1, self.height() - head - 1))
        self.refresh()

    def refresh(self) -> None:
        """Show every step as it is, and keep the one in front in sight."""
        state = self.model.state(self.seat)
        steps = state.steps
        while len(self.rows) < len(steps):
            row = Row(self.skin, self.list)
            row.struck.connect(partial(self._go_to, len(self.rows)))
            row.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            self.rows.append(row)
        high = max(self.skin.pick(67, 48), self.skin.mm(tokens.ROUTINE_TARGET_MM))
        wide = self.area.viewport().width()
        self.list.resize(wide, high * len(steps))
        front = reading.front_place(state)
        for place, row in enumerate(self.rows):
            row.setVisible(place < len(steps))
            if place < len(steps):
                row.setGeometry(0, place * high, wide, high)
                self._face(row, state, steps[place], passed=place < front)
        if state.board.at != self._at:
            self._at = state.board.at
            ids = [step.id for step in steps]
            at = ids.index(self._at) if self._at in ids else len(ids)
            self.area.verticalScrollBar().setValue(max(0, at - 4) * high)
        self.update()

    tick = refresh

    def _face(self, row: Row, state: Observation, step: Step, *, passed: bool) -> None:
        here = state.board.at == step.id
        covered = is_up(self.model)
        seen = MarkLook.AHEAD if covered else reading.step_look(state, step, passed=passed)
        look = MarkLook.NOW if here else seen
        phases = {one.id: one.label for one in state.ground.form.phases}
        ahead = look is MarkLook.AHEAD
        there = COVERED if covered else "ahead"
        said = "now" if here else there if ahead else mark_words(state.mark(step.id))
        placed = () if covered else state.board.placed.get(step.id)
        time = clock(placed[-1].observed_ns) if placed and placed[-1].is_timed else ""
        number = state.numbers[step.id]
        content = (look, number, step.label, f"{phases[step.phase]} · {said}", time)
        fill = Token.ACTBG if here else Token.KEY
        name = f"Step {number}, {step.label}, {said} {time}".strip()
        can = self.model.can_mark(self.seat)
        row.show_face(Face(name, paint_listed_step, content, fill=fill, can=can))

    def _go_to(self, place: int) -> None:
        step = self.model.state(self.seat).steps[place]
        self.model.do(self.seat, gestures.move_to, step.id)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.RULE, 1)
        head = QRectF(px(14), 0, box.width() - px(28), px(46))
        count = len(self.model.state(self.seat).steps)
        pen.text(head, f"All {count} steps", Style(18, Weight.BOLD, down=MIDDLE))
        note = Style(15, ink=Token.INK2, least=12, across=RIGHT, down=MIDDLE)
        pen.text(head.adjusted(px(140), 0, 0, 0), "press one to go to it", note)
        painter.end()


def paint_listed_step(
    pen: Pen, box: QRectF, ink: Token, look: MarkLook, number: int, label: str, said: str, time: str
) -> None:
    """A step in the list: mark, number, label; below it phase and state, and the time."""
    px = pen.skin.px
    pen.fill(QRectF(box.x() + px(12), box.bottom() - 1, box.width() - px(24), 1), Token.RULE)
    if look is MarkLook.NOW:
        pen.fill(QRectF(box.x(), box.y(), px(6), box.height()), Token.ACT)
    side = px(20)
    x = box.x() + px(16)
    if look is not MarkLook.NOW:
        pen.shapes(mark_shapes(look, side), round(x), round(box.center().y() - side / 2))
    inner = box.adjusted(px(48), px(4), -px(14), -px(4))
    half = inner.height() / 2
    first = QRectF(inner.x(), inner.y(), inner.width(), half)
    weight = Weight.BOLD if look is MarkLook.NOW else Weight.MEDIUM
    pen.text(first, str(number), Style(17, Weight.BOLD, Token.INK2, 13, down=MIDDLE))
    name = first.adjusted(px(32), 0, 0, 0)
    pen.text(name, label, Style(17, weight, ink, 12.5, down=MIDDLE))
    below = QRectF(name.x(), inner.y() + half, name.width(), half)
    when = pen.text(below, time, Style(15, ink=Token.INK2, least=12, across=RIGHT, down=MIDDLE))
    rest = below.adjusted(0, 0, -when.width - px(8), 0)
    pen.text(rest, said, Style(15, ink=Token.INK2, least=11.5, down=MIDDLE))


class CriticalsByName(QWidget):
    """The form's critical items, each on its own key: one tap keeps the time and names it."""

    def __init__(self, skin: Skin, model: LiveModel, seat: int, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.model, self.seat = skin, model, seat
        self.items: tuple[Critical, ...] = model.state(self.seat).ground.form.criticals
        self.keys = [Key(skin, self) for _ in self.items]
        for key, item in zip(self.keys, self.items, strict=True):
            key.struck.connect(partial(self._record, item.id))
        heed(model, self.refresh)
        self.setAccessibleName("Critical items")

    def _record(self, item: str) -> None:
        self.model.critical(self.seat, item)

    def resizeEvent(self, event: QResizeEvent) -> None:
        pad, gap = self.skin.px(10), max(self.skin.mm(tokens.CRITICAL_GAP_MM), self.skin.px(8))
        columns = 4
        rows = max(1, -(-len(self.items) // columns))
        area = Box(0, 0, self.width(), self.height()).inset(pad, pad, pad, pad)
        boxes = split_grid(area, columns, rows, gap)
        for key, box in zip(self.keys, boxes, strict=False):
            key.setGeometry(box.x, box.y, box.width, box.height)
        self.refresh()

    def refresh(self) -> None:
        """Show what was recorded of each item."""
        state = self.model.state(self.seat)
        found = () if is_up(self.model) else reading.recorded(state)
        can = self.model.can_mark(self.seat)
        for key, item in zip(self.keys, self.items, strict=True):
            mine = [one for one in found if one.item == item.id]
            last = mine[-1] if mine else None
            said = ""
            if last is not None:
                said = f"{clock(last.elapsed_ns)} {reading.occurrence_words(state, last)}"
            sign = reading.sign_of(last) if last else SignLook.ABSOLUTE
            face = Face(
                f"Critical: {item.label}. {said}",
                paint_item,
                (sign, said, item.label),
                fill=Token.CRITBG if last else Token.KEY,
                heel=Token.CRIT if last else Token.KEYHEEL,
            )
            key.show_face(face.allowed(can=can))
        self.update()

    def tick(self) -> None:
        """Nothing here moves with the time."""

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        pen.fill(QRectF(self.rect()), Token.SHEET)
        pen.frame(QRectF(self.rect()), Token.RULE, 1)
        painter.end()


def paint_item(pen: Pen, box: QRectF, ink: Token, sign: SignLook, said: str, label: str) -> None:
    """A critical item on its key: pennant, time and what it was; the label in full."""
    px = pen.skin.px
    inner = box.adjusted(px(10), px(7), -px(6), -px(4))
    side = px(20)
    pen.shapes(sign_shapes(sign, side), inner.x(), inner.y())
    if said:
        beside = QRectF(inner.x() + side + px(6), inner.y(), inner.width() - side - px(6), side)
        pen.text(beside, said, Style(15, Weight.BOLD, Token.CRIT, 11, down=MIDDLE))
    place = inner.adjusted(0, side + px(5), 0, 0)
    pen.text(place, label, Style(17, Weight.MEDIUM, ink, 12, leading=1.14))
