"""Panes with a behaviour-anchored scale: the overall grade, independence, the dimensions."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key, Row, word_face
from observe.desk.live.layout import Box, split_row
from observe.desk.live.model import LiveModel
from observe.desk.paint import CENTRE, MIDDLE, RIGHT, Pen, Style, fit
from observe.desk.tall import height_of
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.form import Dimension, Grade
from observe.look.tokens import (
    FRONT_WIDTH,
    LINE_HEIGHT_READING,
    ROUTINE_TARGET_MM,
    Token,
    Weight,
)

TITLE_HEIGHT = 56
TITLE = Style(22, Weight.BOLD, least=17, down=MIDDLE)
BESIDE = Style(15, ink=Token.INK2, least=12, across=RIGHT, down=MIDDLE)
BELOW = Style(15, ink=Token.INK2, least=12)
"""The note of a pane beside its title, or below it."""
ANCHOR_LEAST = 12.5
LEAST_SCALE = 560
"""Px of width under which a folded dimension has no scale."""
FOLDED = Style(17, Weight.BOLD, least=13, down=MIDDLE)


@dataclass(frozen=True, slots=True)
class Point:
    """One point of a scale. tag: a word beside it, as "borderline"."""

    value: int
    label: str
    anchor: str
    tag: str = ""


def paint_point(
    pen: Pen, box: QRectF, ink: Token, value: int, label: str, anchor: str, tag: str
) -> None:
    """A point over the whole width: number, label, anchor in full."""
    px, sizes = pen.skin.px, pen.skin.density
    inner = box.adjusted(px(16), px(6), -px(14), -px(6))
    number = QRectF(inner.x(), inner.y(), px(40), inner.height())
    pen.text(number, str(value), Style(30, Weight.BLACK, Token.ACT, 20, down=MIDDLE))
    place = inner.adjusted(px(48), 0, 0, 0)
    if tag:
        place.setWidth(place.width() - px(110))
        beside = QRectF(place.right(), inner.y(), px(110), inner.height())
        pen.text(beside, tag, Style(15, Weight.BOLD, Token.INK2, 12, RIGHT, MIDDLE))
    if not anchor:
        pen.text(place, label, Style(18, Weight.MEDIUM, ink, 13, down=MIDDLE))
        return
    style = Style(sizes.reading, ink=ink, least=ANCHOR_LEAST, leading=LINE_HEIGHT_READING)
    named = Style(18, Weight.BOLD, ink, 14, down=MIDDLE)
    head = max(px(26), height_of(pen.skin, label, place.width(), named))
    said = fit(pen.skin, anchor, place.width(), place.height() - head - px(2), style)
    top = place.center().y() - (head + px(2) + said.height) / 2
    pen.text(QRectF(place.x(), top, place.width(), head), label, named)
    below = QRectF(place.x(), top + head + px(2), place.width(), said.height)
    pen.text(below, anchor, style)


class ScalePane(QWidget):
    """Points one below the other, each with its anchor in full; one press gives it."""

    def __init__(
        self,
        skin: Skin,
        title: str,
        note: str,
        points: Sequence[Point],
        give: Callable[[int], None],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self.skin, self.title, self.note, self.points = skin, title, note, points
        self.keys = [Key(skin, self) for _ in points]
        for key, point in zip(self.keys, points, strict=True):
            key.struck.connect(partial(give, point.value))
        self.setAccessibleName(f"{title}. {note}")

    def show_value(self, value: int | None) -> None:
        """Show which point was given."""
        for key, point in zip(self.keys, self.points, strict=True):
            name = f"{point.value}, {point.label}. {point.anchor} {point.tag}".strip()
            content = (point.value, point.label, point.anchor, point.tag)
            chosen = point.value == value
            key.show_face(Face(name, paint_point, content, heel=Token.ACT, chosen=chosen))

    def _high(self, width: int) -> int:
        """Px of height that every point needs in a width; all have the same."""
        needed = [point_height(self.skin, width, one) for one in self.points]
        return max([self.skin.mm(ROUTINE_TARGET_MM), *needed])

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        each = self._high(width) + self.skin.px(8)
        return title_height(self.skin, width, self.title, self.note) + each * len(self.points)

    def resizeEvent(self, event: QResizeEvent) -> None:
        px, count = self.skin.px, len(self.points)
        top, gap = title_height(self.skin, self.width(), self.title, self.note), px(8)
        spare = (self.height() - top - gap * (count - 1)) // max(1, count)
        high = min(max(px(112), self._high(self.width())), spare)
        for place, key in enumerate(self.keys):
            key.setGeometry(0, top + place * (high + gap), self.width(), high)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_title(Pen(painter, self.skin), self, self.title, self.note)
        painter.end()


def point_height(skin: Skin, width: int, point: Point) -> int:
    """Px of height that a point needs in a width; see `paint_point`."""
    px = skin.px
    wide = width - px(30) - px(48) - (px(110) if point.tag else 0)
    style = Style(18, Weight.BOLD, least=14)
    high = max(px(26), height_of(skin, point.label, wide, style)) + px(18)
    if point.anchor:
        anchor = Style(skin.density.reading, least=ANCHOR_LEAST, leading=LINE_HEIGHT_READING)
        high += px(4) + height_of(skin, point.anchor, wide, anchor)
    return high


def _title_is_beside(skin: Skin, width: int, title: str, note: str) -> bool:
    """Whether title and note of a pane have room in one line."""
    px = skin.px
    head = px(TITLE_HEIGHT - 8)
    wide = fit(skin, title, width, head, TITLE).width
    return width < 1 or fit(skin, note, width - wide - px(18), head, BESIDE).fits


def title_height(skin: Skin, width: int, title: str, note: str) -> int:
    """Px of the head of a pane: one line, or its note below the title where it needs that."""
    one = skin.px(TITLE_HEIGHT)
    if _title_is_beside(skin, width, title, note):
        return one
    high = height_of(skin, title, width, TITLE) + skin.px(20)
    return max(one, high + height_of(skin, note, width, BELOW))


def paint_title(pen: Pen, pane: QWidget, title: str, note: str) -> None:
    """The head of a pane: what it asks, and why or how."""
    px, wide = pen.skin.px, pane.width()
    if _title_is_beside(pen.skin, wide, title, note):
        head = QRectF(0, 0, wide, px(TITLE_HEIGHT - 8))
        used = pen.text(head, title, TITLE).width
        pen.text(head.adjusted(used + px(18), 0, 0, 0), note, BESIDE)
        return
    high = title_height(pen.skin, wide, title, note) - px(8)
    said = height_of(pen.skin, note, wide, BELOW) + px(4)
    pen.text(QRectF(0, 0, wide, high - said), title, TITLE)
    pen.text(QRectF(0, high - said, wide, said), note, BELOW)


class DimensionsPane(QWidget):
    """One dimension open with its anchors in full; the rated ones folded with their number."""

    TITLE = "Dimensions"
    NOTE = "Optional. No number is suggested; the score stays covered."

    def __init__(self, skin: Skin, model: LiveModel, seat: int, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.model, self.seat = skin, model, seat
        self.dimensions: tuple[Dimension, ...] = model.state(seat).ground.form.dimensions
        self.rows = [Row(skin, self) for _ in self.dimensions]
        for place, row in enumerate(self.rows):
            row.struck.connect(partial(self._open, place))
        most = max((len(one.grades) for one in self.dimensions), default=0)
        self.keys = [Key(skin, self) for _ in range(most)]
        for place, key in enumerate(self.keys):
            key.struck.connect(partial(self._give, place))
        self.not_observable = Key(skin, self, word_face("Not observable"))
        self.not_observable.struck.connect(self._give_none)
        self.open = self._first_open()
        self.setAccessibleName(f"{self.TITLE}. {self.NOTE}")
        self._open_box = QRectF()

    def _first_open(self) -> int | None:
        rated = self.model.state(self.seat).dimensions
        unrated = [n for n, one in enumerate(self.dimensions) if one.id not in rated]
        return unrated[0] if unrated else None

    def _open(self, place: int) -> None:
        self.open = place
        self.refresh()

    def _grades(self) -> tuple[Grade, ...]:
        return () if self.open is None else self.dimensions[self.open].grades

    def _give(self, place: int) -> None:
        grades = self._grades()
        if place < len(grades):
            self._rate(grades[place].value)

    def _give_none(self) -> None:
        self._rate(None)

    def _rate(self, value: int | None) -> None:
        if self.open is None:
            return
        named = self.dimensions[self.open].id
        if self.model.rate(self.seat, gestures.rate_dimension, named, value) is not None:
            self.open = self._first_open()
            self.refresh()

    def refresh(self) -> None:
        """Show what was rated, and what is open."""
        rated = self.model.state(self.seat).dimensions
        for place, (row, one) in enumerate(zip(self.rows, self.dimensions, strict=True)):
            row.setVisible(place != self.open)
            values = tuple(grade.value for grade in one.grades)
            given = rated.get(one.id, "")
            said = "not yet" if given == "" else "not observable" if given is None else str(given)
            content = (one.label, values, said)
            row.show_face(Face(f"{one.label}, {said}", paint_folded, content, fill=Token.SHEET))
        self._show_open()
        self._lay_out()
        self.update()

    def _show_open(self) -> None:
        grades = self._grades()
        named = "" if self.open is None else self.dimensions[self.open].id
        given = self.model.state(self.seat).dimensions.get(named)
        below = self._is_listed(self.width())
        for place, key in enumerate(self.keys):
            key.setVisible(place < len(grades))
            if place < len(grades):
                one = grades[place]
                content = (one.value, one.label, one.anchor)
                face = Face(
                    f"{one.value}, {one.label}. {one.anchor}",
                    paint_point if below else paint_anchor,
                    (*content, "") if below else content,
                    heel=Token.ACT,
                    chosen=one.value == given,
                )
                key.show_face(face)
        self.not_observable.setVisible(bool(grades))

    # geometry

    def _anchors_high(self, width: int) -> int:
        """Px of height of the open dimension with its anchors side by side."""
        count = max(1, len(self._grades()))
        wide = (width - self.skin.px(176)) // count - self.skin.px(6) - self.skin.px(17)
        needed = [anchor_height(self.skin, wide, one) for one in self._grades()]
        return max([0, *needed]) + self.skin.px(16)

    def _is_listed(self, width: int) -> bool:
        """Whether the anchors stand one below the other: enlarged, they have no room else."""
        return self.skin.text > 1 and self._anchors_high(width) > self.skin.px(178)

    def _folded_high(self, width: int) -> int:
        wide = folded_name(self.skin, width)
        labels = [height_of(self.skin, one.label, wide, FOLDED) for one in self.dimensions]
        return max([self.skin.px(44), self.skin.mm(9), *(one + self.skin.px(8) for one in labels)])

    def _open_high(self, width: int) -> int:
        """Px of height of the open dimension."""
        px = self.skin.px
        if self.open is None:
            return 0
        if not self._is_listed(width):
            return px(178)
        return px(60) + self._points_high(width) + self._none_high() + px(16)

    def _points_high(self, width: int) -> int:
        px = self.skin.px
        points = (Point(one.value, one.label, one.anchor) for one in self._grades())
        wide = width - px(20)
        return sum(point_height(self.skin, wide, one) + px(6) for one in points)

    def _none_high(self) -> int:
        return max(self.skin.px(56), self.skin.mm(ROUTINE_TARGET_MM))

    def _top(self, width: int) -> int:
        return title_height(self.skin, width, self.TITLE, self.NOTE)

    def needed(self, width: int) -> int:
        """Px of height in a width; where text is not enlarged the open one gives first."""
        if self.skin.text == 1:
            return 0
        each = self._folded_high(width) + self.skin.px(5)
        folded = len(self.rows) - (self.open is not None)
        return self._top(width) + folded * each + self._open_high(width) + self.skin.px(5)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._show_open()
        self._lay_out()

    def _lay_out(self) -> None:
        px, wide = self.skin.px, self.width()
        top, gap = self._top(wide), px(5)
        folded = len(self.rows) - (self.open is not None)
        high = self._folded_high(wide)
        spare = self.height() - top - folded * (high + gap)
        opened = min(self._open_high(wide), spare) if self.open is not None else 0
        y = top
        for place, row in enumerate(self.rows):
            if place == self.open:
                self._place_open(y, opened)
                y += opened + gap
                continue
            row.setGeometry(0, y, wide, high)
            y += high + gap

    def _place_open(self, y: int, high: int) -> None:
        px = self.skin.px
        self._open_box = QRectF(0, y, self.width(), high)
        tall, left = self._none_high(), px(168)
        if self._is_listed(self.width()):
            self._list_points(y + px(60))
            wide = min(self.width() - px(20), px(230))
            self.not_observable.setGeometry(px(10), y + high - tall - px(8), wide, tall)
            return
        area = Box(left, y + px(8), self.width() - left - px(8), high - px(16))
        for key, box in zip(
            self.keys, split_row(area, (1,) * len(self._grades()), px(6)), strict=False
        ):
            key.setGeometry(box.x, box.y, box.width, box.height)
        self.not_observable.setGeometry(px(10), y + high - tall - px(8), left - px(20), tall)

    def _list_points(self, y: int) -> None:
        """The anchors one below the other."""
        px, wide = self.skin.px, self.width() - self.skin.px(20)
        for key, one in zip(self.keys, self._grades(), strict=False):
            tall = point_height(self.skin, wide, Point(one.value, one.label, one.anchor))
            key.setGeometry(px(10), y, wide, tall)
            y += tall + px(6)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        paint_title(pen, self, self.TITLE, self.NOTE)
        if self.open is not None:
            pen.fill(self._open_box, Token.WELL)
            pen.frame(self._open_box, Token.BAND, FRONT_WIDTH)
            wide = px(150)
            if self._is_listed(self.width()):
                wide = self.width() - px(24)
            place = QRectF(px(12), self._open_box.y() + px(10), wide, px(60))
            label = self.dimensions[self.open].label
            pen.text(place, label, Style(18, Weight.BOLD, least=13))
        painter.end()


def folded_name(skin: Skin, width: int) -> int:
    """Px of width of the name of a folded dimension: with its scale, or without."""
    px = skin.px
    return px(210) if width >= px(LEAST_SCALE) else width - px(160)


def paint_folded(
    pen: Pen, box: QRectF, ink: Token, label: str, values: tuple[int, ...], said: str
) -> None:
    """A folded dimension: its scale with ticks, the number given at its place.

    Where enlarged text leaves the scale no room, the number stands at the end.
    """
    px = pen.skin.px
    pen.frame(box, Token.RULE, 1)
    wide = folded_name(pen.skin, round(box.width()))
    name = QRectF(box.x() + px(14), box.y(), wide, box.height())
    pen.text(name, label, replace(FOLDED, ink=ink))
    given = said.isdigit()
    if box.width() >= px(LEAST_SCALE):
        _paint_scale(pen, box, values, said)
    elif given:
        _paint_given(pen, box.right() - px(40), box.center().y(), said)
    if not given:
        right = box.right() - px(150)
        end = QRectF(right, box.y(), px(138), box.height())
        pen.text(end, said, BESIDE)


def _paint_scale(pen: Pen, box: QRectF, values: tuple[int, ...], said: str) -> None:
    px = pen.skin.px
    left, right, middle = box.x() + px(240), box.right() - px(150), box.center().y()
    token = Token.LINE if said.isdigit() else Token.RULE
    pen.fill(QRectF(left, middle - 1, right - left, 2), token)
    for place, value in enumerate(values):
        x = round(left + (right - left) * place / max(1, len(values) - 1))
        pen.fill(QRectF(x - 1, middle - px(6), 2, px(12)), token)
        if str(value) == said:
            _paint_given(pen, x, middle, said)


def _paint_given(pen: Pen, x: float, y: float, said: str) -> None:
    """The number that was given, on a block with its middle at (x, y)."""
    side = pen.skin.px(36)
    block = QRectF(x - side / 2, y - side / 2, side, side)
    pen.rounded(block, Token.ACT, 2)
    pen.text(block, said, Style(22, Weight.BLACK, Token.WELL, across=CENTRE, down=MIDDLE))


def anchor_height(skin: Skin, width: int, grade: Grade) -> int:
    """Px of height that a point of an open dimension needs; see `paint_anchor`."""
    label = Style(15, Weight.BOLD, least=12)
    named = fit(skin, grade.label, width - skin.px(26), skin.px(30), label)
    if not named.fits:
        return skin.px(1000)
    return skin.px(46) + height_of(skin, grade.anchor, width, Style(16, least=12, leading=1.2))


def paint_anchor(pen: Pen, box: QRectF, ink: Token, value: int, label: str, anchor: str) -> None:
    """A point of an open dimension: number and label above, the anchor in full below."""
    px = pen.skin.px
    inner = box.adjusted(px(10), px(5), -px(7), -px(4))
    head = QRectF(inner.x(), inner.y(), inner.width(), px(30))
    number = pen.text(head, str(value), Style(26, Weight.BLACK, Token.ACT, down=MIDDLE))
    name = head.adjusted(number.width + px(8), 0, 0, 0)
    pen.text(name, label, Style(15, Weight.BOLD, ink, 12, down=MIDDLE))
    rest = inner.adjusted(0, px(32), 0, 0)
    pen.text(rest, anchor, Style(16, ink=ink, least=12, leading=1.2))
