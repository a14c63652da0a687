"""Panes with a behaviour-anchored scale: the overall grade, independence, the dimensions."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key, Row, word_face
from observe.desk.live.layout import Box, split_row
from observe.desk.live.model import LiveModel
from observe.desk.paint import CENTRE, MIDDLE, RIGHT, Pen, Style, fit
from observe.desk.theme import Skin
from observe.domain import gestures
from observe.domain.form import Dimension, Grade
from observe.look.tokens import FRONT_WIDTH, LINE_HEIGHT_READING, Token, Weight

TITLE_HEIGHT = 56


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
    style = Style(sizes.reading, ink=ink, least=12.5, leading=LINE_HEIGHT_READING)
    said = fit(pen.skin, anchor, place.width(), place.height() - px(28), style)
    top = place.center().y() - (px(28) + said.height) / 2
    first = QRectF(place.x(), top, place.width(), px(26))
    pen.text(first, label, Style(18, Weight.BOLD, ink, 14, down=MIDDLE))
    pen.text(QRectF(place.x(), top + px(28), place.width(), said.height), anchor, style)


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

    def resizeEvent(self, event: QResizeEvent) -> None:
        px, count = self.skin.px, len(self.points)
        top, gap = px(TITLE_HEIGHT), px(8)
        high = min(px(112), (self.height() - top - gap * (count - 1)) // max(1, count))
        for place, key in enumerate(self.keys):
            key.setGeometry(0, top + place * (high + gap), self.width(), high)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_title(Pen(painter, self.skin), self, self.title, self.note)
        painter.end()


def paint_title(pen: Pen, pane: QWidget, title: str, note: str) -> None:
    """The head of a pane: what it asks, and why or how."""
    px = pen.skin.px
    head = QRectF(0, 0, pane.width(), px(TITLE_HEIGHT - 8))
    wide = pen.text(head, title, Style(22, Weight.BOLD, least=17, down=MIDDLE)).width
    rest = head.adjusted(wide + px(18), 0, 0, 0)
    pen.text(rest, note, Style(15, ink=Token.INK2, least=12, across=RIGHT, down=MIDDLE))


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
        for place, key in enumerate(self.keys):
            key.setVisible(place < len(grades))
            if place < len(grades):
                one = grades[place]
                face = Face(
                    f"{one.value}, {one.label}. {one.anchor}",
                    paint_anchor,
                    (one.value, one.label, one.anchor),
                    heel=Token.ACT,
                    chosen=one.value == given,
                )
                key.show_face(face)
        self.not_observable.setVisible(bool(grades))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _lay_out(self) -> None:
        px = self.skin.px
        top, gap = px(TITLE_HEIGHT), px(5)
        folded = len(self.rows) - (self.open is not None)
        most = px(178)
        high = max(px(44), self.skin.mm(9))
        spare = self.height() - top - folded * (high + gap)
        opened = min(most, spare) if self.open is not None else 0
        y = top
        for place, row in enumerate(self.rows):
            if place == self.open:
                self._place_open(y, opened)
                y += opened + gap
                continue
            row.setGeometry(0, y, self.width(), high)
            y += high + gap

    def _place_open(self, y: int, high: int) -> None:
        px = self.skin.px
        self._open_box = QRectF(0, y, self.width(), high)
        left = px(168)
        area = Box(left, y + px(8), self.width() - left - px(8), high - px(16))
        for key, box in zip(
            self.keys, split_row(area, (1,) * len(self._grades()), px(6)), strict=False
        ):
            key.setGeometry(box.x, box.y, box.width, box.height)
        tall = max(px(56), self.skin.mm(12))
        self.not_observable.setGeometry(px(10), y + high - tall - px(8), left - px(20), tall)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        paint_title(pen, self, self.TITLE, self.NOTE)
        if self.open is not None:
            pen.fill(self._open_box, Token.WELL)
            pen.frame(self._open_box, Token.BAND, FRONT_WIDTH)
            place = QRectF(px(12), self._open_box.y() + px(10), px(150), px(60))
            label = self.dimensions[self.open].label
            pen.text(place, label, Style(18, Weight.BOLD, least=13))
        painter.end()


def paint_folded(
    pen: Pen, box: QRectF, ink: Token, label: str, values: tuple[int, ...], said: str
) -> None:
    """A folded dimension: its scale with ticks, the number given at its place."""
    px = pen.skin.px
    pen.frame(box, Token.RULE, 1)
    name = QRectF(box.x() + px(14), box.y(), px(210), box.height())
    pen.text(name, label, Style(17, Weight.BOLD, ink, 13, down=MIDDLE))
    left, right = box.x() + px(240), box.right() - px(150)
    given = said.isdigit()
    token = Token.LINE if given else Token.RULE
    middle = box.center().y()
    pen.fill(QRectF(left, middle - 1, right - left, 2), token)
    for place, value in enumerate(values):
        x = round(left + (right - left) * place / max(1, len(values) - 1))
        pen.fill(QRectF(x - 1, middle - px(6), 2, px(12)), token)
        if given and str(value) == said:
            side = px(36)
            block = QRectF(x - side / 2, middle - side / 2, side, side)
            pen.rounded(block, Token.ACT, 2)
            pen.text(block, said, Style(22, Weight.BLACK, Token.WELL, across=CENTRE, down=MIDDLE))
    if not given:
        end = QRectF(right, box.y(), box.right() - right - px(12), box.height())
        pen.text(end, said, Style(15, ink=Token.INK2, least=12, across=RIGHT, down=MIDDLE))


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
