"""A seat where the well is shared: who stands there, and two keys that work at once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from PySide6.QtCore import QRect, QRectF, QSize, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key, Row, word_face
from observe.desk.live import faces, reading, time_limit
from observe.desk.live.edge import LAMP_WORD, edge_bars, paint_edge, paint_lamp
from observe.desk.live.layout import Box, Edge
from observe.desk.live.model import LiveModel
from observe.desk.live.rod_strip import RodReading, paint_rod, rod_reading
from observe.desk.live.shield import COVERED, covered_rod, heed, is_up
from observe.desk.paint import LEFT, MIDDLE, RIGHT, Pen, Style, fit
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.marks import DONE
from observe.domain.observation import Observation
from observe.domain.printing import clock
from observe.look import tokens
from observe.look.signs import SignLook, barrier_shapes, sign_shapes
from observe.look.tokens import Token, Weight

LOW_UNDER = 210
"""px of height under which a seat has no rod."""
LOW_HEAD = 54
"""px above and below the keys of a seat without a rod."""
NUMBER_WIDTH = 40
"""px that the number of a seat takes of its head, with the gap beside it."""
CLAMP = (9, 9, 4)
"""px of the bars that hold a sealed seat: high, low, in the rail."""
BARRIER = (26, 14, 8)
"""px of the barrier over a stopped seat, in the same order."""
OVER_PAD = 10
"""px of band beside the digits of a clock whose time has come to its end."""


@dataclass(frozen=True, slots=True)
class HeadReading:
    """What the head of a seat says.

    rod: None where there is no room for one. rail: it is a name of the rail, with the
    rod beside the time of the last look if there is a second line at all. over: the
    time has come to its end; the clock stands in band colours then. lamp: how long ago
    the last look was, "3:25", where this is the seat to look at; else empty.
    """

    number: int
    name: str
    time: str
    running: bool
    seen: str
    looked: str
    watched: SignLook | None
    front: bool
    rod: RodReading | None
    signs: tuple[SignLook, ...] = ()
    over: bool = False
    rail: bool = False
    lamp: str = ""


class SeatCard(QWidget):
    """One learner at the table: head, sentence key, critical key, and the table edge.

    low: without a rod, where there is no height for one. names_only: a place of the rail.
    """

    rate = Signal(int)
    debrief = Signal(int)

    def __init__(
        self,
        skin: Skin,
        model: LiveModel,
        seat: int,
        parent: QWidget,
        *,
        edge: Edge,
        names_only: bool = False,
    ) -> None:
        super().__init__(parent)
        self.skin, self.model, self.seat, self.edge = skin, model, seat, edge
        self.low = False
        self.names_only = names_only
        self.lit = False
        self._band = 0
        self._framed: tuple[object, ...] = ()
        self.head = Row(skin, self)
        self.sentence = Key(skin, self)
        self.critical = Key(skin, self)
        self.head.struck.connect(self._look)
        self.sentence.struck.connect(self._sentence)
        self.critical.struck.connect(self._critical)
        heed(model, self.refresh)
        self.setAccessibleName(f"Seat {model.number(seat)}, {model.name(seat)}")

    def light(self, *, lit: bool) -> None:
        """Put the lamp on this seat, or take it away."""
        if lit != self.lit:
            self.lit = lit
            self._show_head(self.model.state(self.seat))
            self._update_edge()

    # deeds

    def _look(self) -> None:
        self.model.look(self.seat)

    def _sentence(self) -> None:
        state = self.model.state(self.seat)
        if state.sealed:
            self.debrief.emit(self.seat)
        elif state.stopped and not state.void:
            self.model.do(self.seat, gestures.go_on)
        elif reading.current(state) is None or state.void:
            self.rate.emit(self.seat)
        else:
            self.model.mark(self.seat, DONE)

    def _critical(self) -> None:
        self.model.critical(self.seat)

    # geometry

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out(event.size())
        self.refresh()

    def _lay_out(self, size: QSize) -> None:
        px = self.skin.px
        self.low = size.height() < px(LOW_UNDER)
        inner = self._inner(size)
        if self.names_only:
            below = self._band if self._is_sealed() else 0
            self.head.setGeometry(inner[0], inner[1], inner[2], inner[3] - below)
            self.sentence.hide()
            self.critical.hide()
            return
        keys_y = inner[1] + px(50 if self.low else 90)
        self.head.setGeometry(inner[0], inner[1], inner[2], keys_y - inner[1] - px(1))
        pad, gap = px(8), _critical_gap(self.skin)
        foot = px(4 if self.low else 7)
        wide = _critical_width(self.skin)
        x, width = inner[0] + pad, inner[2] - 2 * pad
        high = size.height() - keys_y - foot
        if self._is_sealed():
            self.sentence.place(x, keys_y, width, high - self._band)
            return
        left = self.skin.is_left
        self.sentence.place(x + (wide + gap if left else 0), keys_y, width - gap - wide, high)
        self.critical.place(x if left else x + width - wide, keys_y, wide, high)

    def _inner(self, size: QSize) -> tuple[int, int, int, int]:
        """x, y, width and height inside the table edge, the clamp or the barrier."""
        left, top, right = edge_bars(self.edge, self.skin, low=self.low)
        top = max(top, self._band)
        return left, top, size.width() - left - right, size.height() - top

    # reading

    def refresh(self) -> None:
        """Show the state as it is; only what changed is repainted."""
        state = self.model.state(self.seat)
        can = self.model.can_mark(self.seat)
        if self._band != self._band_of(state):
            self._band = self._band_of(state)
            self._lay_out(self.size())
        self._show_head(state)
        self._repaint(state)
        if self.names_only:
            return
        self.sentence.show_face(self._sentence_face(state, can=can))
        self.critical.setVisible(not state.sealed and not state.void)
        self.critical.show_face(critical_key_face(self.model, self.seat, can=can, quiet=True))

    def _is_sealed(self) -> bool:
        return self.model.state(self.seat).sealed is not None

    def _band_of(self, state: Observation) -> int:
        """Height of what lies over the top of the seat: clamp, barrier, or nothing."""
        kind = 2 if self.names_only else 1 if self.low else 0
        if state.sealed:
            return self.skin.px(CLAMP[kind])
        if state.stopped and not state.void:
            return self.skin.px(BARRIER[kind])
        return 0

    def _repaint(self, state: Observation) -> None:
        """Repaint the edge; the whole seat only where its frame looks different."""
        frame = (self.seat == self.model.front, state.sealed, state.stopped, state.void)
        if frame != self._framed:
            self._framed = frame
            self.update()
        else:
            self._update_edge()

    def _update_edge(self) -> None:
        for bar in self._edge_rects():
            self.update(bar)

    def tick(self) -> None:
        """A second went by: clock, time since the last look, and the edge."""
        self._show_head(self.model.state(self.seat))
        self._update_edge()

    def _show_head(self, state: Observation) -> None:
        shown = self._head_reading(state)
        watched = f"{reading.watched_words(shown.watched)}, " if shown.watched else ""
        name = (
            f"Seat {shown.number}, {shown.name}, {reading.spoken(self.model.elapsed_ns(self.seat))}"
            f", {shown.seen}, {watched}{f'{LAMP_WORD}, ' if shown.lamp else ''}{shown.looked}."
        )
        self.head.show_face(Face(name, paint_head, (shown,)))

    def _head_reading(self, state: Observation) -> HeadReading:
        model, seat = self.model, self.seat
        since = model.since_look_ns(seat)
        looked = f"{reading.ago(since)} ago" if state.clock.started else ""
        if state.void:
            looked = "void"
        elif state.sealed:
            looked = f"sealed {local_time(state.sealed.at)}"
        elif state.stopped:
            looked = f"stopped at {clock(model.elapsed_ns(seat))}"
        elif state.clock.started and not state.clock.is_running:
            looked = "paused"
        over = not state.sealed and time_limit.is_over(state, model.elapsed_ns(seat))
        if over and not (state.void or state.stopped):
            looked = f"time is up · {looked}"
        return HeadReading(
            number=model.number(seat),
            name=model.name(seat),
            time=clock(model.elapsed_ns(seat)),
            running=state.clock.is_running,
            seen=COVERED if is_up(model) else reading.seen_words(state),
            looked=looked,
            watched=reading.watched_sign(
                shared=model.is_shared(seat), sealed=model.are_all_sealed(seat)
            ),
            front=seat == model.front,
            rod=self._rod(state) if self.names_only or not self.low else None,
            signs=(SignLook.SEALED,) if state.sealed else (),
            rail=self.names_only,
            over=over,
            lamp=reading.ago(since) if self.lit else "",
        )

    def _rod(self, state: Observation) -> RodReading:
        shown = rod_reading(state)
        return covered_rod(shown) if is_up(self.model) else shown

    def _sentence_face(self, state: Observation, *, can: bool) -> Face:
        covered = is_up(self.model)
        if state.sealed:
            face = word_face("Void: see what was kept" if state.void else "See the decision")
            return face.allowed(can=not covered)
        if state.stopped and not state.void:
            return word_face("Go on", weight=Weight.BOLD).allowed(can=can)
        step = reading.current(state)
        if step is None or state.void:
            can = self.model.trouble is None and not covered
            return rate_face(state, can=can)
        needed = () if covered else reading.needs(state, step)
        return faces.sentence_face(
            step.label,
            state.numbers[step.id],
            reading.needs_words(needed) if needed else "",
            low=self.low,
            can=can,
            name=f"Seat {self.model.number(self.seat)}, {self.model.name(self.seat)}. ",
        )

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        box = QRectF(self.rect())
        state = self.model.state(self.seat)
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.RULE, 1)
        self._paint_edge(pen)
        bar = self._band
        if bar and not state.sealed:
            pen.fill(QRectF(0, 0, box.width(), bar), Token.SHEET)
            pen.shapes(barrier_shapes(box.width(), bar), 0, 0)
        if state.sealed:
            pen.fill(QRectF(0, 0, box.width(), bar), Token.INK)
            pen.fill(QRectF(0, box.height() - bar, box.width(), bar), Token.INK)
        if self.seat == self.model.front:
            pen.frame(box, Token.BAND, tokens.FRONT_WIDTH)
        painter.end()

    def _paint_edge(self, pen: Pen) -> None:
        share = min(1.0, self.model.since_look_ns(self.seat) / self.skin.edge_full_ns)
        place = Box(0, 0, self.width(), self.height())
        paint_edge(pen, self.edge, place, share, low=self.low, lit=self.lit)

    def _edge_rects(self) -> list[QRect]:
        left, top, right = edge_bars(self.edge, self.skin, low=self.low)
        wide, high = self.width(), self.height()
        bars = [QRect(0, 0, left, high), QRect(0, 0, wide, top)]
        bars.append(QRect(wide - right, 0, right, high))
        return [bar for bar in bars if not bar.isEmpty()]


def _critical_gap(skin: Skin) -> int:
    return max(skin.mm(tokens.CRITICAL_GAP_MM), skin.px(12))


def _critical_width(skin: Skin) -> int:
    return max(skin.mm(tokens.CRITICAL_TARGET_MM), skin.grows(117, 76, 0.2))


def beside_sentence(skin: Skin) -> int:
    """Px of a seat's width that its sentence key does not have, with the table edge."""
    return 2 * skin.px(8) + _critical_gap(skin) + _critical_width(skin) + skin.px(10)


