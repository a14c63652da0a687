"""Each observer's severity on one axis, with what is said of how they marked."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from observe.desk.paint import CENTRE, MIDDLE, RIGHT, Pen, Style
from observe.desk.review.panel import EMPTY, HEAD_PX, HELP, NOTE, TITLE, points
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.look.boxes import Axis, Bounds, bounds_shapes
from observe.look.tokens import LINE_HEIGHT_READING, Token, Weight
from observe.work.file_severity import OneObserver, SeverityStudy
from observe.work.severity_logbook import Habits
from observe.work.severity_reports import contrast_line, drift_line, habits_line

NAME = Style(16, Weight.BOLD, least=12.5, down=MIDDLE)
SAID = Style(14, ink=Token.INK2, leading=LINE_HEIGHT_READING)
FIGURE = Style(15, least=12, across=RIGHT, down=MIDDLE)
TICK = Style(14, ink=Token.INK2, least=11.5, across=CENTRE, down=MIDDLE)
LEGEND = Style(14, ink=Token.INK2, least=11.5, across=RIGHT, down=MIDDLE)
ROW_PX = 38
STEPS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
COLUMNS = (("points", 76), ("allowing for chance", 108), ("scores", 66), ("shared", 66))
"""At the right: the heads of the figures, and px of width."""


class ObserverRows(QWidget):
    """The rows, the sentences below each, and what a reader has to know."""

    title = "Observers, the most severe first"

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.study: SeverityStudy | None = None
        self.habits: Mapping[str, Habits] = {}
        self.empty: tuple[str, str] = ("", "")

    def show_study(
        self, study: SeverityStudy | None, habits: Mapping[str, Habits], empty: tuple[str, str]
    ) -> None:
        """Show a study. empty: what is missing and what would help, where there is none."""
        self.study, self.habits, self.empty = study, habits, empty
        said = " ".join(spoken(one) for one in self.ordered) if study else " ".join(empty)
        self.setAccessibleName(f"{self.title}. {said}")
        self.update()

    @property
    def ordered(self) -> tuple[OneObserver, ...]:
        """The observers as they stand, the most severe first."""
        found = self.study.observers if self.study else ()
        return tuple(sorted(found, key=lambda one: one.effect.fixed))

    @property
    def axis(self) -> Axis:
        """An axis round 0 on which every interval lies."""
        ends = [
            abs(end)
            for one in self.ordered
            for end in (one.effect.fixed, one.effect.low, one.effect.high)
            if end is not None
        ]
        step = _step(max(ends, default=1.0))
        most = step * max(1, ceil(max(ends, default=1.0) / step))
        return Axis(-most, most, tuple(place * step for place in _places(most, step)))

    # geometry

    def _left(self) -> int:
        return self.skin.px(14)

    def _figures(self) -> int:
        return round(self.skin.px(sum(wide for _, wide in COLUMNS)) * self.skin.text)

    def _axis_at(self, width: int) -> tuple[float, float]:
        px = self.skin.px
        left = self._left() + max(px(120), round((width - self._figures()) * 0.28))
        return left + px(14), max(px(60), width - self._figures() - left - px(40))

    def _row_px(self) -> int:
        return max(self.skin.px(ROW_PX), self.skin.text_px(NAME.size) * 2 + self.skin.px(4))

    def _said_wide(self, width: int) -> float:
        return float(width - 2 * self._left())

    def _row_height(self, one: OneObserver, width: int) -> int:
        said = " ".join(sentences(one, self.habits))
        return (
            self._row_px()
            + height_of(self.skin, said, self._said_wide(width), SAID)
            + self.skin.px(10)
        )

    def _notes(self) -> str:
        if self.study is None:
            return ""
        said = (self.study.adjusting.sentence,) if self.study.adjusting else ()
        return " ".join((*said, FOOT_SAID, *self.study.notes))

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        px = self.skin.px
        if self.study is None:
            wide = width - px(60)
            texts = zip(self.empty, (EMPTY, HELP), strict=True)
            return px(HEAD_PX + 60) + sum(height_of(self.skin, t, wide, s) for t, s in texts)
        rows = sum(self._row_height(one, width) for one in self.ordered)
        notes = height_of(self.skin, self._notes(), self._said_wide(width), SAID)
        return px(HEAD_PX) + self._row_px() + rows + notes + px(28)

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.RULE, 1)
        head = QRectF(self._left(), px(2), box.width() - 2 * self._left(), px(HEAD_PX - 4))
        half = head.width() * (0.6 if self.study else 1)
        title = pen.text(QRectF(head.x(), head.y(), half, head.height()), self.title, TITLE)
        if self.study is None:
            self._paint_empty(pen, box)
        else:
            left = head.x() + title.width + px(10)
            said = "points of the score, with 95 % interval"
            room = QRectF(left, head.y(), head.right() - left, head.height())
            pen.text(room, said, NOTE, shorter=("points, 95 % interval", "points"))
            self._paint_rows(pen)
        painter.end()

    def _paint_empty(self, pen: Pen, box: QRectF) -> None:
        px = self.skin.px
        missing, helps = self.empty
        inside = box.adjusted(px(24), px(HEAD_PX + 20), -px(24), -px(8))
        high = height_of(self.skin, missing, inside.width(), EMPTY)
        pen.text(QRectF(inside.x(), inside.y(), inside.width(), high), missing, EMPTY)
        pen.text(inside.adjusted(0, high + px(8), 0, 0), helps, HELP)

    def _paint_rows(self, pen: Pen) -> None:
        px, width, axis = self.skin.px, self.width(), self.axis
        left, wide = self._axis_at(width)
        high, y = self._row_px(), float(px(HEAD_PX))
        for tick in axis.ticks:
            x = left + axis.place(tick, wide)
            pen.text(QRectF(x - px(30), y, px(60), high), points(tick) if tick else "0", TICK)
        x = float(width - self._left() - self._figures())
        for word, column in COLUMNS:
            room = round(px(column) * self.skin.text)
            pen.text(QRectF(x, y, room - px(4), high), word, LEGEND)
            x += room
        y += high
        for one in self.ordered:
            self._paint_row(pen, one, y)
            y += self._row_height(one, width)
        rest = QRectF(self._left(), y + px(8), self._said_wide(width), self.height() - y - px(8))
        pen.text(rest, self._notes(), SAID)

    def _paint_row(self, pen: Pen, one: OneObserver, y: float) -> None:
        px, width, axis = self.skin.px, self.width(), self.axis
        left, wide = self._axis_at(width)
        high, effect = self._row_px(), one.effect
        pen.fill(QRectF(self._left(), y, width - 2 * self._left(), 1), Token.RULE)
        pen.text(QRectF(self._left(), y, left - self._left() - px(14), high), effect.observer, NAME)
        pen.fill(QRectF(round(left + axis.place(0, wide)), y + 1, 1, high - 1), Token.LINE)
        low = effect.fixed if effect.low is None else effect.low
        top = effect.fixed if effect.high is None else effect.high
        shapes = bounds_shapes(
            Bounds(low, top, effect.fixed), axis, wide, min(px(22), high - 6), head=False
        )
        pen.shapes(shapes, left, round(y + (high - min(px(22), high - 6)) / 2))
        x = float(width - self._left() - self._figures())
        texts = (points(effect.fixed), points(effect.effect), effect.scores, effect.shared)
        for text, (_, column) in zip(texts, COLUMNS, strict=True):
            room = round(px(column) * self.skin.text)
            pen.text(QRectF(x, y, room - px(4), high), str(text), FIGURE)
            x += room
        said = " ".join(sentences(one, self.habits))
        room_below = self._row_height(one, width) - high
        pen.text(QRectF(self._left(), y + high, self._said_wide(width), room_below), said, SAID)


FOOT_SAID = (
    "Left of 0 is severe, right of it lenient. Box: 95 % interval; no box: too few scores for one. "
    "Shared: learners whom others scored too."
)


def sentences(one: OneObserver, habits: Mapping[str, Habits]) -> tuple[str, ...]:
    """What is said below an observer's row."""
    habit = habits.get(one.effect.observer)
    lines = (drift_line(one), contrast_line(one))
    return (*lines, habits_line(habit)) if habit else lines


def spoken(one: OneObserver) -> str:
    """A row in words."""
    effect = one.effect
    span = "no interval"
    if effect.low is not None and effect.high is not None:
        span = f"{points(effect.low)} to {points(effect.high)}"
    return (
        f"{effect.observer}: {points(effect.fixed)} points, {span}; {points(effect.effect)} "
        f"allowing for chance; {effect.scores} scores, {effect.shared} learners shared."
    )


def _step(most: float) -> float:
    """A round step of percent, of which at most four reach as far as `most`."""
    return next((step for step in STEPS if most <= 4 * step), STEPS[-1])


def _places(most: float, step: float) -> range:
    last = round(most / step)
    return range(-last, last + 1)
