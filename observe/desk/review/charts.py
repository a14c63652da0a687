"""Charts of attempts over time: a learner's line against its limits, and a cohort's share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, hypot
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QWidget

from observe.desk.paint import CENTRE, MIDDLE, RIGHT, Pen, Style
from observe.desk.review.panel import FOOT, HEAD_PX, MINUS, Panel
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.look.shapes import Polygon
from observe.look.tokens import Token

if TYPE_CHECKING:
    from observe.standards.mastery import Reached

TICK = Style(13, ink=Token.INK2, least=10.5, across=RIGHT, down=MIDDLE)
BELOW = Style(13, ink=Token.INK2, least=10.5, across=CENTRE, down=MIDDLE)
ON_LINE = Style(13, ink=Token.INK2, least=10.5, across=RIGHT, down=MIDDLE)
FEWEST_ACROSS, MOST_TICKS, SIDE_PX = 5, 12, 9
LEAST_PX = 160
"""Height of axes and their numbers under which a chart cannot be read."""
SLOT_PX = 40
"""Width that the words below an attempt of a cohort need."""
COHORT_FOOT = (
    "Below each attempt: how many tried it without a pass before. No box: no interval, since all "
    "or none have passed."
)


@dataclass(frozen=True, slots=True)
class Limit:
    """A line that a chart may meet. name: what it is called on the chart."""

    value: float
    name: str


@dataclass(frozen=True, slots=True)
class Course:
    """One learner's chart. values: after each attempt; passed: of each; limits: its lines."""

    values: tuple[float, ...]
    passed: tuple[bool, ...]
    limits: tuple[Limit, ...]
    sentence: str
    design: str


class CoursePanel(Panel):
    """A square for each attempt, filled for a pass, open for a fail, joined by a line."""

    def __init__(self, skin: Skin, parent: QWidget, title: str, asks: str = "") -> None:
        self.title, self.asks = title, asks
        self.course: Course | None = None
        super().__init__(skin, parent)

    def show_course(self, course: Course | None, empty: tuple[str, str]) -> None:
        """Show a learner's chart. empty: as for `Panel.show_review`."""
        self.course = course
        self.tell(empty)

    @property
    def is_filled(self) -> bool:
        """Whether there is an attempt to draw."""
        return self.course is not None and bool(self.course.values)

    @property
    def note(self) -> str:
        """What the chart asks, and what is drawn across."""
        return f"{self.asks} By attempt".strip()

    def read_out(self) -> str:
        """The verdict, the design and every value in words."""
        if self.course is None:
            return ""
        course = self.course
        values = ", ".join(
            f"{place} {'pass' if passed else 'fail'} {_signed(value)}"
            for place, (value, passed) in enumerate(
                zip(course.values, course.passed, strict=True), start=1
            )
        )
        lines = ", ".join(f"{one.name} at {_signed(one.value)}" for one in course.limits)
        return f"{course.sentence} {course.design} Lines: {lines}. Attempts: {values}."

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        px = self.skin.px
        return px(HEAD_PX + 220) + height_of(self.skin, self._foot(), width - px(28), FOOT)

    def least(self, width: int) -> int:
        """Px of height in a width under which it cannot be read."""
        px = self.skin.px
        return px(HEAD_PX + LEAST_PX) + height_of(self.skin, self._foot(), width - px(28), FOOT)

    def _foot(self) -> str:
        return f"{self.course.sentence} {self.course.design}" if self.course else ""

    def paint_content(self, pen: Pen, inside: QRectF) -> None:
        """The chart over its sentences."""
        px = self.skin.px
        foot = self.paint_foot(pen, inside, self._foot())
        box = inside.adjusted(px(40), px(8), -px(8), -foot - px(30))
        if self.course is not None and box.height() >= px(40) and box.width() >= px(60):
            _Plot(pen, box, self.course).paint()


class _Plot:
    """A course in a box: attempts across, its values up."""

    def __init__(self, pen: Pen, box: QRectF, course: Course) -> None:
        self.pen, self.box, self.course = pen, box, course
        ends = [0.0, *course.values, *(one.value for one in course.limits)]
        room = (max(ends) - min(ends)) * 0.08 or 1.0
        self.low, self.high = min(ends) - room, max(ends) + room
        self.last = max(FEWEST_ACROSS, len(course.values))

    def x(self, attempt: float) -> float:
        """Px of an attempt, from 0, the start."""
        return self.box.x() + attempt / (self.last + 0.5) * self.box.width()

    def y(self, value: float) -> float:
        """Px of a value."""
        return self.box.bottom() - (value - self.low) / (self.high - self.low) * self.box.height()

    def paint(self) -> None:
        """Axes, limits with their names, the line and its squares."""
        pen, px, box = self.pen, self.pen.skin.px, self.box
        pen.fill(QRectF(box.x(), box.y(), 1, box.height()), Token.LINE)
        for value in (0.0, *(one.value for one in self.course.limits)):
            place = QRectF(box.x() - px(44), self.y(value) - px(9), px(40), px(18))
            pen.text(place, _signed(value), TICK)
        pen.fill(QRectF(box.x(), round(self.y(0)), box.width(), 1), Token.LINE)
        for one in self.course.limits:
            line = round(self.y(one.value))
            _dashed(pen, box.x(), box.right(), line)
            above = line - px(19) if one.value < 0 else line + px(2)
            label = QRectF(box.x(), above, box.width(), px(18))
            pen.text(label, one.name, ON_LINE)
        step = 1 + (self.last - 1) // MOST_TICKS
        for attempt in range(step, self.last + 1, step):
            place = QRectF(self.x(attempt) - px(16), box.bottom() + px(4), px(32), px(20))
            pen.text(place, str(attempt), BELOW)
        at = [(self.x(n), self.y(v)) for n, v in enumerate((0.0, *self.course.values))]
        pen.shapes([segment(start, end, 1.6) for start, end in pairwise(at)], 0, 0)
        side = px(SIDE_PX)
        for (x, y), passed in zip(at[1:], self.course.passed, strict=True):
            paint_square(pen, QRectF(round(x - side / 2), round(y - side / 2), side, side), passed)


