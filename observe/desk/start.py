"""The start page: which workshop, and who observes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key, word_face
from observe.desk.paint import LEFT, MIDDLE, RIGHT, Pen, Style
from observe.desk.tall import Tall, height_of
from observe.desk.theme import Skin
from observe.look.tokens import ROUTINE_TARGET_MM, Token, Weight

EMPTY_TITLE = "No workshop is planned in this logbook yet."
EMPTY_TEXT = (
    "A workshop says who stands at which seat, with which form, and who watches. "
    "If somebody planned one on another machine, take their packet in under Records. "
    "To see a whole one, make the demonstration: an invented hospital, eight learners, "
    "a finished workshop with signed sheets, and one more to mark yourself."
)


ASK, SEATS = "Who observes now?", "Learners, in seat order"
AGAIN = "The next attempt of these learners, today, with the same form and observers."
ALONE = Style(24, Weight.BOLD, least=17)
ALONE_TEXT = Style(17, ink=Token.INK2, least=14, leading=1.3)
TITLE = Style(26, Weight.BOLD, least=18)
ABOUT = Style(16, ink=Token.INK2, least=13)
HEAD = Style(18, Weight.BOLD)
NAME = Style(17, least=12, down=MIDDLE)
NOTE = Style(15, ink=Token.INK2, least=12, down=MIDDLE)
NAMED = Style(19, Weight.BOLD, least=13, down=MIDDLE)
DAY = Style(15, ink=Token.INK2, least=12, down=MIDDLE)
OBSERVER = Style(18, Weight.BOLD, least=13, down=MIDDLE)


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
        self.list = WorkshopList(skin)
        self.area = Tall(skin, self, self.list, self.list.needed)
        self.keys = self.list.keys
        self.panel = ChosenPanel(skin)
        self.chosen_area = Tall(skin, self, self.panel, self.panel.needed)
        self.observer_keys = self.panel.keys
        self.again_key = self.panel.again_key
        self.demo_key = Key(
            skin, self, word_face("Make a demonstration workshop", weight=Weight.BOLD)
        )
        self.demo_key.struck.connect(self.demonstrate)
        self.demo_key.hide()
        self.again_key.struck.connect(self._plan_again)
        self.again_key.hide()
        self.area.hide()
        self.chosen_area.hide()

    def show_lines(self, lines: Sequence[WorkshopLine]) -> None:
        """Show the workshops of a logbook, newest first."""
        self.lines, self.waiting = lines, ""
        self.chosen = min(self.chosen, max(0, len(lines) - 1))
        while len(self.keys) < len(lines):
            key = Key(self.skin, self.list)
            key.struck.connect(partial(self._choose, len(self.keys)))
            self.keys.append(key)
        self.demo_key.setVisible(not lines)
        self.again_key.setVisible(bool(lines))
        self._show_keys()  # before they are seen: what they say tells how high they are
        self.area.setVisible(bool(lines))
        self.chosen_area.setVisible(bool(lines))
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
        self._show_keys()
        self._show_observers()
        self._lay_out()
        self.update()

    def _show_keys(self) -> None:
        """Say on its key what each workshop is."""
        for place, key in enumerate(self.keys):
            key.setVisible(place < len(self.lines))
            if place < len(self.lines):
                line = self.lines[place]
                chosen = place == self.chosen
                name = f"{line.title}, {line.when}, {line.about}"
                content = (line.title, line.when, line.about)
                key.show_face(Face(name, paint_workshop, content, chosen=chosen))

    def _show_observers(self) -> None:
        from observe.domain.words import counted

        observers = self.lines[self.chosen].observers if self.lines else ()
        self.panel.line = self.lines[self.chosen] if self.lines else None
        while len(self.observer_keys) < len(observers):
            key = Key(self.skin, self.panel)
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
        pad, head = px(6), px(48)
        self.area.setGeometry(pad, pad + head, left - pad, max(1, self.height() - 2 * pad - head))
        self.area.lay_out()
        gap = px(8)
        self.chosen_area.setGeometry(
            left + pad + gap,
            pad + gap,
            max(1, self.width() - left - 2 * pad - gap - px(2)),
            max(1, self.height() - 2 * pad - 2 * gap),
        )
        self.chosen_area.lay_out()
        wide = min(self.skin.grows(330, 330, 0.6), self.width() - px(80))
        tall = max(self.skin.grows(70, 70, 0.5), self.skin.mm(12))
        self.demo_key.setGeometry(px(40), self._alone_end() + px(16), wide, tall)

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        pen.fill(QRectF(self.rect()), Token.GROUND)
        if self.waiting:
            self._paint_alone(pen, self.waiting, "")
        elif not self.lines:
            self._paint_alone(pen, EMPTY_TITLE, EMPTY_TEXT)
        else:
            left, pad = self._left(), px(6)
            panel = QRectF(pad, pad, left - pad, self.height() - 2 * pad)
            self._paint_panel(pen, panel)
            head = QRectF(pad + px(14), pad, left - px(30), px(48))
            pen.text(head, "Workshops", Style(18, Weight.BOLD, down=MIDDLE))
            wide, high = self.width() - left - 2 * pad, self.height() - 2 * pad
            self._paint_panel(pen, QRectF(left + pad, pad, wide, high))
        painter.end()

    def _alone_width(self) -> int:
        return min(self.width() - self.skin.px(80), self.skin.px(760))

    def _alone_end(self) -> int:
        """Px from above where the words of an empty logbook end."""
        wide = self._alone_width()
        title = height_of(self.skin, EMPTY_TITLE, wide, ALONE)
        return self.skin.px(52) + title + height_of(self.skin, EMPTY_TEXT, wide, ALONE_TEXT)

    def _paint_alone(self, pen: Pen, title: str, text: str) -> None:
        px, wide = self.skin.px, self._alone_width()
        high = height_of(self.skin, title, wide, ALONE)
        pen.text(QRectF(px(40), px(40), wide, high), title, ALONE)
        below = height_of(self.skin, text, wide, ALONE_TEXT)
        pen.text(QRectF(px(40), px(52) + high, wide, below), text, ALONE_TEXT)

    def _paint_panel(self, pen: Pen, box: QRectF) -> None:
        pen.fill(box, Token.SHEET)
        pen.frame(box, Token.RULE, 1)


def _shown(keys: Sequence[Key], list_: QWidget) -> list[Key]:
    """Those of the keys of a list that are shown and say something already."""
    return [key for key in keys if key.face.content and key.isVisibleTo(list_)]


class WorkshopList(QWidget):
    """The workshops, newest first, each on a key."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.keys: list[Key] = []

    def _heights(self, width: int) -> list[int]:
        """Px of height of each key that is shown."""
        shown = _shown(self.keys, self)
        least = max(self.skin.grows(84, 84, 0.2), self.skin.mm(14))
        wide = width - self.skin.px(16) - self.skin.px(26)
        return [max(least, workshop_height(self.skin, wide, *key.face.content)) for key in shown]

    def needed(self, width: int) -> int:
        """Px of height in a width."""
        heights = self._heights(width)
        return sum(heights) + self.skin.px(6) * len(heights) + self.skin.px(2)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def lay_out(self) -> None:
        """Place the keys."""
        px, y = self.skin.px, 0
        for key, high in zip(self.keys, self._heights(self.width()), strict=False):
            key.setGeometry(px(8), y, max(1, self.width() - px(16)), high)
            y += high + px(6)


