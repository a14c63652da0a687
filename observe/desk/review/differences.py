"""Score differences of two observers by their mean, with bias and limits of agreement."""

from __future__ import annotations

from math import ceil, floor

from PySide6.QtCore import QRectF

from observe.desk.paint import CENTRE, MIDDLE, RIGHT, Pen, Style
from observe.desk.review.panel import FOOT, HEAD_PX, Panel, points
from observe.desk.tall import height_of
from observe.look.tokens import Token
from observe.work.reviewing import Totals

TICK = Style(13, ink=Token.INK2, least=10.5, across=RIGHT, down=MIDDLE)
BELOW = Style(13, ink=Token.INK2, least=10.5, across=CENTRE, down=MIDDLE)
SIDE_PX = 5
STEP = 5.0


class DifferencesPanel(Panel):
    """A square for each attempt; bands are the intervals of the lines."""

    title = "Score differences"

    @property
    def note(self) -> str:
        """What is drawn upward and to the right."""
        return "points, by mean score"

    @property
    def is_filled(self) -> bool:
        return self.made is not None and bool(self.made.totals.points)

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        px = self.skin.px
        return px(HEAD_PX + 300) + height_of(self.skin, self._foot(), width - px(28), FOOT)

    def read_out(self) -> str:
        """Bias and limits in words."""
        return self._foot()

    def _foot(self) -> str:
        if self.made is None:
            return ""
        return sentence(self.made.totals)

    def paint_content(self, pen: Pen, inside: QRectF) -> None:
        """The plot, and one sentence below it."""
        px = self.skin.px
        if self.made is None:
            return
        totals = self.made.totals
        foot = height_of(self.skin, self._foot(), inside.width(), FOOT)
        pen.text(
            QRectF(inside.x(), inside.bottom() - foot, inside.width(), foot), self._foot(), FOOT
        )
        plot = inside.adjusted(px(40), px(6), -px(6), -foot - px(30))
        if plot.height() < px(40) or plot.width() < px(60):
            return
        low, high = _range_down(totals)
        left, right = _range_across(totals)

        def x_of(mean: float) -> float:
            return plot.x() + (mean - left) / (right - left) * plot.width()

        def y_of(difference: float) -> float:
            return plot.bottom() - (difference - low) / (high - low) * plot.height()

        for line in (totals.bias, totals.low, totals.high):
            if line.low is not None and line.high is not None:
                top, bottom = y_of(line.high), y_of(line.low)
                pen.fill(QRectF(plot.x(), top, plot.width(), max(1.0, bottom - top)), Token.DONEBG)
        pen.fill(QRectF(plot.x(), round(y_of(0)), plot.width(), 1), Token.LINE)
        for line, dashed in ((totals.bias, False), (totals.low, True), (totals.high, True)):
            if line.value is not None:
                _line(pen, plot, y_of(line.value), dashed=dashed)
        step = _tick_step(high - low)
        value = ceil(low / step) * step
        while value <= high:
            row = QRectF(inside.x(), y_of(value) - px(9), px(36), px(18))
            pen.text(row, points(value) if value else "0", TICK)
            value += step
        across = _tick_step(right - left)
        value = ceil(left / across) * across
        while value <= right:
            place = QRectF(x_of(value) - px(22), plot.bottom() + px(4), px(44), px(20))
            pen.text(place, f"{value:.0f}", BELOW)
            value += across
        side = px(SIDE_PX)
        for mean, difference in totals.points:
            x, y = x_of(mean) - side / 2, y_of(difference) - side / 2
            pen.fill(QRectF(round(x), round(y), side, side), Token.INK)


def _line(pen: Pen, plot: QRectF, y: float, *, dashed: bool) -> None:
    if not dashed:
        pen.fill(QRectF(plot.x(), round(y) - 1, plot.width(), 2), Token.DONE)
        return
    x = plot.x()
    while x < plot.right():
        wide = min(pen.skin.px(8), plot.right() - x)
        pen.fill(QRectF(x, round(y) - 1, wide, 2), Token.DONE)
        x += pen.skin.px(13)


def _range_down(totals: Totals) -> tuple[float, float]:
    values = [difference for _, difference in totals.points] + [0.0]
    for one in (totals.bias, totals.low, totals.high):
        values += [end for end in (one.value, one.low, one.high) if end is not None]
    least, most = floor(min(values) / STEP) * STEP, ceil(max(values) / STEP) * STEP
    return (least - STEP, most + STEP) if least == most else (least, most)


def _range_across(totals: Totals) -> tuple[float, float]:
    means = [mean for mean, _ in totals.points]
    least, most = floor(min(means) / 10) * 10.0, ceil(max(means) / 10) * 10.0
    return (least - 10, most + 10) if least == most else (least, most)


def _tick_step(span: float) -> float:
    for step in (5.0, 10.0, 20.0, 25.0, 50.0):
        if span / step <= 6:
            return step
    return 100.0


def sentence(totals: Totals) -> str:
    """Bias and limits with n, or why there are none."""
    bias, low, high = totals.bias, totals.low, totals.high
    count = len(totals.points)
    head = "First minus second observer, on the steps that both saw"
    if bias.value is None or low.value is None or high.value is None:
        return f"{head}, n {count}. Limits are not estimable: {bias.undefined or low.undefined}"
    few = "" if count >= 40 else " Limits are rough under 40."
    return (
        f"{head}. Bias {points(bias.value)}, limits {points(low.value)} to {points(high.value)}, "
        f"n {count}.{few}"
    )
