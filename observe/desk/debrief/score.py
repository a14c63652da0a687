"""The score to scale, with what was missed; and the domains on one scale."""

from __future__ import annotations

from fractions import Fraction

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from observe.desk.paint import BOTTOM, CENTRE, MIDDLE, RIGHT, Pen, Style
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.domain.decision import Standing, minima_in_play, share_standing
from observe.domain.printing import against, percent
from observe.look.boxes import WHOLE_AXIS, Axis, Bounds, axis_for, bounds_shapes
from observe.look.tokens import LINE_HEIGHT_READING, Token, Weight
from observe.work.debrief import Reveal

SENTENCE = Style(16, least=12, leading=LINE_HEIGHT_READING)


class ScorePanel(QWidget):
    """Axis, cut, box from lower to upper bound, stroke at the score, and one sentence."""

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.found: Reveal | None = None

    def show_score(self, found: Reveal) -> None:
        """Show the score of one sealed observation."""
        self.found = found
        self.setAccessibleName(f"Score. {missed_sentence(found)}")
        self.update()

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        px = self.skin.px
        said = missed_sentence(self.found) if self.found is not None else ""
        return px(142) + height_of(self.skin, said, width - px(32), SENTENCE)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.RULE, 1)
        head = QRectF(px(16), px(6), box.width() - px(32), px(28))
        pen.text(head, "Score and what was missed", Style(18, Weight.BOLD, down=MIDDLE))
        if self.found is not None:
            self._paint_axis(pen, self.found)
            top = px(132)
            place = QRectF(px(16), top, box.width() - px(32), box.height() - top - px(6))
            pen.text(place, missed_sentence(self.found), SENTENCE)
        painter.end()

    def _paint_axis(self, pen: Pen, found: Reveal) -> None:
        px = self.skin.px
        whole, cut = found.decision.score.whole, found.evidence.cut.value
        if whole.low is None or whole.high is None:
            return
        axis = axis_for(whole.low, whole.high, cut)
        left, wide = px(28), self.width() - px(56)
        top, high = px(68), px(36)
        bounds = Bounds(whole.low, whole.high, whole.value, cut)
        pen.shapes(bounds_shapes(bounds, axis, wide, high), left, top)
        _paint_ticks(pen, axis, left, top + high, wide)
        score, needed = against(whole.value, cut) if whole.value is not None else ("", percent(cut))
        self._paint_numbers(pen, axis, (left, wide), score, f"cut {needed}")

    def _paint_numbers(
        self, pen: Pen, axis: Axis, across: tuple[float, float], score: str, cut: str
    ) -> None:
        """Score and cut above their places; beside each other where they would overlap."""
        px, (left, wide) = self.skin.px, across
        if self.found is None:
            return
        whole, cut_line = self.found.decision.score.whole, self.found.evidence.cut
        row, high, edge = px(32), px(32), px(14)
        cut_x = left + axis.place(cut_line.value, wide)
        words = f"{cut}, provisional" if cut_line.is_provisional else cut
        start, end = float(edge), float(self.width() - edge)
        met = whole.value is not None and whole.value >= cut_line.value
        if whole.value is not None:
            ink = Token.DONE if met else Token.WRONG
            size = px(120)
            x = left + axis.place(whole.value, wide) - size / 2
            x = max(x, cut_x + px(14)) if met else min(x, cut_x - px(14) - size)
            number = QRectF(min(max(x, start), end - size), row, size, high)
            pen.text(number, f"{score} %", Style(24, Weight.BOLD, ink, 15, CENTRE, BOTTOM))
            start, end = (start, number.left() - px(4)) if met else (number.right() + px(4), end)
        style = Style(15, Weight.MEDIUM, least=12, down=BOTTOM, across=RIGHT if met else 0)
        place = QRectF(start, row, max(1.0, end - start), high)
        if met:
            place.setRight(min(place.right(), cut_x + px(14)))
        else:
            place.setLeft(max(place.left(), cut_x - px(14)))
        pen.text(place, words, style, shorter=(cut,))


