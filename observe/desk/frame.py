"""The frame: the bar with the screens that exist, the page, troubles, and the status line."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QWidget

from observe.desk.deeds import icon_face
from observe.desk.keys import Face, FocusRing, Key, Row
from observe.desk.paint import BOTTOM, CENTRE, MIDDLE, RIGHT, Pen, Style, fit
from observe.desk.theme import Skin
from observe.desk.trouble_row import TroubleRow
from observe.look.marks import MarkLook, mark_shapes
from observe.look.tokens import Token, Weight

STATUS_HEIGHT = 32
WORD_SIZE = 18
LEAST_WIDTH = (1200, 960)
"""px at the hand and the desk density that a rail of twelve learners and the well need."""
LEAST_HEIGHT = 580
LEAST_PX_HEIGHT = 620
"""px of any screen under which the other pages have no room."""


class FrameBar(QWidget):
    """Words of the screens at the left; at the right what is open, and its state."""

    chosen = Signal(str)
    settings = Signal()

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.settings_key = Key(skin, self, icon_face("settings", "Settings"))
        self.settings_key.struck.connect(self.settings)
        self.words: list[Row] = []
        self.now, self.title, self.state = "", "", ""
        self.theme_key = Key(skin, self)
        self.theme_key.struck.connect(skin.turn_over)
        self._names: tuple[str, ...] = ()

    def show_screens(self, names: tuple[str, ...], now: str, title: str, state: str) -> None:
        """The screens there are, the one that is open, and what is open in it."""
        self._names, self.now, self.title, self.state = names, now, title, state
        self.setAccessibleName(f"{title}, {state}")
        while len(self.words) < len(names):
            row = Row(self.skin, self)
            row.struck.connect(partial(self._choose, len(self.words)))
            self.words.append(row)
        self.refresh()

    def _choose(self, place: int) -> None:
        self.chosen.emit(self._names[place])

    def refresh(self) -> None:
        """Place and paint the words again."""
        x, high = self.skin.px(6), self.height() - 1
        for place, row in enumerate(self.words):
            row.setVisible(place < len(self._names))
            if place >= len(self._names):
                continue
            name = self._names[place]
            current = name == self.now
            fill = Token.BAND if current else Token.KEY
            ink = Token.ONBAND if current else Token.INK
            row.show_face(Face(name, paint_word, (name, current), fill=fill, ink=ink))
            wide = self._word_width(name)
            row.setGeometry(x, 0, wide, high)
            x += wide
        word = "Light" if self.skin.is_dark else "Dark"
        self.theme_key.show_face(icon_face("theme", word))
        wide = self._key_width("Settings")
        x = self.width() - wide - self.skin.px(6)
        self.theme_key.setGeometry(x, 0, wide, high)
        self.settings_key.setGeometry(x - wide - self.skin.px(6), 0, wide, high)
        self.update()

    def _word_width(self, name: str) -> int:
        """Px of a screen's word: those of its place, or what enlarged letters need."""
        font = self.skin.font(WORD_SIZE, Weight.BOLD)
        word = round(QFontMetricsF(font).horizontalAdvance(name)) + self.skin.px(18)
        return max(self.skin.still(104, 104), word)

    def _key_width(self, word: str) -> int:
        font = self.skin.font(self.skin.density.key_word, Weight.MEDIUM)
        letters = round(QFontMetricsF(font).horizontalAdvance(word)) + self.skin.px(10)
        return max(self.skin.still(76, 76), self.skin.mm(12), letters)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.refresh()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.GROUND)
        pen.fill(QRectF(0, box.height() - 1, box.width(), 1), Token.LINE)
        left = px(18) + sum(self._word_width(name) for name in self._names)
        place = QRectF(left, 0, self.settings_key.x() - left - px(14), box.height())
        middle = box.center().y()
        above = place.adjusted(0, 0, 0, -(box.height() - middle) + px(1))
        below = place.adjusted(0, middle + px(2), 0, 0)
        title = Style(18, Weight.BOLD, least=14, across=RIGHT, down=BOTTOM)
        state = Style(15, ink=Token.INK2, least=12.5, across=RIGHT)
        line = self.skin.text_px(18)
        has_both = fit(self.skin, self.title, place.width(), line, title).fits and (
            fit(self.skin, self.state, place.width(), below.height(), state).fits
        )
        if has_both or self.skin.text == 1:
            pen.text(above, self.title, title)
            pen.text(below, self.state, state)
        else:
            pen.text(
                place.adjusted(0, 4, 0, -4),
                self.title,
                replace(title, down=MIDDLE),
                shorter=_fewer(self.title),
            )
        painter.end()


