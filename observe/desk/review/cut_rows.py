"""Cuts side by side: the scores on an axis, and below them each method's cut with its interval."""

from __future__ import annotations

from collections.abc import Callable
from math import floor
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from observe.desk.paint import BOTTOM, CENTRE, MIDDLE, RIGHT, Pen, Style
from observe.desk.review.panel import EMPTY, HEAD_PX, HELP, NOTE, TITLE
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.look.boxes import Axis, Bounds, bounds_shapes
from observe.look.tokens import LINE_HEIGHT_READING, Token, Weight
from observe.work.standard_review import StandardReview

if TYPE_CHECKING:
    from observe.standards import Cut
    from observe.standards.impact import Effect

NAME = Style(15, Weight.BOLD, least=12, down=MIDDLE)
SAID = Style(14, ink=Token.INK2, leading=LINE_HEIGHT_READING)
FIGURE = Style(15, least=12, across=RIGHT, down=MIDDLE)
TICK = Style(14, ink=Token.INK2, least=11.5, across=CENTRE, down=MIDDLE)
HEAD = Style(14, ink=Token.INK2, least=11.5, across=RIGHT, down=MIDDLE)
WHY = Style(14, ink=Token.INK2, least=10.5, down=MIDDLE)
COUNT = Style(13, ink=Token.INK2, least=10.5, across=CENTRE, down=BOTTOM)
ROW_PX, CHART_PX, BIN = 36, 110, 5
COLUMNS = (("cut", 62), ("SE", 52), ("n", 44), ("pass", 54), ("fail", 50), ("change", 84))
"""Figures at the right, and px of width."""