class ChosenPanel(QWidget):
    """The workshop that is chosen: what it is, who observes, and who sits where."""

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.line: WorkshopLine | None = None
        self.keys: list[Key] = []
        self.again_key = Key(skin, self, word_face("Plan the same again", weight=Weight.BOLD))
        self._places: dict[str, QRectF] = {}

    def needed(self, width: int) -> int:
        """Px of height in a width; places everything as for that width."""
        return self._place(width)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def lay_out(self) -> None:
        """Place the keys."""
        least = self._place(self.width())
        if self.line is None:
            return
        below = max(0, self.height() - least)
        self.again_key.move(self.again_key.x(), self.again_key.y() + below)
        self._places["note"].translate(0, below)
        self.update()

    def _columns(self, width: int) -> int:
        return 2 if self.skin.text == 1 or width >= self.skin.px(640) else 1

    def _place(self, width: int) -> int:
        """Place everything from above in a width; where it ends."""
        px, line, edge = self.skin.px, self.line, self.skin.px(10)
        if line is None:
            return 0
        wide = max(1, width - 2 * edge)
        y = px(6)

        def text(name: str, said: str, style: Style, gap: int) -> None:
            nonlocal y
            high = height_of(self.skin, said, wide, style) + 2
            self._places[name] = QRectF(edge, y, wide, high)
            y += high + gap

        text("title", line.title, TITLE, px(6))
        text("about", f"{line.when} · {line.about}", ABOUT, px(2))
        text("form", line.form, ABOUT, px(20))
        text("ask", ASK, HEAD, px(10))
        y = self._place_keys(edge, y, wide) + px(20)
        text("seats", SEATS, HEAD, px(6))
        y = self._place_seats(edge, y, wide) + px(16)
        return self._place_again(edge, y, wide) + px(6)

    def _place_keys(self, x: int, y: int, wide: int) -> int:
        px, gap, columns = self.skin.px, self.skin.px(8), self._columns(wide)
        shown = _shown(self.keys, self)
        each = (wide - gap * (columns - 1)) // columns
        needed = [observer_height(self.skin, each - px(24), *key.face.content) for key in shown]
        high = max([self.skin.grows(70, 70, 0.2), self.skin.mm(ROUTINE_TARGET_MM), *needed])
        for place, key in enumerate(shown):
            row, column = divmod(place, columns)
            key.setGeometry(x + column * (each + gap), y + row * (high + gap), each, high)
        return y + -(-len(shown) // columns) * (high + gap) - gap

    def _place_seats(self, x: int, y: int, wide: int) -> int:
        px, seats = self.skin.px, self.line.seats if self.line else ()
        columns = self._columns(wide)
        rows = -(-len(seats) // columns)
        each = wide / columns
        names = [height_of(self.skin, name, each - px(50), NAME) for _, name in seats]
        high = max([px(26), *(one + px(6) for one in names)])
        self._places["list"] = QRectF(x, y, wide, rows * high)
        return y + rows * high

    def _place_again(self, x: int, y: int, wide: int) -> int:
        px = self.skin.px
        each, tall = self.skin.grows(240, 240, 0.6), max(px(52), self.skin.mm(12))
        if wide - each < px(220):
            high = height_of(self.skin, AGAIN, wide, NOTE) + px(4)
            self._places["note"] = QRectF(x, y, wide, high)
            self.again_key.setGeometry(x, round(y + high + px(6)), min(each, wide), tall)
            return round(y + high + px(6)) + tall
        self._places["note"] = QRectF(x, y, wide - each - px(16), tall)
        self.again_key.setGeometry(x + wide - each, y, each, tall)
        return y + tall

    def paintEvent(self, event: QPaintEvent) -> None:
        line = self.line
        if line is None:
            return
        painter = QPainter(self)
        pen, at = Pen(painter, self.skin), self._places
        pen.text(at["title"], line.title, TITLE)
        pen.text(at["about"], f"{line.when} · {line.about}", ABOUT)
        pen.text(at["form"], line.form, ABOUT)
        pen.text(at["ask"], ASK, HEAD)
        pen.text(at["seats"], SEATS, HEAD)
        across = RIGHT if at["note"].y() >= self.again_key.y() else LEFT
        pen.text(at["note"], AGAIN, replace(NOTE, across=across))
        self._paint_seats(pen, at["list"])
        painter.end()

    def _paint_seats(self, pen: Pen, box: QRectF) -> None:
        px, seats = self.skin.px, self.line.seats if self.line else ()
        columns = self._columns(round(box.width()))
        rows = max(1, -(-len(seats) // columns))
        high, each = box.height() / rows, box.width() / columns
        for place, (number, name) in enumerate(seats):
            x = box.x() + (place // rows) * each
            y = box.y() + (place % rows) * high
            line = QRectF(x, y, each - px(16), high)
            pen.fill(QRectF(x, y + high - 1, each - px(16), 1), Token.RULE)
            pen.text(line, str(number), Style(18, Weight.BLACK, Token.INK2, 12, down=MIDDLE))
            pen.text(line.adjusted(px(34), 0, 0, 0), name, NAME)


def workshop_height(skin: Skin, width: int, title: str, when: str, about: str) -> int:
    """Px of height that a workshop needs on its key; see `paint_workshop`."""
    texts = ((title, NAMED), (when, DAY), (about, DAY))
    if skin.text == 1:
        return 0
    return sum(height_of(skin, *_styled(one, width)) for one in texts) + skin.px(22)


def _styled(one: tuple[str, Style], width: int) -> tuple[str, float, Style]:
    return (one[0], width, one[1])


def paint_workshop(pen: Pen, box: QRectF, ink: Token, title: str, when: str, about: str) -> None:
    """A workshop on its key: title, date, what it is."""
    px = pen.skin.px
    inner = box.adjusted(px(14), px(8), -px(12), -px(8))
    if pen.skin.text > 1:
        y = inner.y()
        for text, style in ((title, replace(NAMED, ink=ink)), (when, DAY), (about, DAY)):
            high = height_of(pen.skin, text, inner.width(), style)
            pen.text(QRectF(inner.x(), y, inner.width(), high), text, style)
            y += high + 2
        return
    first = QRectF(inner.x(), inner.y(), inner.width(), inner.height() / 2)
    day = pen.text(first, when, replace(DAY, across=RIGHT))
    name = first.adjusted(0, 0, -day.width - px(10), 0)
    pen.text(name, title, replace(NAMED, ink=ink))
    below = QRectF(inner.x(), first.bottom(), inner.width(), inner.height() / 2)
    pen.text(below, about, DAY)


def observer_height(skin: Skin, width: int, name: str, note: str) -> int:
    """Px of height that an observer needs on their key; see `paint_observer`."""
    below = height_of(skin, note, width, DAY)
    return height_of(skin, name, width, OBSERVER) + below + skin.px(20)


def paint_observer(pen: Pen, box: QRectF, ink: Token, name: str, note: str) -> None:
    """An observer on their key: name, and whom they watch."""
    px = pen.skin.px
    inner = box.adjusted(px(14), px(6), -px(10), -px(6))
    foot = height_of(pen.skin, note, inner.width(), DAY) + px(2)
    first = QRectF(inner.x(), inner.y(), inner.width(), inner.height() - foot)
    pen.text(first, name, replace(OBSERVER, ink=ink))
    pen.text(QRectF(inner.x(), first.bottom(), inner.width(), foot), note, DAY)