def _fewer(title: str) -> tuple[str, ...]:
    """A title with fewer of its parts, the last ones left out first."""
    parts = title.split(", ")
    return tuple(", ".join(parts[:count]) for count in range(len(parts) - 1, 0, -1))


def paint_word(pen: Pen, box: QRectF, ink: Token, name: str, current: bool) -> None:  # noqa: FBT001 - content of a face
    """The name of a screen."""
    weight = Weight.BOLD if current else Weight.REGULAR
    pen.text(box, name, Style(WORD_SIZE, weight, ink, 15, CENTRE, MIDDLE))


class StatusLine(QWidget):
    """About the disk, the place and the person."""

    def __init__(self, skin: Skin, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin = skin
        self.disk, self.place, self.person = "", "", ""

    def say(self, disk: str, place: str = "", person: str = "") -> None:
        """Say where the record is, and who is at it."""
        self.disk, self.place, self.person = disk, place, person
        self.setAccessibleName(". ".join(part for part in (disk, place, person) if part))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.GROUND)
        pen.fill(QRectF(0, 0, box.width(), 1), Token.LINE)
        style = Style(14, ink=Token.INK2, least=11.5, down=MIDDLE)
        right = Style(14, ink=Token.INK2, least=11.5, across=RIGHT, down=MIDDLE)
        if self.disk:
            side = px(12)
            pen.shapes(mark_shapes(MarkLook.DONE, side), px(10), round(box.center().y() - side / 2))
        half = box.width() / 2
        disk = QRectF(px(30), 0, half - px(40), box.height())
        pen.text(disk, self.disk, style, shorter=(self.disk.split(":")[0] + ".",))
        who = "   ".join(part for part in (self.place, self.person) if part)
        less = (self.person or self.place,)
        pen.text(QRectF(half, 0, half - px(10), box.height()), who, right, shorter=less)
        painter.end()


def lay_out_again(top: QWidget) -> None:
    """Have everything in a window place its parts anew and repaint, though no size changed.

    Each part places what is in it when it is told its size; those above come first.
    """
    for part in (top, *top.findChildren(QWidget)):
        if part is not top:
            QApplication.sendEvent(part, QResizeEvent(part.size(), part.size()))
        part.update()


class Frame(QWidget):
    """The one window. A page takes the whole of it while attempts run."""

    closed = Signal()

    def __init__(self, skin: Skin) -> None:
        super().__init__()
        self.skin = skin
        self.bar = FrameBar(skin, self)
        self.trouble = TroubleRow(skin, self)
        self.status = StatusLine(skin, self)
        self.page: QWidget | None = None
        self._whole = False
        self.ring = FocusRing(skin, self)
        self.setWindowTitle("Observe")
        self.lay_out()
        skin.changed.connect(self._repaint)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self.ring.follow)

    def show_page(self, page: QWidget, *, whole: bool) -> None:
        """Show a page; the one before it is hidden. whole: without bar and status line."""
        if self.page is not None and self.page is not page:
            self.page.hide()
        self.page, self._whole = page, whole
        page.setParent(self)
        self.bar.setVisible(not whole)
        self.status.setVisible(not whole)
        self.lay_out()
        page.show()
        page.setFocus(Qt.FocusReason.OtherFocusReason)

    def lay_out(self) -> None:
        """Place bar, page, trouble and status line for the size of the window."""
        least = self.skin.still(LEAST_HEIGHT, LEAST_HEIGHT)
        self.setMinimumSize(self.skin.still(*LEAST_WIDTH), max(LEAST_PX_HEIGHT, least))
        wide, high = self.width(), self.height()
        top = 0 if self._whole else self.skin.bar_height
        foot = 0 if self._whole else self.skin.px(STATUS_HEIGHT)
        self.bar.setGeometry(0, 0, wide, self.skin.bar_height)
        self.status.setGeometry(0, high - foot, wide, foot)
        if self.trouble.trouble is not None:
            row = self.trouble.needed(wide - self.skin.px(12))
            self.trouble.setGeometry(
                self.skin.px(6), high - foot - row, wide - self.skin.px(12), row
            )
            foot += row
        if self.page is not None:
            self.page.setGeometry(0, top, wide, max(1, high - top - foot))
        self.ring.settle()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def _repaint(self) -> None:
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.setPalette(self.skin.palette())
        self.lay_out()
        self.bar.refresh()
        lay_out_again(self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_F11:
            self.showNormal() if self.isFullScreen() else self.showFullScreen()
            return
        super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        Pen(painter, self.skin).fill(QRectF(self.rect()), Token.GROUND)
        painter.end()
