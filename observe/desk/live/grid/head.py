"""The heads of the columns: who it is, how long ago you looked, how much was seen."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import QEvent, QPoint, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetricsF, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QHeaderView, QTableView, QWidget

from observe.desk.live import reading
from observe.desk.live.edge import LAMP_PAD, LAMP_WORD, paint_lamp
from observe.desk.live.grid.model import GridModel
from observe.desk.live.grid.paint import NARROW
from observe.desk.live.grid.touches import Spot, Touches
from observe.desk.live.model import LiveModel
from observe.desk.live.shield import is_up
from observe.desk.paint import CENTRE, MIDDLE, RIGHT, Pen, Style, fit
from observe.desk.theme import Skin
from observe.domain.printing import clock
from observe.look.signs import SignLook, barrier_shapes, sign_shapes
from observe.look.tokens import LAMP_OUTLINE, Token, Weight

EDGE = 8
NAME_SIZE, NAME_LEAST = 17, 13
LINE = 1.16
MOST_LINES = 3
STACKED = 61
"""px of the density under which the clock has no room beside the number."""
FOOT = 19
CALM_NS = 10_000_000_000
"""Where the person asked for less motion the edge steps this often."""


@dataclass(frozen=True, slots=True)
class HeadReading:
    """What the head of a column says. share: of the edge, 0 to 1; sign: of its state."""

    number: int
    name: str
    share: float
    seen: str
    time: str
    sign: SignLook | None
    stopped: bool
    void: bool
    front: bool
    lit: bool


def head_reading(
    model: LiveModel, seat: int, full_ns: int, *, lit: bool = False, calm: bool = False
) -> HeadReading:
    """The head of one learner now.

    full_ns: time without a look after which the edge is full. calm: the edge steps every
    ten seconds only.
    """
    state = model.state(seat)
    since = model.since_look_ns(seat)
    if calm:
        since -= since % CALM_NS
    paused = state.clock.started and not state.clock.is_running
    seen = None if is_up(model) else reading.seen_so_far(state)
    sign = None
    if state.sealed:
        sign = SignLook.SEALED
    elif paused and not (state.stopped or state.void):
        sign = SignLook.PAUSED
    elif model.is_shared(seat):
        sign = SignLook.BLIND
    return HeadReading(
        number=model.number(seat),
        name=model.name(seat),
        share=min(1.0, since / full_ns),
        seen="" if seen is None else f"{seen.numerator * 100 // seen.denominator} %",
        time=clock(model.elapsed_ns(seat)),
        sign=sign,
        stopped=bool(state.stopped) and not state.sealed and not state.void,
        void=bool(state.void),
        front=seat == model.front,
        lit=lit,
    )


def name_lines(skin: Skin, name: str, width: float) -> tuple[str, float]:
    """A name on two lines or more, given names first, and its size in px of the density.

    Stepped down first; then a name too long for its place is broken, never cut.
    """
    sizes = range(NAME_SIZE, NAME_LEAST - 1, -1)
    fonts = tuple(skin.font(size, Weight.BOLD).toString() for size in sizes)
    text, step = _lines_of(fonts, name, width)
    return text, sizes[step]


@lru_cache(maxsize=512)
def _lines_of(fonts: tuple[str, ...], name: str, width: float) -> tuple[str, int]:
    """The lines of a name, and which of the fonts they are set in, the largest first."""
    given, _, family = name.rpartition(" ")
    parts = [one for one in (given, family) if one]
    metrics: QFontMetricsF | None = None
    for step, face in enumerate(fonts):
        metrics = _metrics(face)
        if all(metrics.horizontalAdvance(one) <= width for one in parts):
            return "\n".join(parts), step
    if metrics is None:
        return "\n".join(parts), 0
    lines = [line for one in parts for line in _broken(metrics, one, width)]
    if len(lines) > MOST_LINES and given:
        lines = _broken(metrics, f"{given[0]}. {family}", width)
    if given and any(metrics.horizontalAdvance(line) > width for line in lines):
        lines = [f"{given[0]}.", f"{family[0]}."]
    return "\n".join(lines), len(fonts) - 1


def _metrics(face: str) -> QFontMetricsF:
    font = QFont()
    font.fromString(face)
    return QFontMetricsF(font)


def _broken(metrics: QFontMetricsF, text: str, width: float) -> list[str]:
    """A text in lines no wider than `width`: at spaces and hyphens, else inside a word."""
    lines: list[str] = []
    rest = text
    while rest:
        if metrics.horizontalAdvance(rest) <= width:
            lines.append(rest)
            break
        ends = [
            place
            for place in range(3, len(rest) - 1)
            if metrics.horizontalAdvance(_line(rest, place)) <= width
        ]
        good = [place for place in ends if rest[place - 1] in "- " and place > 3]
        cut = max(good or ends, default=max(1, len(rest) // 2))
        lines.append(_line(rest, cut))
        rest = rest[cut:]
    return lines


def _line(text: str, cut: int) -> str:
    piece = text[:cut]
    return piece.rstrip() if piece[-1] in "- " else f"{piece}-"


def head_height(skin: Skin, names: tuple[str, ...], width: int) -> int:
    """The height of all heads, for the name that needs most lines."""
    px = skin.px
    narrow = width < px(NARROW)
    most = 2 * px(NAME_SIZE * LINE)
    for name in names:
        text, size = name_lines(skin, name, _name_width(skin, width))
        most = max(most, (text.count("\n") + 1) * round(px(size) * LINE) + px(2))
    above = (px(24) if narrow else 0) + (px(FOOT) if width < px(STACKED) else 0)
    return px(EDGE) + most + px(FOOT) + px(4) + above


def _name_width(skin: Skin, width: float) -> float:
    narrow = width < skin.px(NARROW)
    return width - (2 * skin.px(4) if narrow else skin.px(44) + skin.px(5))


def paint_head(pen: Pen, box: QRectF, shown: HeadReading, *, least: float) -> None:
    """Edge, number and name, coverage and clock; signs for what stands still, or the lamp.

    least: the width of the narrowest head, so that all are laid out alike.
    """
    px = pen.skin.px
    first, second = (Token.ONBAND, Token.ONBAND2) if shown.front else (Token.INK, Token.INK2)
    pen.fill(box, Token.BAND if shown.front else Token.SHEET)
    _paint_edge(pen, QRectF(box.x(), box.y(), box.width(), px(EDGE)), shown)
    narrow = least < px(NARROW)
    top = box.y() + px(EDGE) + px(1)
    foot = QRectF(box.x(), box.bottom() - px(FOOT) - px(2), box.width(), px(FOOT))
    foot = foot.adjusted(px(4 if narrow else 8), 0, -px(4 if narrow else 6), 0)
    number = Style(30, Weight.BLACK, second, 16, CENTRE, MIDDLE)
    text, size = name_lines(pen.skin, shown.name, _name_width(pen.skin, least))
    name = Style(size, Weight.BOLD, first, size, leading=LINE, down=MIDDLE)
    if narrow:
        line = QRectF(foot.x(), top, foot.width(), px(24))
        said = pen.text(line, str(shown.number), Style(18, Weight.BLACK, second, 14, down=MIDDLE))
        time = line.adjusted(said.width + px(2), 0, 0, 0)
        if least < px(STACKED):
            line = time = QRectF(foot.x(), line.bottom(), foot.width(), px(FOOT))
        place = QRectF(foot.x(), line.bottom(), foot.width(), foot.y() - line.bottom())
    else:
        wide = _name_width(pen.skin, box.width())
        place = QRectF(box.x() + px(44), top, wide, foot.y() - top)
        pen.text(QRectF(box.x() + px(3), top, px(38), place.height()), str(shown.number), number)
        time = foot
    pen.text(place, text, name)
    lit = shown.lit and shown.sign is not SignLook.SEALED
    small = Style(14, ink=second, least=11, down=MIDDLE)
    style = Style(14, Weight.MEDIUM, first, 11, RIGHT, MIDDLE)
    less = _shorter(shown.time)
    has_time = fit(pen.skin, shown.time, time.width(), time.height(), style, less).fits
    if has_time and (narrow or not lit):
        pen.text(time, shown.time, style, shorter=less)
    hidden = narrow and (shown.void or shown.stopped or lit)
    hidden = hidden or not fit(pen.skin, shown.seen, foot.width(), foot.height(), small).fits
    if lit and not hidden:
        hidden = not _has_room_for_lamp(pen, foot, shown.seen, small)
    seen = pen.text(foot, "" if hidden else shown.seen, small)
    rest = foot.adjusted(seen.width + px(4) if seen.width else 0, 0, 0, 0)
    if lit:
        paint_lamp(pen, rest, "", 14, least=11, shorter=("look",))
    else:
        if not narrow:
            rest.setWidth(px(32))
        _paint_state(pen, rest, shown, second)
    pen.fill(QRectF(box.right() - 1, box.y(), 1, box.height()), Token.RULE)
    pen.fill(QRectF(box.x(), box.bottom() - 1, box.width(), 1), Token.LINE)


def _paint_edge(pen: Pen, bar: QRectF, shown: HeadReading) -> None:
    """The table edge; the whole of it is a barrier, a clamp or the lamp where one is due."""
    if shown.stopped:
        pen.fill(bar, Token.SHEET)
        pen.shapes(barrier_shapes(bar.width(), bar.height()), bar.x(), bar.y())
    elif shown.sign is SignLook.SEALED:
        pen.fill(bar, Token.INK)
    elif shown.lit:
        pen.fill(bar, Token.LAMP)
        pen.frame(bar, Token.INK, LAMP_OUTLINE)
    else:
        pen.fill(bar, Token.RULE)
        pen.fill(
            QRectF(bar.x(), bar.y(), round(bar.width() * shown.share), bar.height()), Token.INK2
        )
    pen.fill(QRectF(bar.right() - 1, bar.y(), 1, bar.height()), Token.SHEET)


def _has_room_for_lamp(pen: Pen, foot: QRectF, seen: str, style: Style) -> bool:
    """Whether the lamp can be read beside the coverage; else the coverage gives way."""
    beside = fit(pen.skin, seen, foot.width(), foot.height(), style).width
    room = foot.width() - beside - pen.skin.px(4) - 2 * pen.skin.px(LAMP_PAD)
    return fit(pen.skin, LAMP_WORD, room, foot.height(), Style(13, Weight.BOLD)).fits


def _shorter(time: str) -> tuple[str, ...]:
    """Shorter ways to write a time of an hour and more: "1:02 h", "1 h"."""
    hours, minutes, *rest = time.split(":")
    return (f"{hours}:{minutes} h", f"{hours} h") if rest else ()


def _paint_state(pen: Pen, box: QRectF, shown: HeadReading, ink: Token) -> None:
    side = pen.skin.px(13)
    if shown.void or shown.stopped:
        word = "void" if shown.void else "stop"
        pen.text(box, word, Style(14, Weight.BOLD, ink, 11, down=MIDDLE))
    elif shown.sign is not None:
        top = round(box.center().y() - side / 2)
        pen.shapes(sign_shapes(shown.sign, side), round(box.x() + pen.skin.px(3)), top, ink)


class HeadBand(QHeaderView):
    """The heads of all learners; a press brings one to the front."""

    pressed_column = Signal(int)

    def __init__(self, skin: Skin, grid: GridModel, table: QTableView) -> None:
        super().__init__(Qt.Orientation.Horizontal, table)
        self.skin, self.grid = skin, grid
        self._shown: list[HeadReading] = []
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setMinimumSectionSize(1)
        self._touches = Touches(
            self._spot, lambda spot: self.pressed_column.emit(spot[1]), far=9999
        )
        self.viewport().setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        self.setAccessibleName("Learners")

    def refresh(self) -> None:
        """Show every learner as they are; only heads that look different are repainted."""
        now = [
            head_reading(
                self.grid.model,
                seat,
                self.skin.edge_full_ns,
                lit=seat == self.grid.lit,
                calm=self.skin.motion_reduced,
            )
            for seat in self.grid.seats
        ]
        before, self._shown = self._shown, now
        if len(before) != len(now):
            self.viewport().update()
            return
        for seat, (old, new) in enumerate(zip(before, now, strict=True)):
            if old != new:
                x, wide = self.sectionViewportPosition(seat), self.sectionSize(seat)
                self.viewport().update(x, 0, wide, self.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        pen = Pen(painter, self.skin)
        high = self.viewport().height()
        least = min((self.sectionSize(one) for one in range(self.count())), default=0)
        for seat, shown in enumerate(self._shown):
            x, wide = self.sectionViewportPosition(seat), self.sectionSize(seat)
            if event.rect().intersects(QRect(x, 0, wide, high)):
                painter.save()
                painter.setClipRect(QRect(x, 0, wide, high))
                paint_head(pen, QRectF(x, 0, wide, high), shown, least=least)
                painter.restore()
        painter.end()

    def sectionSizeFromContents(self, column: int) -> QSize:
        """Widths are given, so that no head is read aloud only to be measured."""
        return QSize(self.sectionSize(column), self.height())

    # pressing

    def _spot(self, at: QPoint) -> Spot | None:
        column = self.logicalIndexAt(at)
        return (0, column) if column >= 0 else None

    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() in (
            QEvent.Type.TouchBegin,
            QEvent.Type.TouchUpdate,
            QEvent.Type.TouchEnd,
            QEvent.Type.TouchCancel,
        ):
            return self._touches.take(event)
        return bool(super().viewportEvent(event))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._touches.take(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._touches.take(event)


class Corner(QWidget):
    """Above the labels: how many steps there are, and what to press."""

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.title, self.note = "", ""

    def say(self, title: str, note: str) -> None:
        """Say what the rows are."""
        if (title, note) != (self.title, self.note):
            self.title, self.note = title, note
            self.setAccessibleName(f"{title}. {note}.")
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.SHEET)
        pen.fill(QRectF(0, box.bottom() - 1, box.width(), 1), Token.LINE)
        pen.fill(QRectF(box.right() - 1, 0, 1, box.height()), Token.LINE)
        half = box.center().y()
        first = QRectF(px(14), half - px(26), box.width() - px(20), px(26))
        pen.text(first, self.title, Style(20, Weight.BOLD, least=14, down=MIDDLE))
        second = QRectF(first.x(), half, first.width(), px(24))
        pen.text(second, self.note, Style(15, ink=Token.INK2, least=12, down=MIDDLE))
        painter.end()
