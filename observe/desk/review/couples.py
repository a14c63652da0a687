"""Who saw the same: above the diagonal shared attempts, below it the agreement of two observers."""

from __future__ import annotations

from PySide6.QtCore import QRectF

from observe.desk.paint import CENTRE, MIDDLE, RIGHT, Pen, Style
from observe.desk.review.panel import FOOT, HEAD_PX, Panel, coefficient
from observe.desk.tall import height_of
from observe.look.boxes import WHOLE_AXIS, Bounds, bounds_shapes
from observe.look.tokens import Token, Weight
from observe.work.reviewing import ENOUGH_FIRST, Couple

NAME = Style(14, least=11, down=MIDDLE)
COUNT = Style(14, Weight.BOLD, Token.WELL, 11, CENTRE, MIDDLE)
VALUE = Style(15, Weight.BOLD, least=11, across=CENTRE, down=MIDDLE)
MOST = 8
"""Observers that the matrix has room for."""
FOOT_TEXT = (
    "Above: attempts both saw. Below: agreement over all their steps (AC1), 95 % box on 0 to 1. "
    f"Stroke: under {ENOUGH_FIRST}, not estimated. Dots: none."
)


class CouplesPanel(Panel):
    """A square for every two observers."""

    title = "Who saw the same"

    def _names(self) -> tuple[str, ...]:
        names = self.made.gathered.observers if self.made else ()
        shared: dict[str, int] = dict.fromkeys(names, 0)
        for one in self.made.couples if self.made else ():
            for name in one.observers:
                shared[name] += one.shared
        return tuple(sorted(names, key=lambda name: -shared[name])[:MOST])

    def _couples(self) -> dict[frozenset[str], Couple]:
        return {frozenset(one.observers): one for one in (self.made.couples if self.made else ())}

    def read_out(self) -> str:
        """Every two observers in words."""
        return " ".join(_spoken(one) for one in (self.made.couples if self.made else ()))

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        px = self.skin.px
        foot = height_of(self.skin, self._foot(), width - px(28), FOOT)
        return px(HEAD_PX + 30) + px(56) * max(2, len(self._names())) + foot + px(24)

    def _foot(self) -> str:
        names = self.made.gathered.observers if self.made else ()
        more = len(names) - MOST
        return FOOT_TEXT + (f" {more} more observers are in the table." if more > 0 else "")

    def paint_content(self, pen: Pen, inside: QRectF) -> None:
        """The matrix, as large as there is room."""
        px, names = self.skin.px, self._names()
        foot = height_of(self.skin, self._foot(), inside.width(), FOOT)
        pen.text(
            QRectF(inside.x(), inside.bottom() - foot, inside.width(), foot), self._foot(), FOOT
        )
        if not names:
            return
        label = min(px(96), inside.width() * 0.28)
        head = px(24)
        across = (inside.width() - label) / len(names)
        down = (inside.height() - foot - px(8) - head) / len(names)
        side = min(across, down, px(96))
        couples = self._couples()
        for place, name in enumerate(names):
            x = inside.x() + label + place * side
            short = (name.split(" ")[-1], name.split(" ")[-1][:3] + ".")
            style = Style(13, ink=Token.INK2, least=10.5, across=CENTRE, down=MIDDLE)
            pen.text(QRectF(x, inside.y(), side, head), short[1], style)
            row = QRectF(inside.x(), inside.y() + head + place * side, label - px(6), side)
            pen.text(row, name, NAME, shorter=short)
        for down_at, one in enumerate(names):
            for across_at, other in enumerate(names):
                box = QRectF(
                    inside.x() + label + across_at * side + 1,
                    inside.y() + head + down_at * side + 1,
                    side - 3,
                    side - 3,
                )
                if one == other:
                    pen.fill(box, Token.GROUND)
                    pen.frame(box, Token.RULE, 1)
                    continue
                pen.fill(box, Token.WELL)
                pen.frame(box, Token.RULE, 1)
                found = couples.get(frozenset((one, other)))
                if across_at > down_at:
                    self._paint_shared(pen, box, found)
                else:
                    self._paint_found(pen, box, found)

    def _paint_shared(self, pen: Pen, box: QRectF, found: Couple | None) -> None:
        shared = found.shared if found else 0
        most = max((one.shared for one in (self.made.couples if self.made else ())), default=0)
        if not shared:
            pen.text(box, "…", Style(15, ink=Token.INK2, least=11, across=CENTRE, down=MIDDLE))
            return
        side = max(self.skin.px(12), (box.width() - self.skin.px(6)) * (shared / most) ** 0.5)
        square = QRectF(0, 0, side, side)
        square.moveCenter(box.center())
        pen.fill(square, Token.DONE)
        if side >= self.skin.px(22):
            pen.text(square, str(shared), COUNT)
            return
        beside = QRectF(square.right() + 2, box.y(), box.right() - square.right() - 4, box.height())
        pen.text(beside, str(shared), Style(13, least=10.5, across=RIGHT, down=MIDDLE))

    def _paint_found(self, pen: Pen, box: QRectF, found: Couple | None) -> None:
        if found is None or not found.shared:
            pen.text(box, "…", Style(15, ink=Token.INK2, least=11, across=CENTRE, down=MIDDLE))
            return
        if found.found is None or found.found.value is None:
            pen.text(box, "/", Style(15, ink=Token.INK2, least=11, across=CENTRE, down=MIDDLE))
            return
        estimate = found.found
        value = estimate.value or 0.0
        above = box.adjusted(0, 2, 0, -box.height() * 0.4)
        pen.text(above, coefficient(value), VALUE)
        if estimate.low is None or estimate.high is None:
            return
        high, wide = box.height() * 0.26, box.width() - 8
        bounds = Bounds(max(estimate.low, 0.0), max(estimate.high, 0.0), max(value, 0.0))
        shapes = bounds_shapes(bounds, WHOLE_AXIS, wide, high, ink=Token.DONE, head=False)
        pen.shapes(shapes, box.x() + 4, round(box.bottom() - high - 4))


def _spoken(one: Couple) -> str:
    said = f"{one.observers[0]} and {one.observers[1]}: {one.shared} attempts"
    found = one.found
    if found is None or found.value is None:
        return f"{said}."
    if found.low is None or found.high is None:
        return f"{said}, AC1 {coefficient(found.value)}."
    limits = f"{coefficient(found.low)} to {coefficient(found.high)}"
    return f"{said}, AC1 {coefficient(found.value)}, {limits}."