class CutRows(QWidget):
    """One axis for scores and cuts; figures beside it, and what to weigh below."""

    title = "Cuts side by side"

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.made: StandardReview | None = None
        self.empty: tuple[str, str] = ("", "")

    def show_standards(self, made: StandardReview | None, empty: tuple[str, str]) -> None:
        """Show cuts. empty: what is missing and what would help, where there is nothing."""
        self.made = made
        self.empty = made.empty if made is not None and not made.cuts else empty
        said = " ".join((*map(self.spoken, self.cuts), *self.notes)) or " ".join(self.empty)
        self.setAccessibleName(f"{self.title}. {said}")
        self.update()

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """The cuts that are shown."""
        return self.made.cuts if self.made else ()

    @property
    def axis(self) -> Axis:
        """Percent, from a round number below everything that is shown."""
        if self.made is None:
            return Axis(0, 100, (0, 20, 40, 60, 80, 100))
        shown = [*self.made.scores, self.made.present]
        shown += [end for one in self.cuts for end in (one.low, one.value) if end is not None]
        start = max(0, 10 * floor(min(shown) / 10))
        step = 10 if start >= 40 else 20
        start -= start % step
        return Axis(start, 100, tuple(float(tick) for tick in range(start, 101, step)))

    # in words

    def figures(self, cut: Cut) -> tuple[str, ...]:
        """What stands beside the axis, in the order of the columns."""
        effect = self._effect(cut)
        passes = ("", "", "")
        if effect is not None:
            passes = (str(effect.passed), str(effect.failed), _change(effect))
        value = "/" if cut.value is None else f"{cut.value:.1f}"
        se = "" if cut.se is None else f"{cut.se:.1f}"
        return (value, se, str(cut.n), *passes)

    def spoken(self, cut: Cut) -> str:
        """A cut in words."""
        if cut.value is None:
            return f"{cut.label}: {cut.undefined}"
        said = f"{cut.label}: {cut.value:.1f} %"
        if cut.low is not None and cut.high is not None:
            said += f", {cut.low:.1f} to {cut.high:.1f}"
        effect = self._effect(cut)
        if effect is not None:
            said += f", {effect.passed} pass, {effect.failed} fail, {_change(effect)} change"
        return f"{said}; {cut.n} {cut.of}."

    def _effect(self, cut: Cut) -> Effect | None:
        effects = self.made.impact.effects if self.made and self.made.impact else ()
        return next((one for one in effects if one.name == cut.label), None)

    @property
    def notes(self) -> tuple[str, ...]:
        """Blocks of sentences below the rows."""
        if self.made is None:
            return ()
        made = self.made
        here = f"Dashed: {made.present:.1f} %, {made.present_is}."
        legend = (
            f"{here} Bars: {len(made.scores)} scores, {BIN} points each. Box: 95 % interval. "
            "Stroke: the cut; a score at it passes. Change: would newly fail (−) or pass (+)."
        )
        weigh = dict.fromkeys(note for cut in self.cuts for note in (*cut.warnings, *cut.dropped))
        isnt = dict.fromkeys(cut.is_not for cut in self.cuts if cut.value is not None)
        found = [legend]
        if weigh:
            found.append(f"To weigh: {' '.join(weigh)}")
        if isnt:
            found.append(f"What a cut is not: {' '.join(isnt)}")
        if made.essential:
            found.append(f"Essential by the judges: {', '.join(made.essential)}.")
        return (*found, _approved(made))

    # geometry

    def _figures_wide(self) -> int:
        return round(self.skin.px(sum(wide for _, wide in COLUMNS)) * self.skin.text)

    def _name_wide(self, width: int) -> int:
        return max(self.skin.px(120), round((width - self._figures_wide()) * 0.28))

    def _axis_at(self, width: int) -> tuple[float, float]:
        px = self.skin.px
        left = px(14) + self._name_wide(width) + px(14)
        return left, max(px(60), width - self._figures_wide() - left - px(34))

    def _row_px(self) -> int:
        return max(self.skin.px(ROW_PX), self.skin.text_px(NAME.size) * 2 + self.skin.px(4))

    def _chart_px(self) -> int:
        return self.skin.px(CHART_PX) if self.made and self.made.scores else 0

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        px = self.skin.px
        wide = width - px(28)
        if not self.cuts:
            texts = zip(self.empty, (EMPTY, HELP), strict=True)
            high = sum(height_of(self.skin, text, wide - px(20), style) for text, style in texts)
            return px(HEAD_PX + 60) + high + self._notes_px(wide)
        rows = len(self.cuts) * self._row_px()
        head = px(HEAD_PX) + self._row_px() + self._chart_px()
        return head + rows + self._notes_px(wide) + px(20)

    def _notes_px(self, wide: float) -> int:
        gap = self.skin.px(8)
        return sum(height_of(self.skin, one, wide, SAID) + gap for one in self.notes)

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.RULE, 1)
        head = QRectF(px(14), px(2), box.width() - px(28), px(HEAD_PX - 4))
        half = head.width() * (0.5 if self.made else 1)
        title = pen.text(QRectF(head.x(), head.y(), half, head.height()), self.title, TITLE)
        if self.made is not None:
            left = head.x() + title.width + px(10)
            room = QRectF(left, head.y(), head.right() - left, head.height())
            pen.text(
                room, f"percent of the score; {self.made.target.title}", NOTE, shorter=("percent",)
            )
        y = float(px(HEAD_PX))
        y = self._paint_rows(pen, y) if self.cuts else self._paint_empty(pen, y)
        for note in self.notes:
            y += px(8)
            high = height_of(self.skin, note, box.width() - px(28), SAID)
            pen.text(QRectF(px(14), y, box.width() - px(28), high + px(3)), note, SAID)
            y += high
        painter.end()

    def _paint_empty(self, pen: Pen, y: float) -> float:
        px = self.skin.px
        y += px(20)
        for text, style in zip(self.empty, (EMPTY, HELP), strict=True):
            wide = self.width() - px(48)
            high = height_of(self.skin, text, wide, style)
            pen.text(QRectF(px(24), y, wide, high), text, style)
            y += high + px(8)
        return y

    def _paint_rows(self, pen: Pen, y: float) -> float:
        px, high = self.skin.px, self._row_px()
        left, wide = self._axis_at(self.width())
        axis, chart = self.axis, self._chart_px()
        self._paint_scores(pen, QRectF(left, y, wide, chart), axis)
        y += chart
        for tick in axis.ticks:
            x = left + axis.place(tick, wide)
            pen.text(QRectF(x - px(30), y, px(60), high), f"{tick:g}", TICK)
        self._paint_figures(pen, y, [word for word, _ in COLUMNS], HEAD)
        y += high
        bottom = y + len(self.cuts) * high
        for place, cut in enumerate(self.cuts):
            self._paint_cut(pen, cut, y + place * high)
        if self.made is not None:
            x = round(left + axis.place(self.made.present, wide))
            _dashed_down(pen, x, y - high - chart, y - high, px)
            _dashed_down(pen, x, y, bottom, px)
        return bottom

    def _paint_scores(self, pen: Pen, box: QRectF, axis: Axis) -> None:
        if self.made is None or not self.made.scores:
            return
        px = self.skin.px
        bins: dict[int, int] = {}
        for score in self.made.scores:
            place = min(int(score // BIN), 100 // BIN - 1)
            bins[place] = bins.get(place, 0) + 1
        most = max(bins.values())
        room = box.height() - px(26)
        pen.fill(QRectF(box.x(), box.bottom() - 1, box.width(), 1), Token.LINE)
        for place, count in bins.items():
            x = box.x() + axis.place(place * BIN, box.width())
            wide = box.x() + axis.place((place + 1) * BIN, box.width()) - x
            high = room * count / most
            bar = QRectF(round(x) + 1, box.bottom() - 1 - high, max(2.0, round(wide) - 2), high)
            pen.fill(bar, Token.WELL)
            pen.frame(bar, Token.DONE, 1.4)
            label = QRectF(bar.x() - px(6), bar.y() - px(20), bar.width() + px(12), px(19))
            pen.text(label, str(count), COUNT)
        name = QRectF(px(14), box.bottom() - px(24), self._name_wide(self.width()), px(24))
        pen.text(name, "Learners by score", SAID)

    def _paint_cut(self, pen: Pen, cut: Cut, y: float) -> None:
        px, high = self.skin.px, self._row_px()
        left, wide = self._axis_at(self.width())
        pen.fill(QRectF(px(14), y, self.width() - px(28), 1), Token.RULE)
        pen.text(QRectF(px(14), y, self._name_wide(self.width()), high), cut.label, NAME)
        if cut.value is None:
            pen.text(QRectF(left, y, wide, high), cut.undefined, WHY)
        else:
            low = cut.value if cut.low is None else cut.low
            top = cut.value if cut.high is None else cut.high
            tall = min(px(22), high - 6)
            shapes = bounds_shapes(Bounds(low, top, cut.value), self.axis, wide, tall, head=False)
            pen.shapes(shapes, left, round(y + (high - tall) / 2))
        self._paint_figures(pen, y, self.figures(cut), FIGURE)

    def _paint_figures(
        self, pen: Pen, y: float, texts: tuple[str, ...] | list[str], style: Style
    ) -> None:
        px = self.skin.px
        x = float(self.width() - px(14) - self._figures_wide())
        for text, (_, column) in zip(texts, COLUMNS, strict=True):
            room = round(px(column) * self.skin.text)
            pen.text(QRectF(x, y, room - px(4), self._row_px()), text, style)
            x += room


def _dashed_down(pen: Pen, x: float, top: float, bottom: float, px: Callable[[float], int]) -> None:
    y = top
    while y < bottom:
        pen.fill(QRectF(x, y, 2, min(px(5), bottom - y)), Token.INK2)
        y += px(9)


def _change(effect: Effect) -> str:
    if effect.newly_failing is None:
        return ""
    said = [f"−{effect.newly_failing}"] if effect.newly_failing else []
    said += [f"+{effect.newly_passing}"] if effect.newly_passing else []
    return " ".join(said) or "0"


def _approved(made: StandardReview) -> str:
    if not made.approved:
        return "No standard is approved for it: its cut is provisional."
    lines = [
        f"{one.standard.cut} % from {one.standard.effective} "
        f"({one.standard.method.replace('_', ' ')}, {one.standard.n} {one.standard.of}"
        f"{f', withdrawn from {one.withdrawn.day}' if one.withdrawn else ''})"
        for one in made.approved
    ]
    return f"Approved: {'; '.join(lines)}."
