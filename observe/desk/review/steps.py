"""Every step with its coefficient on one axis, the most worrying first."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.paint import CENTRE, MIDDLE, RIGHT, Pen, Style
from observe.desk.review.panel import FOOT, HEAD_PX, Panel, coefficient
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.look.boxes import Axis, Bounds, bounds_shapes
from observe.look.tokens import Token, Weight
from observe.work.reviewing import Review, StepRow

AXIS = Axis(-0.4, 1.0, (0.0, 0.4, 0.8))
WORST = 6
"""So many rows have their names in bold where their interval reaches below the limit."""
LABEL = Style(15, least=11.5, down=MIDDLE)
NUMBER = Style(15, Weight.BOLD, Token.INK2, 12, down=MIDDLE)
FIGURE = Style(15, least=12, across=RIGHT, down=MIDDLE)
TICK = Style(14, ink=Token.INK2, least=11.5, across=CENTRE, down=MIDDLE)
ROW_PX = 37
KEY_COLUMNS = (62, 54, 52)
"""Px at the right: the value, percent agreement, pairs."""


class StepList(QWidget):
    """The rows, as high as they need."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.rows: tuple[StepRow, ...] = ()
        self.limit = 0.4

    def row_height(self, width: int) -> int:
        """Px of height of each row in a width."""
        px = self.skin.px
        names = [row.step.label for row in self.rows]
        wide = self._label_wide(width)
        tall = max((height_of(self.skin, one, wide, LABEL) for one in names), default=0)
        return max(px(ROW_PX), tall + px(6))

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        return max(1, len(self.rows) * self.row_height(width))

    def axis_at(self, width: int) -> tuple[float, float]:
        """Where the axis begins, and how wide it is."""
        px = self.skin.px
        right = width - px(sum(KEY_COLUMNS)) - px(8)
        left = px(34) + self._label_wide(width) + px(10)
        return left, max(px(60), right - left)

    def _label_wide(self, width: int) -> int:
        px = self.skin.px
        rest = width - px(34) - px(sum(KEY_COLUMNS)) - px(18)
        return max(px(90), round(rest * 0.6))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        high = self.row_height(self.width())
        left, wide = self.axis_at(self.width())
        total = high * len(self.rows)
        limit = left + AXIS.place(self.limit, wide)
        pen.fill(QRectF(round(left + AXIS.place(0, wide)), 0, 1, total), Token.LINE)
        _dashes(pen, round(limit), total)
        for place, row in enumerate(self.rows):
            self._paint_row(pen, QRectF(0, place * high, self.width(), high), row, place)
        painter.end()

    def _paint_row(self, pen: Pen, box: QRectF, row: StepRow, place: int) -> None:
        px = self.skin.px
        found = row.found
        low = found.low if found.low is not None else found.value
        worrying = low is not None and low < self.limit
        pen.fill(QRectF(box.x(), box.bottom() - 1, box.width(), 1), Token.RULE)
        pen.text(QRectF(box.x(), box.y(), px(30), box.height()), str(row.number), NUMBER)
        weight = Weight.BOLD if worrying and place < WORST else Weight.REGULAR
        label = QRectF(px(34), box.y(), self._label_wide(self.width()), box.height())
        style = Style(LABEL.size, weight, Token.INK, LABEL.least, down=MIDDLE)
        pen.text(label, row.step.label, style)
        left, wide = self.axis_at(self.width())
        token = Token.WRONG if worrying else Token.DONE
        if found.value is not None:
            high = min(px(22), box.height() - 6)
            ends = (found.low, found.high)
            known = None not in ends
            bounds = Bounds(
                found.low if found.low is not None else found.value,
                found.high if found.high is not None else found.value,
                found.value,
            )
            shapes = bounds_shapes(bounds, AXIS, wide, high, ink=token, head=False)
            pen.shapes(shapes, left, round(box.center().y() - high / 2))
            said = coefficient(found.value) if known else f"({coefficient(found.value)})"
        else:
            said = "/"
        x = box.right() - px(sum(KEY_COLUMNS))
        for text, column in zip(
            (said, _whole(row.percent.value), str(row.pairs)), KEY_COLUMNS, strict=True
        ):
            pen.text(QRectF(x, box.y(), px(column) - px(4), box.height()), text, FIGURE)
            x += px(column)


