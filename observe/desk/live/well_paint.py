"""The readings of the well: who it is, what was last, where the learner is, what comes next."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF

from observe.desk.live import reading
from observe.desk.live.across import entry_late_words
from observe.desk.live.edge import paint_lamp
from observe.desk.live.layout import Box
from observe.desk.live.well_layout import WellPlan
from observe.desk.paint import BOTTOM, MIDDLE, RIGHT, Pen, Style, fit
from observe.domain.form import Step
from observe.domain.marks import from_record
from observe.domain.observation import Observation
from observe.look.marks import MarkLook, mark_shapes
from observe.look.signs import SignLook, barrier_shapes, sign_shapes
from observe.look.tokens import LINE_HEIGHT_READING, Token, Weight

META_WIDTH = (124, 104)
"""px of what was seen and when, in the header, at the hand and the desk density."""


@dataclass(frozen=True, slots=True)
class HeaderReading:
    """What the head of a well says. lamp: how long ago the last look was, at the lit seat."""

    number: int
    name: str
    seen: str
    looked: str
    watched: SignLook | None
    front: bool
    lamp: str = ""


def rect(box: Box) -> QRectF:
    """A box as Qt wants it."""
    return QRectF(box.x, box.y, box.width, box.height)


def paint_header(pen: Pen, box: QRectF, ink: Token, shown: HeaderReading) -> None:
    """Number, name, how much was seen and how long ago, in band colours when in front.

    Where large text leaves room for one of them only, the name stays.
    """
    px, sizes = pen.skin.px, pen.skin.density
    first, second = (Token.ONBAND, Token.ONBAND2) if shown.front else (ink, Token.INK2)
    size = sizes.well_name_low if box.height() < px(60) else sizes.well_name
    inner = box.adjusted(px(12), 0, 0, 0)
    number = pen.text(inner, str(shown.number), Style(size, Weight.BLACK, second, down=MIDDLE))
    short = reading.initials(shown.name)
    whole = inner.adjusted(number.width + px(10), 0, -px(10), 0)
    least = whole.width() - px(META_WIDTH[0] if pen.skin.is_hand else META_WIDTH[1])
    least -= px(60) if shown.watched else 0
    style = Style(sizes.seat_name, Weight.BOLD, first, sizes.seat_name_least - 3, down=MIDDLE)
    used = 0.0
    high = whole.height() - 2 * px(3)
    if fit(pen.skin, shown.name, least, high, style, short).fits:
        used = _paint_meta(pen, inner, shown, (first, second))
    _paint_name(pen, whole.adjusted(0, 0, -used, 0), shown.name, size, first)


def _paint_name(pen: Pen, box: QRectF, name: str, size: float, ink: Token) -> None:
    """A name in one line where it is large enough so, else in two."""
    sizes = pen.skin.density
    one_line = Style(size, Weight.BOLD, ink, sizes.seat_name, down=MIDDLE)
    if fit(pen.skin, name, box.width(), pen.skin.text_px(size), one_line).fits:
        spare = max(0.0, box.height() - pen.skin.px(size)) / 2
        pen.text(box.adjusted(0, spare, 0, -spare), name, one_line)
        return
    two_lines = Style(sizes.seat_name, Weight.BOLD, ink, sizes.seat_name_least - 3, down=MIDDLE)
    inside = box.adjusted(0, pen.skin.px(3), 0, -pen.skin.px(3))
    pen.text(inside, name, two_lines, shorter=reading.initials(name))


def _paint_meta(pen: Pen, box: QRectF, shown: HeaderReading, inks: tuple[Token, Token]) -> float:
    """Two lines at the right end of the header; returns the width they took."""
    px, sizes = pen.skin.px, pen.skin.density
    wide = px(META_WIDTH[0] if pen.skin.is_hand else META_WIDTH[1])
    middle, left = box.center().y(), box.right() - wide
    above = QRectF(left, middle - px(19), wide, px(19))
    below = QRectF(left, middle, wide, px(19))
    top = pen.text(
        above, shown.seen, Style(sizes.key_word, Weight.BOLD, inks[0], 12.5, RIGHT, BOTTOM)
    )
    if shown.lamp:
        used = max(top.width, paint_lamp(pen, below.adjusted(0, 0, 0, px(1)), shown.lamp, 14))
    else:
        looked = Style(sizes.smallest, Weight.REGULAR, inks[1], 12, RIGHT)
        used = max(top.width, pen.text(below, shown.looked, looked).width)
    if shown.watched is not None:
        said = reading.watched_words(shown.watched)
        style = Style(sizes.smallest, Weight.REGULAR, inks[1], 12, RIGHT)
        side = px(15)
        beside = max(side, 1 + int(fit(pen.skin, said, box.width(), px(19), style).width))
        x = box.right() - used - px(8) - beside
        y = round(middle - side - px(1))
        pen.shapes(sign_shapes(shown.watched, side), round(x + beside - side), y, inks[0])
        pen.text(QRectF(x, middle, beside, px(19)), said, style)
        used += beside + px(8)
    return used


def paint_last(
    pen: Pen, box: QRectF, observation: Observation, *, words: str, taken_back: bool
) -> None:
    """What was marked last: its mark, its word and number, the step in full."""
    px, sizes = pen.skin.px, pen.skin.density
    if not words:
        return
    entry = observation.undone[-1][-1] if taken_back else observation.last
    step_id = str(entry.body.get("step", "")) if entry else ""
    step = observation.ground.form.step.get(step_id)
    title = f"Taken back: {words[:1].lower()}{words[1:]}" if taken_back else words
    side = px(15)
    x = box.x() + px(4)
    single = box.height() < px(34)
    y = box.center().y() - side / 2 if single else box.y() + px(6)
    if step is not None and entry is not None and entry.kind == "mark-set":
        look = reading.mark_look(from_record(entry.body["mark"]))
        ink = Token.LINE if taken_back else None
        pen.shapes(mark_shapes(look, side), round(x), round(y), ink)
    elif entry is not None and entry.kind.startswith("critical"):
        pen.shapes(sign_shapes(SignLook.ABSOLUTE, side), round(x), round(y))
    x += side + px(9)
    label = reading.entry_label(observation, entry) if entry else ""
    late = entry_late_words(entry)
    if single:
        line = QRectF(x, box.y(), box.right() - x, box.height())
        number = observation.numbers.get(step_id)
        text = f"{number}  {label}" if number and not taken_back else title
        text = f"{number}  {late}" if late and number else text
        pen.text(line, text, Style(sizes.smallest, ink=Token.INK2, least=12, down=MIDDLE))
        return
    first = QRectF(x, box.y() + px(3), box.right() - x, px(20))
    pen.text(first, title, Style(15, Weight.BOLD, Token.INK2, 13, down=MIDDLE))
    second = QRectF(x, first.bottom() + px(1), box.right() - x, box.bottom() - first.bottom())
    if late:
        third = QRectF(x, box.bottom() - px(20), box.right() - x, px(20))
        pen.text(third, late, Style(sizes.smallest, Weight.BOLD, Token.INK2, 12, down=MIDDLE))
        second.setBottom(third.top())
    pen.text(second, label, Style(sizes.reading - 1, ink=Token.INK2, least=11))


def paint_current(
    pen: Pen,
    box: QRectF,
    observation: Observation,
    *,
    low: bool,
    refusal: str,
    covered: bool = False,
) -> None:
    """The step in front, in full; below it what done looks like, or what stands in the way.

    covered: not which earlier steps were not seen.
    """
    px, sizes = pen.skin.px, pen.skin.density
    step = reading.current(observation)
    if step is None:
        _paint_past(pen, box, observation)
        return
    number = str(observation.numbers[step.id])
    one = sizes.step_low_one_line if low else sizes.step_one_line
    two = sizes.step_low_two_lines if low else sizes.step_two_lines
    shown = pen.text(box.adjusted(px(4), 0, 0, 0), number, Style(one, Weight.BOLD, Token.ACT))
    text = box.adjusted(px(4) + shown.width + px(9), 0, 0, 0)
    said = pen.text(text, step.label, Style(one, Weight.BOLD, least=min(two - 4, 16), leading=1.16))
    below = text.adjusted(0, said.height, 0, -px(1))
    if below.height() >= px(17):
        needed = () if covered else reading.needs(observation, step)
        _paint_beneath(pen, below, step, needed, refusal)


def _paint_beneath(
    pen: Pen, box: QRectF, step: Step, needed: tuple[int, ...], refusal: str
) -> None:
    px, size = pen.skin.px, pen.skin.density.second
    if refusal:
        pen.text(box, refusal, Style(size, Weight.BOLD, Token.WRONG, 12.5))
    elif needed:
        side = px(13)
        pen.shapes(sign_shapes(SignLook.NEEDS_EARLIER, side), box.x(), round(box.y() + px(3)))
        said = f"{reading.needs_words(needed)}: not seen yet"
        beside = box.adjusted(side + px(6), 0, 0, 0)
        pen.text(beside, said, Style(size, Weight.BOLD, Token.WRONG, 12.5))
    else:
        _paint_done_text(pen, box, step, size)


def _paint_done_text(pen: Pen, box: QRectF, step: Step, size: float) -> None:
    """What done correctly looks like: as a whole or not at all."""
    style = Style(size, Weight.REGULAR, Token.INK2, 13, leading=LINE_HEIGHT_READING)
    said = f"If {step.when}: {step.done}" if step.when else step.done
    if fit(pen.skin, said, box.width(), box.height(), style).fits:
        pen.text(box, said, style)


def _paint_past(pen: Pen, box: QRectF, observation: Observation) -> None:
    """Why there is no step in front."""
    ended = "Void." if observation.void else "Handed over." if observation.handed else ""
    style = Style(pen.skin.density.step_low_one_line, Weight.BOLD)
    pen.text(box.adjusted(pen.skin.px(4), 0, 0, 0), ended or "All steps passed.", style)


def paint_step_row(
    pen: Pen, box: QRectF, ink: Token, title: str, label: str, look: MarkLook | None
) -> None:
    """A step that can be gone to: number or title above, label in full below."""
    px, sizes = pen.skin.px, pen.skin.density
    x = box.x() + px(4)
    if look is not None:
        side = px(15)
        pen.shapes(mark_shapes(look, side), round(x), round(box.center().y() - side / 2))
        x += side + px(9)
    wide = box.right() - x - px(4)
    if box.height() < px(34):
        line = QRectF(x, box.y(), wide, box.height())
        text = f"{title}  {label}"
        pen.text(line, text, Style(sizes.smallest, ink=Token.INK2, least=12, down=MIDDLE))
        return
    style = Style(sizes.reading - 1, ink=ink, least=13)
    said = fit(pen.skin, label, wide, box.height() - px(22), style)
    top = box.y() + max(0, (box.height() - px(22) - said.height) / 2)
    first = QRectF(x, top, wide, px(20))
    pen.text(first, title, Style(15, Weight.BOLD, Token.INK2, 13, down=MIDDLE))
    pen.text(QRectF(x, top + px(22), wide, box.height() - px(22)), label, style)


def paint_stopped(pen: Pen, plan: WellPlan, at: str) -> None:
    """The barrier over the current step: stopped for safety, and when."""
    px = pen.skin.px
    box = rect(plan.rows.current)
    pen.fill(box, Token.WELL)
    pen.shapes(barrier_shapes(box.width(), px(20)), box.x(), box.y())
    place = box.adjusted(px(4), px(22), 0, px(8))
    style = Style(pen.skin.density.reading, Weight.BOLD, least=14, down=MIDDLE)
    pen.text(place, f"Stopped for safety at {at}. The clock stands.", style)