def missed_sentence(found: Reveal) -> str:
    """Whether what was missed can change the score's line, in one or two sentences."""
    score, cut = found.decision.score, found.evidence.cut.value
    whole = score.whole
    if whole.value is None or whole.low is None or whole.high is None:
        return "Nothing was seen, so there is no score."
    if not score.unseen:
        return "Every step that applies was seen, so nothing can change the score."
    seen = f"{percent(whole.coverage)} % of the weight was seen."
    if whole.low == whole.high:
        return f"{seen} Nothing that was missed can change the score."
    many = len(score.unseen)
    steps, right = ("the step", "it") if many == 1 else (f"the {many} steps", "all")
    range_ = (
        f"{percent(whole.low)} % if {steps} not seen had failed, "
        f"{percent(whole.high)} % if {right} had been right."
    )
    if whole.low >= cut:
        return f"{seen} {range_} Nothing missed can bring it under the cut."
    if whole.high < cut:
        return f"{seen} {range_} Nothing missed can bring it up to the cut."
    return f"{seen} {range_} What was missed can decide this line."


def _paint_ticks(pen: Pen, axis: Axis, left: float, top: float, wide: float) -> None:
    px = pen.skin.px
    for tick in axis.ticks:
        x = left + axis.place(tick, wide)
        pen.fill(QRectF(round(x), top - px(22), 1, px(7)), Token.LINE)
        place = QRectF(x - px(24), top - px(2), px(48), px(20))
        pen.text(place, str(round(tick * 100)), Style(14, ink=Token.INK2, least=12, across=CENTRE))


class DomainsPanel(QWidget):
    """Every domain with its box on one scale; an upright line at its minimum."""

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.found: Reveal | None = None

    def show_domains(self, found: Reveal) -> None:
        """Show the domains of one sealed observation."""
        self.found = found
        said = []
        for domain in found.evidence.form.domains:
            value = found.decision.score.domains[domain.id].value
            said.append(f"{domain.label} {'not seen' if value is None else percent(value) + ' %'}")
        self.setAccessibleName("Domains. " + ", ".join(said))
        self.update()

    def needed(self, width: int) -> int:
        """Px of height; the same in any width."""
        px = self.skin.px
        return px(50) + px(32) * (len(self.found.evidence.form.domains) if self.found else 0)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.RULE, 1)
        head = QRectF(px(16), px(6), box.width() - px(32), px(28))
        title = pen.text(head, "Domains", Style(18, Weight.BOLD, down=MIDDLE))
        if self.found is not None:
            if minima_in_play(self.found.evidence):
                note = head.adjusted(title.width + px(12), 0, 0, 0)
                style = Style(14, ink=Token.INK2, least=12, across=RIGHT, down=MIDDLE)
                pen.text(note, "upright line: minimum", style)
            self._paint_rows(pen, self.found)
        painter.end()

    def _paint_rows(self, pen: Pen, found: Reveal) -> None:
        px = self.skin.px
        domains = found.evidence.form.domains
        minima = minima_in_play(found.evidence)
        top = px(40)
        high = min(px(32), (self.height() - top - px(8)) / max(1, len(domains)))
        for place, domain in enumerate(domains):
            row = QRectF(px(16), top + place * high, self.width() - px(32), high)
            self._paint_row(pen, row, found, domain.id, domain.label, minima.get(domain.id))

    def _paint_row(
        self, pen: Pen, row: QRectF, found: Reveal, id: str, label: str, least: Fraction | None
    ) -> None:
        px = self.skin.px
        share = found.decision.score.domains[id]
        failed = least is not None and share_standing(share, least) is Standing.FAILED
        ink = Token.WRONG if failed else Token.INK
        weight = Weight.BOLD if failed else Weight.REGULAR
        name = QRectF(row.x(), row.y(), px(132), row.height())
        pen.text(name, label, Style(16, weight, ink, 12, down=MIDDLE))
        end = QRectF(row.right() - px(74), row.y(), px(74), row.height())
        if id in found.evidence.left_out:
            words = "left out"
        else:
            words = "not seen" if share.value is None else f"{percent(share.value)} %"
        pen.text(end, words, Style(16, Weight.BOLD, ink, 12, across=RIGHT, down=MIDDLE))
        left = name.right() + px(8)
        wide = end.x() - left - px(10)
        if share.low is not None and share.high is not None and wide > px(20):
            token = Token.WRONG if failed else Token.DONE
            bounds = Bounds(share.low, share.high, share.value, least)
            high = min(px(20), row.height() - 4)
            shapes = bounds_shapes(bounds, WHOLE_AXIS, wide, high, ink=token, head=False)
            pen.shapes(shapes, left, round(row.center().y() - high / 2))
