"""The last pane before the seal: what was not seen, what is still open, whether time ran out."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Key, word_face
from observe.desk.live import reading
from observe.desk.live.layout import Box, split_grid, split_row
from observe.desk.live.model import LiveModel
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.rating.scales import paint_title, title_height
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.form import Step
from observe.domain.marks import NOT_SEEN
from observe.domain.observation import Observation, open_reasons
from observe.domain.words import counted
from observe.look.marks import MarkLook, mark_shapes
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Weight

LINE = Style(17, Weight.MEDIUM, least=12, down=MIDDLE)
WHY = Style(16, Weight.BOLD, least=12, down=MIDDLE)
UNSEEN = Style(15, least=11, down=MIDDLE)
DEFAULT_REASONS = ("Not possible on this trainer", "Does not apply to this case")


class SummaryPane(QWidget):
    """One screen: missing answers, reasons still asked, time, and steps not seen by name."""

    TITLE = "Before you seal"
    NOTE = "After the seal a change is an amendment, with a reason."

    def __init__(self, skin: Skin, model: LiveModel, seat: int, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.model, self.seat = skin, model, seat
        self.time_key = Key(skin, self)
        self.time_key.struck.connect(self._call_time)
        self.reasons = [Key(skin, self) for _ in range(3)]
        for place, key in enumerate(self.reasons):
            key.struck.connect(partial(self._give_reason, place))
        self._asked: Step | None = None
        self._unseen_top = 0
        self.setAccessibleName(f"{self.TITLE}. {self.NOTE}")

    @property
    def state(self) -> Observation:
        return self.model.state(self.seat)

    def missing(self) -> tuple[str, ...]:
        """What is still to be said, in sentences."""
        return gestures.missing(self.state)

    def refresh(self) -> None:
        """Show what is open."""
        state = self.state
        ahead = state.steps[reading.front_place(state) :]
        late = [step for step in ahead if state.mark(step.id) == NOT_SEEN]
        self.time_key.setVisible(bool(late) and not (state.void or state.handed))
        words = f"Time was up: mark {counted(len(late), 'step')} not reached as not done"
        self.time_key.show_face(word_face(words))
        waiting = open_reasons(state)
        self._asked = state.ground.form.step[waiting[0]] if waiting else None
        offered = self._offered()
        for place, key in enumerate(self.reasons):
            key.setVisible(place < len(offered))
            if place < len(offered):
                key.show_face(word_face(offered[place]))
        self._lay_out()
        self.update()

    def _offered(self) -> tuple[str, ...]:
        return (self._asked.reasons or DEFAULT_REASONS)[:3] if self._asked else ()

    def _call_time(self) -> None:
        self.model.do(self.seat, gestures.call_time)

    def _give_reason(self, place: int) -> None:
        offered = self._offered()
        if self._asked is not None and place < len(offered):
            self.model.do(self.seat, gestures.give_reason, self._asked.id, offered[place])

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _lay_out(self) -> None:
        px, wide = self.skin.px, self.width()
        row = max(px(56), self.skin.mm(12))
        y = self._top(wide) + sum(self._line_heights(wide)) + px(8)
        if self._asked is not None:
            head = self._why_high(wide)
            area = Box(0, y + head, wide, self._reasons_high(row))
            offered = self._offered()
            boxes = split_row(area, (1,) * len(offered), px(8))
            if self.skin.text > 1:
                boxes = split_grid(area, 1, len(offered), px(8))
            for key, box in zip(self.reasons, boxes, strict=False):
                key.setGeometry(box.x, box.y, box.width, box.height)
            y += head + area.height + px(14)
        if self.time_key.isVisibleTo(self):
            self.time_key.setGeometry(0, y, min(wide, px(560)), row)
            y += row + px(14)
        self._unseen_top = y

    def _top(self, width: int) -> int:
        return title_height(self.skin, width, self.TITLE, self.NOTE)

    def _lines(self) -> tuple[str, ...]:
        return self.missing() or ("Nothing is missing.",)

    def _line_heights(self, width: int) -> list[int]:
        """Px of height of each sentence of what is missing."""
        px = self.skin.px
        wide = width - px(28)
        return [max(px(30), height_of(self.skin, one, wide, LINE) + 8) for one in self._lines()]

    def _why(self) -> str:
        if self._asked is None:
            return ""
        number = self.state.numbers[self._asked.id]
        return f"Why is step {number} not applicable? {self._asked.label}"

    def _why_high(self, width: int) -> int:
        return max(self.skin.px(28), height_of(self.skin, self._why(), width, WHY) + 8)

    def _reasons_high(self, row: int) -> int:
        """Px of height of the reasons: in a row, or one below the other where text is enlarged."""
        count = len(self._offered()) if self.skin.text > 1 else 1
        return count * (row + self.skin.px(8)) - self.skin.px(8)

    def _unseen(self) -> list[Step]:
        state = self.state
        return [step for step in state.steps if state.mark(step.id) == NOT_SEEN]

    def _columns(self, width: int) -> int:
        return 2 if self.skin.text == 1 or width >= self.skin.px(600) else 1

    def _unseen_high(self, width: int) -> int:
        """Px of height of each step not seen."""
        px = self.skin.px
        wide = width / self._columns(width) - px(38)
        numbers = self.state.numbers
        said = [f"{numbers[step.id]}  {step.label}" for step in self._unseen()]
        return max([px(20), *(height_of(self.skin, one, wide, UNSEEN) + 6 for one in said)])

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        px = self.skin.px
        row = max(px(56), self.skin.mm(12))
        y = self._top(width) + sum(self._line_heights(width)) + px(8)
        if self._asked is not None:
            y += self._why_high(width) + self._reasons_high(row) + px(14)
        if self.time_key.isVisibleTo(self):
            y += row + px(14)
        if self.skin.text == 1:
            return y
        rows = -(-len(self._unseen()) // self._columns(width))
        return y + px(34) + rows * self._unseen_high(width)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        paint_title(pen, self, self.TITLE, self.NOTE)
        y = self._top(self.width())
        done = not self.missing()
        for sentence, high in zip(self._lines(), self._line_heights(self.width()), strict=True):
            self._paint_line(pen, QRectF(0, y, self.width(), high), sentence, done=done)
            y += high
        if self._asked is not None:
            high = self._why_high(self.width())
            place = QRectF(0, self.reasons[0].y() - high, self.width(), high - px(2))
            pen.text(place, self._why(), WHY)
        self._paint_unseen(pen)
        painter.end()

    def _paint_line(self, pen: Pen, box: QRectF, sentence: str, *, done: bool) -> None:
        px = self.skin.px
        side, y = px(16), round(box.y() + px(6))
        if done:
            pen.shapes(mark_shapes(MarkLook.DONE, side), 0, y)
        else:
            pen.shapes(sign_shapes(SignLook.NEEDS_EARLIER, side), 0, y)
        pen.text(box.adjusted(px(28), 0, 0, -px(2)), sentence, LINE)

    def _paint_unseen(self, pen: Pen) -> None:
        px, state = self.skin.px, self.state
        unseen = self._unseen()
        y = self._unseen_top
        head = QRectF(0, y, self.width(), px(28))
        title = f"{counted(len(unseen), 'step')} not seen" if unseen else "Every step was seen"
        pen.text(head, title, Style(18, Weight.BOLD, down=MIDDLE))
        columns = self._columns(self.width())
        rows = -(-len(unseen) // columns)
        if not rows:
            return
        most = max(px(30), self._unseen_high(self.width()))
        high = min(most, (self.height() - y - px(34)) / rows)
        half = self.width() / columns
        side = px(14)
        for place, step in enumerate(unseen):
            x = (place // rows) * half
            top = y + px(34) + (place % rows) * high
            pen.shapes(
                mark_shapes(MarkLook.NOT_SEEN, side), round(x), round(top + (high - side) / 2)
            )
            number = f"{state.numbers[step.id]}  {step.label}"
            line = QRectF(x + side + px(10), top, half - side - px(24), high)
            pen.text(line, number, UNSEEN)