def _dashes(pen: Pen, x: float, total: float) -> None:
    px = pen.skin.px
    y = 0.0
    while y < total:
        pen.fill(QRectF(x, y, 2, min(px(5), total - y)), Token.INK2)
        y += px(9)


def _whole(share: float | None) -> str:
    return "…" if share is None else f"{100 * share:.0f} %"


class StepsPanel(Panel):
    """Heads of the columns, the rows, and what the colours mean."""

    title = "Steps, most worrying first"

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(skin, parent)
        self.list = StepList(skin)
        self.area = Tall(skin, self, self.list, self.list.needed)

    def show_review(self, made: Review | None, empty: tuple[str, str]) -> None:
        """Show the steps of a review; as `Panel.show_review`."""
        has = made is not None and bool(made.gathered.planned)
        self.list.rows = made.steps if made is not None and has else ()
        super().show_review(made, empty)
        self.list.setAccessibleName(self.accessibleName())
        self.area.setVisible(has)
        self.lay_out()

    @property
    def note(self) -> str:
        """Which coefficient the axis is of."""
        labels = {row.found.label for row in self.list.rows if row.found.value is not None}
        if not labels:
            return ""
        return f"{', '.join(sorted(labels))}, {100 * self.list.rows[0].found.level:.0f} %"

    def read_out(self) -> str:
        """Every row in words."""
        return " ".join(_spoken(row) for row in self.list.rows)

    def needed(self, width: int) -> int:
        """Px of height in a width, where panels stand below each other."""
        px, inner = self.skin.px, width - self.skin.px(28)
        foot = height_of(self.skin, self._foot(), inner, FOOT)
        return px(HEAD_PX + 30) + self.list.needed(inner) + foot + px(24)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def _foot(self) -> str:
        return (
            f"Dashed: {coefficient(self.list.limit)}. Rust: the interval reaches below it. In "
            "brackets: no interval. Stroke: not estimable."
        )

    def lay_out(self) -> None:
        """Place the rows between the heads and the sentence below."""
        px = self.skin.px
        top = px(HEAD_PX + 26)
        foot = height_of(self.skin, self._foot(), self.width() - px(28), FOOT)
        high = self.height() - top - foot - px(14)
        self.area.setGeometry(px(14), top, max(1, self.width() - px(20)), max(1, high))
        self.area.lay_out()

    def paint_content(self, pen: Pen, inside: QRectF) -> None:
        """Heads and foot; the rows paint themselves."""
        self._paint_heads(pen)
        self.paint_foot(pen, inside, self._foot())

    def _paint_heads(self, pen: Pen) -> None:
        px, width = self.skin.px, self.list.width()
        y, high = px(HEAD_PX), px(24)
        left, wide = self.list.axis_at(width)
        for tick in AXIS.ticks:
            x = px(14) + left + AXIS.place(tick, wide)
            pen.text(QRectF(x - px(24), y, px(48), high), coefficient(tick) if tick else "0", TICK)
        x = px(14) + width - px(sum(KEY_COLUMNS))
        style = Style(14, ink=Token.INK2, least=11.5, across=RIGHT, down=MIDDLE)
        for word, column in zip(("value", "same", "pairs"), KEY_COLUMNS, strict=True):
            pen.text(QRectF(x, y, px(column) - px(4), high), word, style)
            x += px(column)


def _spoken(row: StepRow) -> str:
    said = (
        f"Step {row.number}, {row.step.label}: {row.pairs} pairs, {_whole(row.percent.value)} same"
    )
    found = row.found
    if found.value is None:
        return f"{said}. {found.label} not estimable: {found.undefined}"
    said = f"{said}, {found.label} {coefficient(found.value)}"
    if found.low is None or found.high is None:
        return f"{said}, no interval."
    return f"{said}, {coefficient(found.low)} to {coefficient(found.high)}."