def sentence_height(skin: Skin, labels: tuple[str, ...], width: int) -> int:
    """Least px of height of a sentence key `width` px wide that holds the longest label."""
    return max((faces.sentence_height(skin, label, width) for label in labels), default=0)


def rate_face(state: Observation, *, can: bool) -> Face:
    """Past the last step the sentence key leads to the rating; handed over, to the seal."""
    words = "All steps passed: rate and seal"
    if state.void or state.handed:
        words = "Void: seal it" if state.void else "Handed over: seal your part"
    face = word_face(words, size=17, weight=Weight.BOLD)
    return Face(face.name, face.draw, face.content, heel=Token.ACT, can=can)


def critical_key_face(model: LiveModel, seat: int, *, can: bool, quiet: bool) -> Face:
    """The face of a critical key: the last event recorded, or quiet."""
    state = model.state(seat)
    found = () if is_up(model) else reading.recorded(state)
    last = found[-1] if found else None
    return faces.critical_face(
        sign=reading.sign_of(last) if last else None,
        time=clock(last.elapsed_ns) if last else "",
        words=reading.occurrence_words(state, last) if last else "",
        count=len(found),
        can=can,
        name=f"Seat {model.number(seat)}, {model.name(seat)}",
        quiet=quiet,
        item=reading.undecided_item(state, last) if last else "",
    )


