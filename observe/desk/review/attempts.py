"""One learner's attempts in order: day, score and decision, and why one is no step of a chart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.paint import MIDDLE, RIGHT, Pen, Style
from observe.desk.review.charts import paint_square
from observe.desk.review.panel import FOOT, HEAD_PX, Panel
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.look.tokens import Token

NUMBER = Style(14, ink=Token.INK2, least=11.5, across=RIGHT, down=MIDDLE)
DAY = Style(14, least=11.5, down=MIDDLE)
SCORE = Style(14, least=11.5, across=RIGHT, down=MIDDLE)
ROW_PX, SQUARE_PX = 26, 10
COLUMNS = (("number", 26), ("day", 92), ("score", 62))
"""Before the decision, which takes the rest, and px of width."""
LEAST_REST_PX = 96
"""With less than that the decision stands below the day."""


@dataclass(frozen=True, slots=True)
class Line:
    """An attempt. mark: as on the charts; None for one that is no step. why: it is none."""

    day: str
    score: float | None
    decision: str
    mark: bool | None
    why: str = ""

    @property
    def points(self) -> str:
        """The score as it is printed."""
        return "no score" if self.score is None else f"{self.score:.1f} %"

    @property
    def said(self) -> str:
        """The decision, and why it is no step."""
        repeats = self.why.casefold() == self.decision.casefold()
        return f"{self.decision} ({self.why})" if self.why and not repeats else self.decision

    @property
    def spoken(self) -> str:
        """The line in words."""
        return f"{self.day}, {self.points}, {self.said}"


class AttemptRows(QWidget):
    """The lines, as high as they need."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.lines: tuple[Line, ...] = ()

    def _before(self) -> list[int]:
        """Px of the columns before the decision, with that of the square."""
        return [self.skin.px(SQUARE_PX + 8), *(self.skin.grows(one, one, 1) for _, one in COLUMNS)]

    def _rest(self, width: int) -> tuple[int, bool]:
        """Where the decision begins, and whether it stands below the day instead of beside it."""
        px, before = self.skin.px, self._before()
        beside = sum(before) + px(12)
        if width - beside >= self.skin.grows(LEAST_REST_PX, LEAST_REST_PX, 1):
            return beside, False
        return sum(before[:2]) + px(8), True

    def _height(self, line: Line, width: int) -> int:
        px = self.skin.px
        left, below = self._rest(width)
        said = height_of(self.skin, line.said, width - left, DAY)
        return px(ROW_PX) + said + px(4) if below else max(px(ROW_PX), said + px(6))

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        return max(1, sum(self._height(line, width) for line in self.lines))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, y = Pen(painter, self.skin), 0
        for number, line in enumerate(self.lines, start=1):
            high = self._height(line, self.width())
            self._paint(pen, QRectF(0, y, self.width(), high), number, line)
            y += high
        painter.end()

    def _paint(self, pen: Pen, box: QRectF, number: int, line: Line) -> None:
        px = self.skin.px
        pen.fill(QRectF(box.x(), box.bottom() - 1, box.width(), 1), Token.RULE)
        left, below = self._rest(round(box.width()))
        row = QRectF(box.x(), box.y(), box.width(), px(ROW_PX) if below else box.height())
        side = px(SQUARE_PX)
        square = QRectF(row.x(), round(row.center().y() - side / 2), side, side)
        paint_square(pen, square, line.mark)
        x, *columns = self._before()
        texts = zip((str(number), line.day, line.points), (NUMBER, DAY, SCORE), strict=True)
        for (text, style), wide in zip(texts, columns, strict=True):
            gap = px(8) if style is DAY else 0
            pen.text(QRectF(x + gap, row.y(), wide - gap, row.height()), text, style)
            x += wide
        top = row.bottom() - px(2) if below else row.y()
        pen.text(QRectF(left, top, box.right() - left, box.bottom() - top), line.said, DAY)


class AttemptsPanel(Panel):
    """The attempts of the learner who is chosen, and below them what they come to."""

    title = "Attempts"

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(skin, parent)
        self.learner = self.foot = ""
        self.list = AttemptRows(skin)
        self.area = Tall(skin, self, self.list, self.list.needed)

    def show_attempts(
        self, learner: str, lines: Sequence[Line], foot: str, empty: tuple[str, str]
    ) -> None:
        """Show a learner's attempts, in order. foot: what they come to. empty: as elsewhere."""
        self.learner, self.list.lines, self.foot = learner, tuple(lines), foot
        self.tell(empty)
        self.list.setAccessibleName(self.read_out())
        self.area.setVisible(bool(lines))
        self.lay_out()
        newest = self.area.verticalScrollBar()
        newest.setValue(newest.maximum())

    @property
    def is_filled(self) -> bool:
        """Whether there is an attempt."""
        return bool(self.list.lines)

    @property
    def note(self) -> str:
        """Whose they are."""
        return self.learner

    def read_out(self) -> str:
        """Every attempt in words."""
        each = "; ".join(line.spoken for line in self.list.lines)
        return f"{self.learner}: {each}. {self.foot}"

    def needed(self, width: int) -> int:
        """Px of height in a width, where panels stand below each other."""
        px, inner = self.skin.px, width - self.skin.px(28)
        foot = height_of(self.skin, self.foot, inner, FOOT)
        return px(HEAD_PX) + self.list.needed(inner) + foot + px(24)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def lay_out(self) -> None:
        """Place the lines between the title and what is said below."""
        px = self.skin.px
        foot = height_of(self.skin, self.foot, self.width() - px(28), FOOT)
        high = self.height() - px(HEAD_PX) - foot - px(16)
        self.area.setGeometry(px(14), px(HEAD_PX), max(1, self.width() - px(28)), max(1, high))
        self.area.lay_out()

    def paint_content(self, pen: Pen, inside: QRectF) -> None:
        """The foot; the lines paint themselves."""
        self.paint_foot(pen, inside, self.foot)
