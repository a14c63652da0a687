"""What the two observers decided, each alone, and who recorded critical items."""

from __future__ import annotations

from PySide6.QtCore import QRectF

from observe.agreement.estimate import Estimate
from observe.desk.paint import CENTRE, MIDDLE, RIGHT, Pen, Style
from observe.desk.review.panel import FOOT, HEAD_PX, Panel, coefficient
from observe.desk.tall import height_of
from observe.domain.decision import Outcome
from observe.domain.words import OUTCOMES, counted
from observe.look.tokens import Token, Weight
from observe.work.reviewing import CriticalRow, Review

CELL = Style(16, Weight.BOLD, least=12, across=CENTRE, down=MIDDLE)
HEAD = Style(13, ink=Token.INK2, least=9.5, across=CENTRE, down=MIDDLE)
SIDE = Style(13, ink=Token.INK2, least=10.5, across=RIGHT, down=MIDDLE)
LABEL = Style(14, least=11, down=MIDDLE)
FIGURE = Style(14, least=11, across=CENTRE, down=MIDDLE)
ROW_PX = 24
OUTCOME_ORDER = (Outcome.PASS, Outcome.UNDECIDED, Outcome.REMEDIATE)
COLUMNS = ("both", "first", "second", "none")


class DecisionsPanel(Panel):
    """A table of outcomes at the left, critical items at the right, one sentence below."""

    title = "Decisions and critical items"

    @property
    def note(self) -> str:
        """How many pairs these are."""
        return counted(len(self.made.gathered.planned), "pair") if self.made else ""

    def read_out(self) -> str:
        """The table and the items in words."""
        if self.made is None:
            return ""
        rows = [
            f"First {one}, second {other}: {count}."
            for (one, other), count in sorted(self.made.decisions.items())
        ]
        items = [_spoken(one) for one in self._items()]
        return " ".join((*rows, self._foot(), *items))

    def _items(self) -> tuple[CriticalRow, ...]:
        """Critical items, those recorded by one alone first."""
        rows = self.made.criticals if self.made else ()
        return tuple(sorted(rows, key=lambda one: (-one.contested, -one.both)))

    def _foot(self) -> str:
        return sentence(self.made) if self.made is not None else ""

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        px = self.skin.px
        foot = height_of(self.skin, self._foot(), width - px(28), FOOT)
        return px(HEAD_PX + 40) + px(ROW_PX) * (len(self._items()) + 5) + foot + px(24)

    def paint_content(self, pen: Pen, inside: QRectF) -> None:
        """Both tables side by side, or one below the other where text is enlarged."""
        px = self.skin.px
        foot = height_of(self.skin, self._foot(), inside.width(), FOOT)
        pen.text(
            QRectF(inside.x(), inside.bottom() - foot, inside.width(), foot), self._foot(), FOOT
        )
        room = inside.adjusted(0, 0, 0, -foot - px(6))
        if self.skin.text > 1:
            high = px(ROW_PX) * 5
            self._paint_outcomes(pen, QRectF(room.x(), room.y(), room.width(), high))
            self._paint_items(pen, room.adjusted(0, high + px(8), 0, 0))
            return
        left = min(px(290), room.width() * 0.44)
        self._paint_outcomes(pen, QRectF(room.x(), room.y(), left, room.height()))
        self._paint_items(pen, room.adjusted(left + px(20), 0, 0, 0))

    def _paint_outcomes(self, pen: Pen, box: QRectF) -> None:
        px = self.skin.px
        if self.made is None:
            return
        label, head = px(78), px(34)
        side = (box.width() - label) / len(OUTCOME_ORDER)
        high = min(px(40), (box.height() - head) / len(OUTCOME_ORDER))
        for place, word in enumerate(("first ↓", "second →")):
            corner = QRectF(box.x(), box.y() + place * head / 2, label - px(6), head / 2)
            pen.text(corner, word, SIDE)
        for place, outcome in enumerate(OUTCOME_ORDER):
            word = OUTCOMES[outcome].lower()
            pen.text(QRectF(box.x() + label + place * side, box.y(), side, head), word, HEAD)
            row = QRectF(box.x(), box.y() + head + place * high, label - px(6), high)
            pen.text(row, word, SIDE)
            for across, other in enumerate(OUTCOME_ORDER):
                cell = QRectF(box.x() + label + across * side + 1, row.y() + 1, side - 3, high - 3)
                count = self.made.decisions.get((outcome.value, other.value), 0)
                same = outcome is other
                opposite = {outcome, other} == {Outcome.PASS, Outcome.REMEDIATE} and count
                fill = Token.WRONGBG if opposite else Token.DONEBG if same else Token.WELL
                pen.fill(cell, fill)
                pen.frame(cell, Token.WRONG if opposite else Token.RULE, 2 if opposite else 1)
                pen.text(cell, str(count), CELL)

    def _paint_items(self, pen: Pen, box: QRectF) -> None:
        px = self.skin.px
        items, head = self._items(), px(34)
        high = px(ROW_PX)
        room = int((box.height() - head) // high)
        shown = items if len(items) <= room else items[: max(0, room - 1)]
        column = min(px(62), max(px(36), box.width() * 0.13))
        label = box.width() - 4 * column
        pen.text(QRectF(box.x(), box.y(), label, head), "critical item, recorded by", SIDE_LEFT)
        for place, word in enumerate(COLUMNS):
            pen.text(QRectF(box.x() + label + place * column, box.y(), column, head), word, HEAD)
        y = box.y() + head
        for one in shown:
            pen.fill(QRectF(box.x(), y - 1, box.width(), 1), Token.RULE)
            weight = Weight.BOLD if one.contested else Weight.REGULAR
            style = Style(
                14, weight, Token.WRONG if one.contested else Token.INK, 10.5, down=MIDDLE
            )
            pen.text(QRectF(box.x(), y, label - px(6), high), one.label, style)
            counts = (one.both, one.first_only, one.second_only, one.neither)
            for place, count in enumerate(counts):
                x = box.x() + label + place * column
                pen.text(QRectF(x, y, column, high), str(count), FIGURE)
            y += high
        if len(shown) < len(items):
            more = counted(len(items) - len(shown), "item")
            said = f"{more} more, in the table."
            pen.text(QRectF(box.x(), y, box.width(), high), said, SIDE_LEFT)


SIDE_LEFT = Style(13, ink=Token.INK2, least=10.5, down=MIDDLE)


def sentence(made: Review) -> str:
    """How often the decision was the same, beyond chance, and opposite; joined looks apart."""
    said = [f"Same decision: {_said(made.decided, as_share=True)}."]
    if made.chance.coefficient != made.decided.coefficient:
        said.append(f"{made.chance.label}: {_said(made.chance)}.")
    said.append(f"Opposite decisions: {made.opposite}.")
    if made.grades.value is not None:
        said.append(f"Overall grade, {made.grades.label}: {_said(made.grades)}.")
    joined = len(made.gathered.joined)
    if joined:
        looks = counted(joined, "second look")
        said.append(f"Not counted here: {looks} that came about on the day.")
    return " ".join((*said, *made.gathered.left))


def _said(found: Estimate, *, as_share: bool = False) -> str:
    if found.value is None:
        return "not estimable"

    def shown(value: float) -> str:
        return f"{100 * value:.0f} %" if as_share else coefficient(value)

    if found.low is None or found.high is None:
        return f"{shown(found.value)} (no interval)"
    return f"{shown(found.value)} ({shown(found.low)} to {shown(found.high)})"


def _spoken(one: CriticalRow) -> str:
    return (
        f"{one.label}: both {one.both}, first only {one.first_only}, second only "
        f"{one.second_only}, neither {one.neither}."
    )
