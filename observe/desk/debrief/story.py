"""The attempt in time, and the lists behind a line: the lower part of Debrief."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from observe.desk.live import reading
from observe.desk.paint import CENTRE, MIDDLE, Pen, Style
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.domain.board import Occurrence
from observe.domain.honesty import notes
from observe.domain.markwords import mark_words
from observe.domain.observation import Observation
from observe.domain.printing import clock
from observe.domain.words import when
from observe.look.marks import MarkLook, mark_shapes
from observe.look.shapes import Shapes
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Token, Weight
from observe.work.debrief import Reveal

CRITICAL_TITLE = "Critical items"
NO_STEP = "No step stands behind this line."
READING = Style(14, ink=Token.INK2, least=10.5)
LIST_TITLE = Style(15, Weight.BOLD, least=11)
ROW = Style(15, least=10.5)
Block = tuple[int, Callable[[Pen, QRectF], None]]
"""Px of height, and what paints it into a place."""
MINUTE_NS = 60 * 1_000_000_000


@dataclass(frozen=True, slots=True)
class Moment:
    """One mark on the line. at: the attempt's clock, ns."""

    at: int
    number: int
    look: MarkLook


def moments(*parts: Observation) -> tuple[Moment, ...]:
    """Every marked step at the time when it was seen last, if known, in the order of time.

    parts: one observation, or those of a watch that was handed on, in turn.
    """
    found: dict[int, Moment] = {}
    for state in parts:
        for step in state.steps:
            placed = state.board.placed.get(step.id)
            if placed and placed[-1].is_timed:
                number, look = state.numbers[step.id], reading.mark_look(state.mark(step.id))
                found[number] = Moment(placed[-1].observed_ns, number, look)
    return tuple(sorted(found.values(), key=lambda one: (one.at, one.number)))


def looks_of(parts: Sequence[Observation]) -> tuple[int, ...]:
    """The attempt's clock at every look that is known: at a mark, or without one; ns, in order."""
    marked = [one.at for one in moments(*parts)]
    return tuple(sorted({*marked, *(look for part in parts for look in part.looks)}))


def events_of(parts: Sequence[Observation]) -> tuple[tuple[Observation, Occurrence], ...]:
    """Every critical event that was recorded, with the part it was recorded in."""
    return tuple((part, one) for part in parts for one in reading.recorded(part))


def spread(places: Sequence[float], apart: float, end: float) -> list[float]:
    """Places on a line pushed apart to the right, then back from its end."""
    found: list[float] = []
    free = 0.0
    for place in places:
        found.append(max(place, free))
        free = found[-1] + apart
    limit = end
    for index in range(len(found) - 1, -1, -1):
        found[index] = min(found[index], limit)
        limit = found[index] - apart
    return found


