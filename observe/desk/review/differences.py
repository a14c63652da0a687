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
        foot = self.paint_foot(pen, inside, self._foot())
        box = inside.adjusted(px(40), px(6), -px(6), -foot - px(30))
        if box.height() >= px(40) and box.width() >= px(60):
            plot = _Plot(box, self.made.totals)
            plot.paint_lines(pen)
            plot.paint_ticks(pen)
            plot.paint_points(pen)


class _Plot:
    """One plot in a box: means across, differences down."""

    def __init__(self, box: QRectF, totals: Totals) -> None:
        self.box, self.totals = box, totals
        self.low, self.high = _range_down(totals)
        self.left, self.right = _range_across(totals)

    def x(self, mean: float) -> float:
        """Px of a mean score."""
        share = (mean - self.left) / (self.right - self.left)
        return self.box.x() + share * self.box.width()

    def y(self, difference: float) -> float:
        """Px of a difference."""
        share = (difference - self.low) / (self.high - self.low)
        return self.box.bottom() - share * self.box.height()

    def paint_lines(self, pen: Pen) -> None:
        """Bias and limits, each over the band of its own interval, and no difference."""
        box, totals = self.box, self.totals
        for line in (totals.bias, totals.low, totals.high):
            if line.low is not None and line.high is not None:
                top, bottom = self.y(line.high), self.y(line.low)
                pen.fill(QRectF(box.x(), top, box.width(), max(1.0, bottom - top)), Token.DONEBG)
        pen.fill(QRectF(box.x(), round(self.y(0)), box.width(), 1), Token.LINE)
        for line, dashed in ((totals.bias, False), (totals.low, True), (totals.high, True)):
            if line.value is not None:
                _line(pen, box, self.y(line.value), dashed=dashed)

    def paint_ticks(self, pen: Pen) -> None:
        """Numbers along both axes."""
        px, box = pen.skin.px, self.box
        for value in _ticks(self.low, self.high):
            row = QRectF(box.x() - px(40), self.y(value) - px(9), px(36), px(18))
            pen.text(row, points(value).removesuffix(".0"), TICK)
        for value in _ticks(self.left, self.right):
            place = QRectF(self.x(value) - px(22), box.bottom() + px(4), px(44), px(20))
            pen.text(place, f"{value:.0f}", BELOW)

    def paint_points(self, pen: Pen) -> None:
        """A square for each attempt."""
        side = pen.skin.px(SIDE_PX)
        for mean, difference in self.totals.points:
            x, y = self.x(mean) - side / 2, self.y(difference) - side / 2
            pen.fill(QRectF(round(x), round(y), side, side), Token.INK)


def _ticks(low: float, high: float) -> list[float]:
    """At most seven round numbers from low to high."""
    spans = (5.0, 10.0, 20.0, 25.0, 50.0, 100.0)
    step = next((one for one in spans if (high - low) / one <= 6), 100.0)
    return [at * step for at in range(ceil(low / step), floor(high / step) + 1)]


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