class MasteryPanel(Panel):
    """Of all learners, the share who have passed by each attempt."""

    title = "Passed by attempt"

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        self.reached: Sequence[Reached] = ()
        super().__init__(skin, parent)

    def show_cohort(self, reached: Sequence[Reached], empty: tuple[str, str]) -> None:
        """Show a cohort. empty: as for `Panel.show_review`."""
        self.reached = tuple(reached)
        self.tell(empty)

    @property
    def is_filled(self) -> bool:
        """Whether anybody made an attempt."""
        return bool(self.reached)

    @property
    def note(self) -> str:
        """What is drawn upward."""
        return "% of learners, 95 % interval"

    def read_out(self) -> str:
        """Every attempt in words."""
        each = "; ".join(
            f"attempt {one.attempt}: {one.trying} tried, {one.reached} passed first, "
            f"{100 * one.share:.0f} % by now, {_span(one)}"
            for one in self.reached
        )
        return f"{each}."

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        px = self.skin.px
        return px(HEAD_PX + 190) + height_of(self.skin, COHORT_FOOT, width - px(28), FOOT)

    def least(self, width: int) -> int:
        """Px of height in a width under which it cannot be read."""
        px = self.skin.px
        return px(HEAD_PX + LEAST_PX) + height_of(self.skin, COHORT_FOOT, width - px(28), FOOT)

    def paint_content(self, pen: Pen, inside: QRectF) -> None:
        """A stroke at each share with its interval, over the attempts."""
        px = self.skin.px
        foot = self.paint_foot(pen, inside, COHORT_FOOT)
        box = inside.adjusted(px(46), px(8), -px(8), -foot - px(48))
        if box.height() < px(30) or box.width() < px(60):
            return
        for share in (0.0, 0.5, 1.0):
            y = box.bottom() - share * box.height()
            pen.fill(QRectF(box.x(), round(y), box.width(), 1), Token.RULE)
            pen.text(
                QRectF(box.x() - px(48), y - px(9), px(44), px(18)), f"{100 * share:.0f}", TICK
            )
        slot = box.width() / max(FEWEST_ACROSS, len(self.reached))
        named = ceil(px(SLOT_PX) / slot)
        for place, one in enumerate(self.reached):
            room = QRectF(box.x() + place * slot, box.y(), slot, box.height())
            self._paint_share(pen, one, room)
            if place % named == 0:
                self._paint_words(pen, one, room, max(slot, px(SLOT_PX)))

    def _paint_share(self, pen: Pen, one: Reached, box: QRectF) -> None:
        wide = min(self.skin.px(26), box.width() * 0.6)
        x = box.center().x() - wide / 2
        if one.low is not None and one.high is not None:
            top, bottom = (box.bottom() - end * box.height() for end in (one.high, one.low))
            bar = QRectF(round(x), round(top), round(wide), max(2, round(bottom - top)))
            pen.fill(bar, Token.WELL)
            pen.frame(bar, Token.DONE, 1.4)
        y = box.bottom() - one.share * box.height()
        pen.fill(QRectF(round(x - 3), round(y) - 1, round(wide + 6), 3), Token.DONE)

    def _paint_words(self, pen: Pen, one: Reached, box: QRectF, wide: float) -> None:
        px = self.skin.px
        row = QRectF(box.center().x() - wide / 2, box.bottom() + px(4), wide, px(19))
        pen.text(row, str(one.attempt), BELOW)
        pen.text(row.translated(0, px(19)), f"of {one.trying}", BELOW)


def _span(one: Reached) -> str:
    if one.low is None or one.high is None:
        return "no interval"
    return f"{100 * one.low:.0f} to {100 * one.high:.0f} %"


def paint_square(pen: Pen, box: QRectF, passed: bool | None) -> None:  # noqa: FBT001 - an outcome
    """An attempt: filled for a pass, open for a fail, a dot for one that is no step."""
    if passed is None:
        side = max(2.0, box.width() / 3)
        dot = QRectF(box.center().x() - side / 2, box.center().y() - side / 2, side, side)
        pen.fill(dot, Token.INK2)
    elif passed:
        pen.fill(box, Token.DONE)
    else:
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.INK, 2)


def segment(start: tuple[float, float], end: tuple[float, float], wide: float) -> Polygon:
    """A straight stroke between two places."""
    (x, y), (a, b) = start, end
    long = hypot(a - x, b - y) or 1.0
    dx, dy = (b - y) / long * wide / 2, (a - x) / long * wide / 2
    return Polygon(
        ((x + dx, y - dy), (a + dx, b - dy), (a - dx, b + dy), (x - dx, y + dy)), Token.INK2
    )


def _dashed(pen: Pen, left: float, right: float, y: float) -> None:
    while left < right:
        pen.fill(QRectF(left, y - 1, min(pen.skin.px(8), right - left), 2), Token.DONE)
        left += pen.skin.px(13)


def _signed(value: float) -> str:
    text = f"{abs(value):.1f}"
    if not float(text):
        return "0"
    return f"{'+' if value > 0 else MINUS}{text}"