def local_time(at: str) -> str:
    """Hours and minutes of a stamp on the wall clock of this place."""
    return f"{datetime.fromisoformat(at).astimezone():%H:%M}"


def _line_heights(skin: Skin) -> tuple[int, int]:
    """Px of the line with the name, and of the line below it."""
    name = min(skin.px(30), round(skin.text_px(skin.density.seat_name) * 1.1))
    return name, min(skin.px(19), round(skin.text_px(skin.density.second) * 1.1))


def paint_head(pen: Pen, box: QRectF, ink: Token, shown: HeadReading) -> None:
    """Number, name and clock; below them how much was seen and how long ago; then the rod.

    In the rail, and in larger text, the clock gives way to a long name; in the rail how
    much was seen does to how long ago. The well says both of the learner in front.
    """
    px, sizes = pen.skin.px, pen.skin.density
    band = shown.front
    first, second = (Token.ONBAND, Token.ONBAND2) if band else (ink, Token.INK2)
    low = shown.rod is None or shown.rail
    name_high, meta_high = _line_heights(pen.skin)
    short = reading.initials(shown.name)
    style = Style(sizes.seat_name, Weight.BOLD, first, sizes.seat_name_least, down=MIDDLE)
    alone = box.height() < name_high + meta_high - px(1)
    row = QRectF(box.x(), box.y() + px(2 if low else 4), box.width(), name_high)
    apart = 0
    if shown.rail:
        wide = box.width() - 2 * px(8) - px(NUMBER_WIDTH)
        alone = alone or not fit(pen.skin, shown.name, wide, name_high, style, short).fits
        spare = max(0.0, box.height() - name_high - meta_high)
        apart = min(px(14), round(spare / 2))
        row.moveTop(box.y() + round((spare - apart) / 2))
    if alone:
        row = QRectF(box)
    if band:
        high = box.height() if shown.rail else row.bottom() - box.y() + 1
        pen.fill(QRectF(box.x(), box.y(), box.width(), high), Token.BAND)
    inner = row.adjusted(px(8), 0, -px(8), 0)
    number = pen.text(
        inner, str(shown.number), Style(sizes.seat_number, Weight.BLACK, second, down=MIDDLE)
    )
    name = inner.adjusted(number.width + px(8), 0, 0, 0)
    for sign in shown.signs:
        side = pen.skin.sign(18, 18)
        middle = round(row.center().y() - side / 2)
        pen.shapes(sign_shapes(sign, side), name.right() - side, middle, first)
        name.setRight(name.right() - side - px(6))
    whole = name
    if alone and shown.lamp:
        name = name.adjusted(0, 0, -_paint_lamp_alone(pen, name, shown.lamp), 0)
    else:
        name = _paint_clock(pen, name, shown, style, short)
    if shown.rail and (shown.lamp or shown.signs or name == whole):
        short = reading.down_to_initials(shown.name)
    pen.text(name, shown.name, style, shorter=short)
    if alone:
        return
    y = row.bottom() + apart + (-1 if low else px(3))
    meta = QRectF(inner.x(), y, inner.width(), min(meta_high, box.bottom() - y))
    if shown.rail:
        _paint_rail_meta(pen, meta, shown, second)
        return
    _paint_meta(pen, meta, shown)
    if shown.rod is not None:
        below = meta.bottom() + px(12)
        paint_rod(pen, shown.rod, inner.x(), below, round(inner.width()), pen.skin.sign(13, 13))


