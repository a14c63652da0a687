"""The last pane before the seal: what was not seen, what is still open, whether time ran out."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Key, word_face
from observe.desk.live import reading
from observe.desk.live.layout import Box, split_row
from observe.desk.live.model import LiveModel
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.rating.scales import TITLE_HEIGHT, paint_title
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.form import Step
from observe.domain.marks import NOT_SEEN
from observe.domain.observation import Observation, open_reasons
from observe.domain.words import counted
from observe.look.marks import MarkLook, mark_shapes
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Weight

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
        self.time_key.setVisible(bool(late) and not state.void)
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
        px = self.skin.px
        row = max(px(56), self.skin.mm(12))
        y = px(TITLE_HEIGHT) + px(30) * max(1, len(self.missing())) + px(8)
        if self._asked is not None:
            area = Box(0, y + px(28), self.width(), row)
            offered = self._offered()
            boxes = split_row(area, (1,) * len(offered), px(8))
            for key, box in zip(self.reasons, boxes, strict=False):
                key.setGeometry(box.x, box.y, box.width, box.height)
            y += px(28) + row + px(14)
        if self.time_key.isVisibleTo(self):
            self.time_key.setGeometry(0, y, min(self.width(), px(560)), row)
            y += row + px(14)
        self._unseen_top = y

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        paint_title(pen, self, self.TITLE, self.NOTE)
        y = px(TITLE_HEIGHT)
        missing = self.missing()
        for sentence in missing or ("Nothing is missing.",):
            self._paint_line(pen, y, sentence, done=not missing)
            y += px(30)
        if self._asked is not None:
            number = self.state.numbers[self._asked.id]
            said = f"Why is step {number} not applicable? {self._asked.label}"
            place = QRectF(0, self.reasons[0].y() - px(28), self.width(), px(26))
            pen.text(place, said, Style(16, Weight.BOLD, least=12, down=MIDDLE))
        self._paint_unseen(pen)
        painter.end()

    def _paint_line(self, pen: Pen, y: float, sentence: str, *, done: bool) -> None:
        px = self.skin.px
        side = px(16)
        if done:
            pen.shapes(mark_shapes(MarkLook.DONE, side), 0, round(y + px(6)))
        else:
            pen.shapes(sign_shapes(SignLook.NEEDS_EARLIER, side), 0, round(y + px(6)))
        place = QRectF(px(28), y, self.width() - px(28), px(28))
        pen.text(place, sentence, Style(17, Weight.MEDIUM, least=12, down=MIDDLE))

    def _paint_unseen(self, pen: Pen) -> None:
        px, state = self.skin.px, self.state
        unseen = [step for step in state.steps if state.mark(step.id) == NOT_SEEN]
        y = self._unseen_top
        head = QRectF(0, y, self.width(), px(28))
        title = f"{counted(len(unseen), 'step')} not seen" if unseen else "Every step was seen"
        pen.text(head, title, Style(18, Weight.BOLD, down=MIDDLE))
        rows = -(-len(unseen) // 2)
        if not rows:
            return
        high = min(px(30), (self.height() - y - px(34)) / rows)
        half = self.width() / 2
        side = px(14)
        for place, step in enumerate(unseen):
            x = (place // rows) * half
            top = y + px(34) + (place % rows) * high
            pen.shapes(
                mark_shapes(MarkLook.NOT_SEEN, side), round(x), round(top + (high - side) / 2)
            )
            number = f"{state.numbers[step.id]}  {step.label}"
            line = QRectF(x + side + px(10), top, half - side - px(24), high)
            pen.text(line, number, Style(15, least=11, down=MIDDLE))
