"""The start page: which workshop, and who observes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from observe.desk.keys import Face, Key, word_face
from observe.desk.paint import MIDDLE, RIGHT, Pen, Style
from observe.desk.theme import Skin
from observe.look import tokens
from observe.look.tokens import Token, Weight

EMPTY_TITLE = "No workshop is planned in this logbook yet."
EMPTY_TEXT = (
    "A workshop says who stands at which seat, with which form, and who watches. "
    "To see a whole one, make the demonstration: an invented hospital, eight learners, "
    "a finished workshop with signed sheets, and one more to mark yourself."
)


@dataclass(frozen=True, slots=True)
class ObserverLine:
    """One who observes in a workshop: id, name, and how many learners they watch."""

    id: str
    name: str
    watches: int
    sealed: int


@dataclass(frozen=True, slots=True)
class WorkshopLine:
    """A workshop as the start page shows it. seats: number and learner's name."""

    id: str
    title: str
    when: str
    about: str
    form: str
    seats: tuple[tuple[int, str], ...]
    observers: tuple[ObserverLine, ...]


class StartPage(QWidget):
    """Workshops at the left; the chosen one at the right, with a key for each observer."""

    opened = Signal(str, str)
    demonstrate = Signal()
    again = Signal(str)

    def __init__(self, skin: Skin, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.skin = skin
        self.lines: Sequence[WorkshopLine] = ()
        self.chosen = 0
        self.waiting = "Opening the logbook …"
        self.area = QScrollArea(self)
        self.area.setFrameShape(QScrollArea.Shape.NoFrame)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list = QWidget()
        self.area.setWidget(self.list)
        self.area.viewport().setAutoFillBackground(False)
        self.list.setAutoFillBackground(False)
        self.keys: list[Key] = []
        self.observer_keys: list[Key] = []
        self.demo_key = Key(
            skin, self, word_face("Make a demonstration workshop", weight=Weight.BOLD)
        )
        self.demo_key.struck.connect(self.demonstrate)
        self.demo_key.hide()
        self.again_key = Key(skin, self, word_face("Plan the same again", weight=Weight.BOLD))
        self.again_key.struck.connect(self._plan_again)
        self.again_key.hide()
        self.area.hide()

    def show_lines(self, lines: Sequence[WorkshopLine]) -> None:
        """Show the workshops of a logbook, newest first."""
        self.lines, self.waiting = lines, ""
        self.chosen = min(self.chosen, max(0, len(lines) - 1))
        while len(self.keys) < len(lines):
            key = Key(self.skin, self.list)
            key.struck.connect(partial(self._choose, len(self.keys)))
            self.keys.append(key)
        self.area.setVisible(bool(lines))
        self.demo_key.setVisible(not lines)
        self.again_key.setVisible(bool(lines))
        self.refresh()

    def wait(self, words: str) -> None:
        """Say what is being waited for."""
        self.waiting = words
        self.demo_key.setVisible(False)
        self.again_key.setVisible(False)
        self.update()

    def _choose(self, place: int) -> None:
        self.chosen = place
        self.refresh()

    def refresh(self) -> None:
        """Show the lines and the chosen workshop."""
        for place, key in enumerate(self.keys):
            key.setVisible(place < len(self.lines))
            if place < len(self.lines):
                line = self.lines[place]
                chosen = place == self.chosen
                name = f"{line.title}, {line.when}, {line.about}"
                content = (line.title, line.when, line.about)
                key.show_face(Face(name, paint_workshop, content, chosen=chosen))
        self._show_observers()
        self._lay_out()
        self.update()

    def _show_observers(self) -> None:
        from observe.domain.words import counted

        observers = self.lines[self.chosen].observers if self.lines else ()
        while len(self.observer_keys) < len(observers):
            key = Key(self.skin, self)
            key.struck.connect(partial(self._open, len(self.observer_keys)))
            self.observer_keys.append(key)
        for place, key in enumerate(self.observer_keys):
            key.setVisible(place < len(observers))
            if place < len(observers):
                one = observers[place]
                note = f"watches {counted(one.watches, 'learner')}"
                if one.sealed:
                    note += f", {one.sealed} sealed"
                face = Face(f"{one.name}, {note}", paint_observer, (one.name, note), heel=Token.ACT)
                key.show_face(face.allowed(can=one.watches > 0))

    def _plan_again(self) -> None:
        self.again.emit(self.lines[self.chosen].id)

    def _open(self, place: int) -> None:
        line = self.lines[self.chosen]
        self.opened.emit(line.id, line.observers[place].id)

    # geometry

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _left(self) -> int:
        return round(self.width() * 0.38)

    def _lay_out(self) -> None:
        px, left = self.skin.px, self._left()
        pad, row = px(6), max(px(84), self.skin.mm(14))
        head = px(48)
        self.area.setGeometry(pad, pad + head, left - pad, max(1, self.height() - 2 * pad - head))
        wide = left - pad - px(16)
        self.list.resize(wide + px(8), len(self.lines) * (row + px(6)) + px(8))
        for place, key in enumerate(self.keys):
            key.setGeometry(px(8), place * (row + px(6)), wide - px(8), row)
        self._lay_out_observers(left + pad)
        wide, tall = px(240), max(px(62), self.skin.mm(12))
        self.again_key.setGeometry(
            self.width() - wide - px(18), self.height() - tall - px(18), wide, tall
        )
        self.demo_key.setGeometry(px(40), px(210), px(330), max(px(70), self.skin.mm(12)))

    def _lay_out_observers(self, x: int) -> None:
        px = self.skin.px
        shown = [key for key in self.observer_keys if key.isVisibleTo(self)]
        columns = 2
        gap, high = px(8), max(px(70), self.skin.mm(tokens.ROUTINE_TARGET_MM))
        wide = (self.width() - x - px(40) - gap) // columns
        top = px(190)
        for place, key in enumerate(shown):
            column, row = place % columns, place // columns
            key.setGeometry(
                x + px(18) + column * (wide + gap), top + row * (high + gap), wide, high
            )

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        box = QRectF(self.rect())
        pen.fill(box, Token.GROUND)
        if self.waiting:
            self._paint_alone(pen, self.waiting, "")
        elif not self.lines:
            self._paint_alone(pen, EMPTY_TITLE, EMPTY_TEXT)
        else:
            self._paint_lists(pen)
        painter.end()

    def _paint_alone(self, pen: Pen, title: str, text: str) -> None:
        px = self.skin.px
        wide = min(self.width() - px(80), px(760))
        pen.text(QRectF(px(40), px(40), wide, px(40)), title, Style(24, Weight.BOLD, least=17))
        place = QRectF(px(40), px(90), wide, px(110))
        pen.text(place, text, Style(17, ink=Token.INK2, least=14, leading=1.3))

    def _paint_lists(self, pen: Pen) -> None:
        px, left = self.skin.px, self._left()
        pad = px(6)
        panel = QRectF(pad, pad, left - pad, self.height() - 2 * pad)
        self._paint_panel(pen, panel)
        head = QRectF(pad + px(14), pad, left - px(30), px(48))
        pen.text(head, "Workshops", Style(18, Weight.BOLD, down=MIDDLE))
        right = QRectF(left + pad, pad, self.width() - left - 2 * pad, self.height() - 2 * pad)
        self._paint_panel(pen, right)
        self._paint_chosen(pen, right.adjusted(px(18), px(14), -px(18), -px(10)))

    def _paint_panel(self, pen: Pen, box: QRectF) -> None:
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.RULE, 1)

    def _paint_chosen(self, pen: Pen, box: QRectF) -> None:
        px, line = self.skin.px, self.lines[self.chosen]
        pen.text(
            QRectF(box.x(), box.y(), box.width(), px(36)),
            line.title,
            Style(26, Weight.BOLD, least=18),
        )
        about = QRectF(box.x(), box.y() + px(42), box.width(), px(24))
        pen.text(about, f"{line.when} · {line.about}", Style(16, ink=Token.INK2, least=13))
        form = QRectF(box.x(), box.y() + px(66), box.width(), px(24))
        pen.text(form, line.form, Style(16, ink=Token.INK2, least=13))
        ask = QRectF(box.x(), box.y() + px(114), box.width(), px(30))
        pen.text(ask, "Who observes now?", Style(18, Weight.BOLD))
        shown = [key for key in self.observer_keys if key.isVisibleTo(self)]
        y = max((key.geometry().bottom() for key in shown), default=round(ask.bottom())) + px(26)
        head = QRectF(box.x(), y, box.width(), px(26))
        pen.text(head, "Learners, in seat order", Style(18, Weight.BOLD))
        foot = self.again_key.y() - px(10)
        self._paint_seats(pen, QRectF(box.x(), y + px(34), box.width(), foot - y - px(34)))
        note = QRectF(box.x(), foot + px(10), self.again_key.x() - box.x() - px(16), px(62))
        said = "The next attempt of these learners, today, with the same form and observers."
        pen.text(note, said, Style(15, ink=Token.INK2, least=12, across=RIGHT, down=MIDDLE))

    def _paint_seats(self, pen: Pen, box: QRectF) -> None:
        from observe.desk.live.reading import initials

        px, seats = self.skin.px, self.lines[self.chosen].seats
        rows = -(-len(seats) // 2)
        high = min(px(40), box.height() / max(1, rows))
        half = box.width() / 2
        for place, (number, name) in enumerate(seats):
            x = box.x() + (place // rows) * half
            y = box.y() + (place % rows) * high
            line = QRectF(x, y, half - px(16), high)
            pen.fill(QRectF(x, y + high - 1, half - px(16), 1), Token.RULE)
            pen.text(line, str(number), Style(18, Weight.BLACK, Token.INK2, 12, down=MIDDLE))
            beside = line.adjusted(px(34), 0, 0, 0)
            pen.text(beside, name, Style(17, least=12, down=MIDDLE), shorter=initials(name))


def paint_workshop(pen: Pen, box: QRectF, ink: Token, title: str, when: str, about: str) -> None:
    """A workshop on its key: title, date, what it is."""
    px = pen.skin.px
    inner = box.adjusted(px(14), px(8), -px(12), -px(8))
    first = QRectF(inner.x(), inner.y(), inner.width(), inner.height() / 2)
    day = pen.text(first, when, Style(15, ink=Token.INK2, least=12, across=RIGHT, down=MIDDLE))
    name = first.adjusted(0, 0, -day.width - px(10), 0)
    pen.text(name, title, Style(19, Weight.BOLD, ink, 13, down=MIDDLE))
    below = QRectF(inner.x(), first.bottom(), inner.width(), inner.height() / 2)
    pen.text(below, about, Style(15, ink=Token.INK2, least=12, down=MIDDLE))


def paint_observer(pen: Pen, box: QRectF, ink: Token, name: str, note: str) -> None:
    """An observer on their key: name, and whom they watch."""
    px = pen.skin.px
    inner = box.adjusted(px(14), px(6), -px(10), -px(6))
    foot = px(22)
    first = QRectF(inner.x(), inner.y(), inner.width(), inner.height() - foot)
    pen.text(first, name, Style(18, Weight.BOLD, ink, 13, down=MIDDLE))
    below = QRectF(inner.x(), first.bottom(), inner.width(), foot)
    pen.text(below, note, Style(15, ink=Token.INK2, least=12, down=MIDDLE))