def _paint_clock(
    pen: Pen, box: QRectF, shown: HeadReading, style: Style, short: tuple[str, ...]
) -> QRectF:
    """The clock at the right, where the name has room beside it; what is left for the name."""
    clock_style = Style(pen.skin.density.clock, Weight.BOLD, style.ink, across=RIGHT, down=MIDDLE)
    time = fit(pen.skin, shown.time, box.width(), box.height(), clock_style)
    over = pen.skin.px(OVER_PAD) if shown.over else 0
    beside = box.adjusted(0, 0, -time.width - over - pen.skin.px(8), 0)
    gives_way = shown.rail or pen.skin.text > 1
    if gives_way and not fit(pen.skin, shown.name, *_extent(beside), style, short).fits:
        return box
    _paint_time(pen, box, shown, clock_style)
    return beside


def _extent(box: QRectF) -> tuple[float, float]:
    return box.width(), box.height()


def _paint_lamp_alone(pen: Pen, box: QRectF, since: str) -> float:
    """The lamp in place of the clock, where a name stands alone; the width it takes from it."""
    px, size = pen.skin.px, pen.skin.density.second
    high = min(box.height() - px(4), pen.skin.px(24) * pen.skin.text)
    chip = QRectF(box.center().x(), box.center().y() - high / 2, box.width() / 2, high)
    return paint_lamp(pen, chip, since, size) + px(8)