class StoryPanel(QWidget):
    """Marks on a line at their minute; or the steps behind a line; or what would settle it."""

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.found: Reveal | None = None
        self.title = ""
        self.lists: tuple[tuple[str, tuple[str, ...]], ...] = ()
        self.labels: tuple[tuple[SignLook | None, str], ...] = ()

    def show_time(self, found: Reveal) -> None:
        """Show the attempt in time; for an undecided one also what would settle it."""
        self.found, self.title, self.labels = found, "The attempt in time", ()
        self.lists = settling_lists(found)
        self.setAccessibleName(self._spoken())
        self.update()

    def show_steps(self, found: Reveal, title: str, steps: tuple[str, ...]) -> None:
        """Show the steps behind a line of the rule, or the critical items not watched."""
        self.found, self.title = found, title
        self.lists = (("Behind this line", steps),) if steps else ()
        self.labels = critical_labels(found) if title == CRITICAL_TITLE else ()
        if self.labels:
            self.lists = ()
        self.setAccessibleName(self._spoken())
        self.update()

    @property
    def readings(self) -> tuple[str, ...]:
        """How the attempt was entered, where that is worth a sentence; beside the line in time."""
        if self.found is None or not self.has_line:
            return ()
        told = [one.sentence for part in self.found.parts for one in notes(part)]
        return tuple(dict.fromkeys(told))

    @property
    def has_line(self) -> bool:
        return self.title == "The attempt in time"

    def _spoken(self) -> str:
        parts = [f"{title}: {', '.join(steps)}" for title, steps in self.lists]
        parts.extend(words for _, words in self.labels)
        parts.extend(self.readings)
        return ". ".join([self.title, *parts])

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.RULE, 1)
        head = QRectF(px(16), px(6), box.width() - px(32), px(28))
        pen.text(head, self.title, Style(18, Weight.BOLD, down=MIDDLE))
        if self.found is not None and self.skin.text > 1:
            self._paint_blocks(pen, box, self.found)
        elif self.found is not None:
            self._paint_parts(pen, box, self.found)
        painter.end()

    def _paint_parts(self, pen: Pen, box: QRectF, found: Reveal) -> None:
        px = self.skin.px
        top = px(40)
        area = QRectF(px(16), top, box.width() - px(32), box.height() - top - px(8))
        if self.has_line:
            wide = area.width() * (0.54 if self.lists else 1)
            line = QRectF(area.x(), area.y(), wide, min(px(176), area.height()))
            said = " ".join(self.readings)
            if said:
                foot = QRectF(area.x(), 0, wide, px(44))
                foot.moveBottom(area.bottom())
                pen.text(foot, said, Style(14, ink=Token.INK2, least=10.5))
                line.setBottom(min(line.bottom(), foot.top()))
                area.setBottom(foot.top())
            self._paint_line(pen, line, found.parts)
            if self.lists:
                area = QRectF(line.right() + px(24), px(8), area.right() - line.right() - px(24), 0)
                area.setBottom(box.height() - px(8))
            else:
                area.setTop(line.bottom() + px(2))
        if self.lists:
            self._paint_lists(pen, area, found.observation)
        elif self.labels:
            self._paint_labels(pen, area)
        elif self.has_line:
            self._paint_amendments(pen, area, found.observation)
        else:
            pen.text(area, NO_STEP, Style(16, ink=Token.INK2))

    # enlarged: one below the other

    def needed(self, width: int) -> int:
        """Px of height in a width; 0 where text is not enlarged and all of it gives."""
        if self.skin.text == 1 or self.found is None:
            return 0
        blocks = self._blocks(self.found, width - self.skin.px(32))
        return self.skin.px(48) + sum(high for high, _ in blocks)

    def _blocks(self, found: Reveal, wide: float) -> list[Block]:
        """What stands below the title, each with its height and what paints it."""
        px, state = self.skin.px, found.observation
        blocks: list[Block] = []
        if self.has_line:
            blocks.append((px(184), lambda pen, box: self._paint_line(pen, box, found.parts)))
            blocks += [self._text_block(one, wide, READING) for one in self.readings]
        for title, steps in self.lists:
            blocks.append(self._text_block(title, wide, LIST_TITLE))
            for step in steps:
                sign = mark_shapes(reading.mark_look(state.mark(step)), px(14))
                blocks.append(self._text_block(_step_words(state, step), wide, ROW, sign))
        if not self.lists:
            for look, label in self.labels:
                sign = sign_shapes(look, px(14)) if look else mark_shapes(MarkLook.NOT_SEEN, px(14))
                blocks.append(self._text_block(label, wide, ROW, sign))
        if self.has_line and state.amendments:
            sign = sign_shapes(SignLook.AMENDED, px(14))
            blocks.append(self._text_block(_amended_words(state), wide, ROW, sign))
        return blocks or [self._text_block(NO_STEP, wide, ROW)]

    def _text_block(self, text: str, wide: float, style: Style, sign: Shapes = ()) -> Block:
        px = self.skin.px
        left = px(14) + px(10) if sign else 0
        high = height_of(self.skin, text, wide - left, style)

        def paint(pen: Pen, box: QRectF) -> None:
            if sign:
                pen.shapes(sign, box.x(), round(box.y() + px(4)))
            pen.text(QRectF(box.x() + left, box.y(), box.width() - left, high), text, style)

        return high + px(10), paint

    def _paint_blocks(self, pen: Pen, box: QRectF, found: Reveal) -> None:
        px = self.skin.px
        y, wide = float(px(40)), box.width() - px(32)
        for high, paint in self._blocks(found, wide):
            paint(pen, QRectF(px(16), y, wide, high - px(8)))
            y += high

    def _paint_labels(self, pen: Pen, box: QRectF) -> None:
        """Critical events that were recorded, then items that were not watched."""
        px = self.skin.px
        high = min(px(28), box.height() / len(self.labels))
        side = min(px(14), round(high * 0.7))
        for place, (sign, label) in enumerate(self.labels):
            y = box.y() + place * high
            shapes = sign_shapes(sign, side) if sign else mark_shapes(MarkLook.NOT_SEEN, side)
            pen.shapes(shapes, box.x(), round(y + (high - side) / 2))
            line = QRectF(box.x() + side + px(8), y, box.width() - side - px(8), high)
            pen.text(line, label, Style(15, least=10.5, down=MIDDLE))

    def _paint_line(self, pen: Pen, box: QRectF, parts: Sequence[Observation]) -> None:
        px = self.skin.px
        found = moments(*parts)
        events = events_of(parts)
        last = max([one.at for one in found] + [one.elapsed_ns for _, one in events], default=0)
        length = max(last, MINUTE_NS)
        apart = 1.14
        side = min(px(22), int((box.width() - px(8)) / max(1, len(found)) / apart))
        y = box.bottom() - px(86)
        pen.fill(QRectF(box.x(), round(y), box.width(), 2), Token.INK)
        wide = box.width() - side - px(6)
        places = [one.at / length * wide for one in found]
        for x, one in zip(spread(places, side * apart, wide), found, strict=True):
            below = one.look is MarkLook.INCORRECT
            left = round(box.x() + x)
            pen.shapes(mark_shapes(one.look, side), left, round(y + 3 if below else y - side))
            label = QRectF(left - px(4), y + side + px(5), side + px(8), px(16))
            pen.text(label, str(one.number), Style(13, ink=Token.INK2, least=10, across=CENTRE))
        self._paint_events(pen, box, y, length, parts)
        self._paint_looks(pen, box, y + side + px(22), length, parts)
        self._paint_minutes(pen, box, y + side + px(34), length)

    def _paint_events(
        self, pen: Pen, box: QRectF, y: float, length: int, parts: Sequence[Observation]
    ) -> None:
        px = self.skin.px
        side = px(20)
        events = [(part, one) for part, one in events_of(parts) if one.is_timed]
        apart = px(150)
        places = [one.elapsed_ns / length * (box.width() - apart) for _, one in events]
        spots = spread(places, apart, box.width() - apart)
        for x, (state, one) in zip(spots, events, strict=True):
            left = round(box.x() + x)
            top = round(y - side - px(26))
            pen.shapes(sign_shapes(reading.sign_of(one), side), left, top)
            said = f"{reading.occurrence_words(state, one)}, {clock(one.elapsed_ns)}"
            place = QRectF(left + side + px(6), top, apart - side - px(10), side)
            pen.text(place, said, Style(14, Weight.BOLD, Token.CRIT, 10.5, down=MIDDLE))

    def _paint_looks(
        self, pen: Pen, box: QRectF, y: float, length: int, parts: Sequence[Observation]
    ) -> None:
        """When the observer looked: short strokes in the colour of the lamp."""
        px = self.skin.px
        for at in looks_of(parts):
            x = box.x() + at / length * (box.width() - px(22))
            stroke = QRectF(round(x), round(y), px(5), px(9))
            pen.fill(stroke, Token.LAMP)
            pen.frame(stroke, Token.INK, 1)

    def _paint_minutes(self, pen: Pen, box: QRectF, y: float, length: int) -> None:
        px = self.skin.px
        minutes = max(1, length // MINUTE_NS)
        most = min(9, max(1, int(box.width() / px(64))))
        every = next((n for n in (1, 2, 4, 5, 10, 20, 30, 60) if minutes / n <= most), 120)
        for minute in range(0, minutes + 1, every):
            x = box.x() + minute * MINUTE_NS / length * (box.width() - px(22))
            pen.fill(QRectF(round(x), y, 1, px(5)), Token.LINE)
            place = QRectF(max(box.x(), x - px(30)), y + px(5), px(60), px(18))
            across = 0.0 if minute == 0 else CENTRE
            pen.text(place, f"{minute} min", Style(14, ink=Token.INK2, least=12, across=across))

    def _paint_lists(self, pen: Pen, box: QRectF, state: Observation) -> None:
        px = self.skin.px
        high = box.height() / max(1, len(self.lists))
        for place, (title, steps) in enumerate(self.lists):
            y = box.y() + place * high
            head = QRectF(box.x(), y, box.width(), px(26))
            pen.text(head, title, Style(15, Weight.BOLD, least=11, down=MIDDLE))
            columns = 1 if len(self.lists) > 1 else 2
            rows = -(-len(steps) // columns)
            area = QRectF(box.x(), head.bottom(), box.width(), high - px(30))
            self._paint_steps(pen, area, state, steps, max(1, rows))

    def _paint_steps(
        self, pen: Pen, box: QRectF, state: Observation, steps: tuple[str, ...], rows: int
    ) -> None:
        px = self.skin.px
        columns = max(1, -(-len(steps) // rows))
        high = min(px(28), box.height() / rows)
        if high < px(17):
            numbers = ", ".join(str(state.numbers[step]) for step in steps)
            pen.text(box, f"Steps {numbers}", Style(15, least=10.5))
            return
        wide = box.width() / columns
        side = min(px(14), round(high * 0.6))
        for place, step in enumerate(steps):
            x = box.x() + (place // rows) * wide
            y = box.y() + (place % rows) * high
            mark = state.mark(step)
            look = reading.mark_look(mark)
            pen.shapes(mark_shapes(look, side), round(x), round(y + (high - side) / 2))
            label = state.ground.form.step[step].label
            said = _step_words(state, step)
            line = QRectF(x + side + px(8), y, wide - side - px(14), high)
            shorter = (f"{state.numbers[step]}  {label}", f"step {state.numbers[step]}")
            pen.text(line, said, Style(15, least=10.5, down=MIDDLE), shorter=shorter)

    def _paint_amendments(self, pen: Pen, box: QRectF, state: Observation) -> None:
        px = self.skin.px
        if not state.amendments:
            return
        pen.shapes(sign_shapes(SignLook.AMENDED, px(20)), box.x(), box.y() + px(4))
        place = box.adjusted(px(32), 0, 0, 0)
        pen.text(place, _amended_words(state), Style(15, Weight.MEDIUM, least=11, down=MIDDLE))


def _amended_words(state: Observation) -> str:
    many = len(state.amendments)
    return f"Amended {many} time{'' if many == 1 else 's'} after the seal. The first marks stay."


def _step_words(state: Observation, step: str) -> str:
    label = state.ground.form.step[step].label
    return f"{state.numbers[step]}  {label}, {mark_words(state.mark(step))}"


def critical_labels(found: Reveal) -> tuple[tuple[SignLook | None, str], ...]:
    """What stands behind the critical line: events with their time, then items not watched."""
    items = {one.item.id: one.item.label for one in found.decision.criticals}
    events = [
        (
            reading.sign_of(one),
            f"{when(one)}  {items[one.item]}, {reading.occurrence_words(state, one)}",
        )
        for state, one in events_of(found.parts)
        if one.item
    ]
    unwatched = [(None, f"{items[one]}, not watched") for one in found.decision.unwatched]
    return (*events, *unwatched)


def settling_lists(found: Reveal) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The two fewest lists of an undecided attempt, with their titles (rule D2)."""
    if found.settling is None:
        return ()
    titles = (
        ("Pass would follow if these were done", found.settling.to_pass),
        ("Remediate would follow if these were not done", found.settling.to_remediate),
    )
    none = "No unseen step alone could settle it"
    return tuple((title if steps is not None else none, steps or ()) for title, steps in titles)
