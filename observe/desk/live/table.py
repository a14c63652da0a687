"""The table: everybody's rod, where every seat has its own full set of keys."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Row
from observe.desk.live import reading
from observe.desk.live.edge import LAMP_WORD, paint_lamp
from observe.desk.live.model import LiveModel
from observe.desk.live.rod_strip import RodReading, paint_rod, rod_reading
from observe.desk.live.shield import COVERED, covered_rod, heed, is_up
from observe.desk.paint import MIDDLE, RIGHT, Pen, Style
from observe.desk.theme import Skin
from observe.look.tokens import Token, Weight

TITLE = "The table"
LEGEND = "width of a step: its weight; dots on the sill: passed unseen"


@dataclass(frozen=True, slots=True)
class RowReading:
    """What a row says. lit: the lamp is on this seat."""

    number: int
    name: str
    seen: str
    looked: str
    rod: RodReading
    lit: bool = False


class TablePanel(QWidget):
    """One row for each seat; pressing it brings the learner to the front."""

    def __init__(self, skin: Skin, model: LiveModel, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.model = skin, model
        self.lit: int | None = None
        self.rows = [Row(skin, self) for _ in range(len(model))]
        for seat, row in enumerate(self.rows):
            row.struck.connect(partial(model.look, seat))
        heed(model, self.refresh)
        self.setAccessibleName(TITLE)

    def resizeEvent(self, event: QResizeEvent) -> None:
        px = self.skin.px
        head = px(52)
        high = min(px(84), max(1, (self.height() - head - px(8)) // len(self.rows)))
        for place, row in enumerate(self.rows):
            row.setGeometry(px(8), head + place * high, self.width() - px(16), high)
        self.refresh()

    def light(self, seat: int | None) -> None:
        """Put the lamp on the row of a seat, or on none."""
        before, self.lit = self.lit, seat
        if before != seat:
            self.refresh_seats(one for one in (before, seat) if one is not None)

    def refresh(self) -> None:
        """Show every learner as they are; only what changed is repainted."""
        self.refresh_seats(range(len(self.rows)))

    def refresh_seats(self, seats: Iterable[int]) -> None:
        """Show some learners as they are."""
        covered = is_up(self.model)
        for seat in seats:
            row = self.rows[seat]
            state = self.model.state(seat)
            since = reading.ago(self.model.since_look_ns(seat))
            looked = f"{since} ago" if state.clock.started and not state.sealed else ""
            looked = "sealed" if state.sealed else looked
            number, name = self.model.number(seat), self.model.name(seat)
            seen = COVERED if covered else reading.seen_words(state)
            rod = covered_rod(rod_reading(state)) if covered else rod_reading(state)
            fill = Token.ACTBG if seat == self.model.front else Token.SHEET
            lamp = f"{LAMP_WORD}, " if seat == self.lit else ""
            shown = RowReading(number, name, seen, looked, rod, lit=seat == self.lit)
            said = f"Seat {number}, {name}, {seen}, {lamp}{looked}"
            row.show_face(Face(said, paint_table_row, (shown,), fill=fill))

    tick = refresh

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.RULE, 1)
        head = box.adjusted(px(18), px(6), -px(18), 0)
        head.setHeight(px(42))
        title = pen.text(head, TITLE, Style(19, Weight.BOLD, down=MIDDLE))
        legend = head.adjusted(title.width + px(16), 0, 0, 0)
        pen.text(legend, LEGEND, Style(14, ink=Token.INK2, least=12, across=RIGHT, down=MIDDLE))
        painter.end()


def paint_table_row(pen: Pen, box: QRectF, ink: Token, shown: RowReading) -> None:
    """Number, name, rod, how much was seen and how long ago; the lamp if it is here."""
    px = pen.skin.px
    inner = box.adjusted(px(10), 0, -px(10), 0)
    pen.fill(QRectF(inner.x(), box.bottom() - 1, inner.width(), 1), Token.RULE)
    pen.text(inner, str(shown.number), Style(18, Weight.BLACK, Token.INK2, down=MIDDLE))
    left, names = px(34), round(box.width() * 0.24)
    place = QRectF(inner.x() + left, box.y(), names, box.height())
    style = Style(18, Weight.BOLD, ink, 15, down=MIDDLE)
    pen.text(place, shown.name, style, shorter=reading.initials(shown.name))
    end, seen_width = px(74), px(92)
    last = QRectF(inner.right() - end, box.y(), end, box.height())
    if shown.lit:
        _paint_lit(pen, box, last, shown.looked)
    else:
        pen.text(
            last, shown.looked, Style(15, ink=Token.INK2, least=12.5, across=RIGHT, down=MIDDLE)
        )
    part = QRectF(last.x() - seen_width, box.y(), seen_width, box.height())
    pen.text(part, shown.seen, Style(15, Weight.MEDIUM, ink, 12.5, across=RIGHT, down=MIDDLE))
    x = place.right() + px(12)
    high = px(18)
    y = round(box.center().y() - high / 2)
    paint_rod(pen, shown.rod, x, y, max(1, round(part.x() - x - px(12))), high)


def _paint_lit(pen: Pen, row: QRectF, last: QRectF, looked: str) -> None:
    """The lamp at the end of a row, above the time where there is height for both."""
    px = pen.skin.px
    high, line = px(22), px(20)
    wide = last.adjusted(-px(18), 0, 0, 0)
    both = row.height() >= high + line + px(8)
    top = row.center().y() - (high + (line if both else 0)) / 2
    chip = QRectF(wide.x(), top, wide.width(), high)
    paint_lamp(pen, chip, "", 14)
    if both:
        below = QRectF(last.x(), chip.bottom(), last.width(), line)
        pen.text(below, looked, Style(15, ink=Token.INK2, least=12.5, across=RIGHT, down=MIDDLE))