def _paint_rail_meta(pen: Pen, box: QRectF, shown: HeadReading, ink: Token) -> None:
    """In the rail: the rod, and how long ago; in front of you how much was seen instead."""
    px = pen.skin.px
    style = Style(pen.skin.density.second, ink=ink, least=13, across=RIGHT, down=MIDDLE)
    if shown.lamp:
        used = paint_lamp(pen, box.adjusted(px(40), 0, 0, 0), shown.lamp, style.size)
    else:
        used = pen.text(box, shown.looked, style).width
    rest = box.adjusted(0, 0, -used - px(10), 0)
    if shown.front or shown.rod is None:
        seen = replace(style, across=LEFT)
        if fit(pen.skin, shown.seen, *_extent(rest), seen).fits:
            pen.text(rest, shown.seen, seen)
        return
    high = pen.skin.sign(11, 11)
    y = round(rest.bottom() - high - px(7))
    paint_rod(pen, shown.rod, rest.x(), y, max(1, round(rest.width())), high)


def _paint_time(pen: Pen, box: QRectF, shown: HeadReading, style: Style) -> None:
    """The clock at the right end; once time is up in band colours, turned round on a band."""
    if not shown.over:
        pen.text(box, shown.time, style)
        return
    px = pen.skin.px
    ground, ink = (Token.SHEET, Token.INK) if shown.front else (Token.BAND, Token.ONBAND)
    wide = fit(pen.skin, shown.time, box.width(), box.height(), style).width + px(OVER_PAD)
    high = min(box.height() - px(2), pen.skin.text_px(style.size) + px(6))
    place = QRectF(box.right() - wide, box.center().y() - high / 2, wide, high)
    pen.fill(place, ground)
    pen.text(place.adjusted(0, 0, -px(OVER_PAD) / 2, 0), shown.time, replace(style, ink=ink))


def _paint_meta(pen: Pen, box: QRectF, shown: HeadReading) -> None:
    px = pen.skin.px
    style = Style(pen.skin.density.second, Weight.REGULAR, Token.INK2, 13, down=MIDDLE)
    seen = pen.text(box, shown.seen, style)
    right = Style(style.size, style.weight, style.ink, style.least, RIGHT, MIDDLE)
    if shown.lamp:
        chip = box.adjusted(box.width() * 0.4, 0, 0, -px(2) if shown.rod is None else px(1))
        used = paint_lamp(pen, chip, shown.lamp, style.size)
    else:
        used = pen.text(box, shown.looked, right).width
    if shown.watched is not None:
        x = box.x() + seen.width + px(10)
        pen.shapes(sign_shapes(shown.watched, px(14)), round(x), round(box.y() + px(3)))
        word = QRectF(x + px(18), box.y(), 0, box.height())
        word.setRight(box.right() - used - px(4))
        said = reading.watched_words(shown.watched)
        short = (said.split(maxsplit=1)[0],)
        if fit(pen.skin, said, *_extent(word), style, short).fits:
            pen.text(word, said, style, shorter=short)
