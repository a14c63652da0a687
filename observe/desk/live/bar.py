"""The bar of Live: the way out, what is kept, the session's clock, and trouble where it arises."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.deeds import icon_face
from observe.desk.keys import Key, word_face
from observe.desk.live.model import LiveModel
from observe.desk.live.reading import lasting
from observe.desk.live.shield import is_up, shield_face
from observe.desk.paint import BOTTOM, MIDDLE, RIGHT, Pen, Style, fit
from observe.desk.theme import Skin
from observe.domain.printing import clock
from observe.domain.words import counted, listed
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Token, Weight

CLOCK_SIZE = 26
TITLE_SIZE = 18
TOLD = Style(15, Weight.BOLD, least=12, down=MIDDLE)
"""What stands in the way, or will."""
WRONG = Style(16, Weight.BOLD, least=12.5, down=BOTTOM)
LEAST_TITLE = 200
"""px that the title and what is kept need at least."""

SEATS, GRID = "Seats", "Grid"
"""The two views."""
TOGETHER, PAUSE, SHIELD, ROOM = "Together", "Pause all", "Shield", "Room"
KEYS = (SEATS, GRID, TOGETHER, PAUSE, SHIELD, ROOM)
FOLDING = (SHIELD, TOGETHER, GRID)
"""What goes into the room's panel first where the bar is narrow or its words are large."""
STANDING = (SEATS, GRID, TOGETHER, PAUSE)
"""What makes room for a trouble: nothing can be kept while it lasts."""


class LiveBar(QWidget):
    """No menus, no way to other screens but Leave while attempts run.

    folded: keys that have no room here; the room's panel offers them.
    """

    leave = Signal()
    struck = Signal(str)

    def __init__(self, skin: Skin, model: LiveModel, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.model = skin, model
        self.view, self.warning = SEATS, ""
        self.folded: frozenset[str] = frozenset()
        self.leave_key = Key(skin, self, icon_face("leave", "Leave"))
        self.keys = {name: Key(skin, self) for name in KEYS}
        self.again_key = Key(skin, self, word_face("Try again", weight=Weight.BOLD))
        self.leave_key.struck.connect(self.leave)
        for name, key in self.keys.items():
            key.struck.connect(partial(self.struck.emit, name))
        self.again_key.struck.connect(model.try_again)
        self._shown: tuple[object, ...] = ()
        self._keys_left = 0
        self.has_clock = True
        self.setAccessibleName("Bar")

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def lay_out(self) -> None:
        """Place the keys; fold away what has no room."""
        px, high = self.skin.px, self.height() - 1
        widths = {name: self._wide(name) for name in ("Leave", *KEYS)}
        self.leave_key.setGeometry(px(6), 0, widths["Leave"], high)
        folded = [] if self.model.trouble is None else list(STANDING)
        beside = self.width() - widths["Leave"] - px(22)

        def left(*, clock: bool) -> float:
            there = sum(widths[one] + px(6) for one in KEYS if one not in folded)
            return beside - there - (self._clock_width() if clock else 0)

        for name in FOLDING:
            if self._holds(left(clock=True)):
                break
            if name not in folded:
                folded.append(name)
        self.has_clock = not self._tells or self._holds(left(clock=True))
        self.folded = frozenset(folded)
        x = self.width()
        for name in reversed(KEYS):
            key = self.keys[name]
            key.setVisible(name not in folded)
            if name not in folded:
                x -= widths[name] + px(6)
                key.setGeometry(x, 0, widths[name], high)
        self._keys_left = x
        self.refresh()

    @property
    def _tells(self) -> str:
        """What stands in the way or will; it goes before the clock and the keys that fold."""
        return self.model.trouble.what if self.model.trouble is not None else self.warning

    def _holds(self, wide: float) -> bool:
        """Whether the words between the keys have room in a width."""
        px = self.skin.px
        if not self._tells:
            return wide >= px(LEAST_TITLE)
        wide -= px(18) + px(18)
        if self.model.trouble is not None:
            wide -= self._again_width() + px(34)
        return wide > px(120) and self._fits(self._tells, wide, self.height() - 8)

    def _fits(self, text: str, wide: float, high: float) -> bool:
        return fit(self.skin, text, wide, high, TOLD).fits

    def _again_width(self) -> int:
        return max(self.skin.mm(14), self._wide("Try again"))

    def _wide(self, name: str) -> int:
        """Width of a key: 12 mm, or what its word needs."""
        font = self.skin.font(self.skin.density.key_word, Weight.MEDIUM)
        word = round(QFontMetricsF(font).horizontalAdvance(name)) + self.skin.px(10)
        return max(self.skin.px(76), self.skin.mm(12), word)

    def _clock_width(self) -> int:
        font = self.skin.font(CLOCK_SIZE, Weight.BOLD)
        return max(self.skin.px(116), round(QFontMetricsF(font).horizontalAdvance("0:00:00")))

    def warn(self, sentence: str) -> None:
        """Say what will stand in the way before it does; empty takes it away."""
        self.warning = sentence
        self.setAccessibleName(f"Bar. {sentence}" if sentence else "Bar")
        self.lay_out()

    def refresh(self) -> None:
        """Show what is kept, which view is open and what stands in the way."""
        if (self.model.trouble is not None) != (PAUSE in self.folded):
            self.lay_out()
            return
        self._show_keys()
        self.again_key.setVisible(self.model.trouble is not None)
        box = self._trouble_box()
        wide = self._again_width()
        self.again_key.setGeometry(round(box.right()) - wide, 0, wide, self.height() - 1)
        shown = (self.model.kept, self.model.trouble, self.skin.theme, self.width(), self.warning)
        if shown != self._shown:
            self._shown = shown
            left = self.leave_key.geometry().right() + 1
            self.update(left, 0, self._keys_left - left, self.height())

    def _show_keys(self) -> None:
        for name in (SEATS, GRID):
            face = icon_face(name.lower(), name)
            self.keys[name].show_face(replace(face, chosen=self.view == name))
        if GRID in self.folded:
            other = SEATS if self.view == GRID else GRID
            self.keys[SEATS].show_face(icon_face(other.lower(), other))
        marking = self.model.trouble is None
        self.keys[TOGETHER].show_face(icon_face("together", TOGETHER).allowed(can=marking))
        running = any(one.state.clock.is_running for one in self.model.sessions)
        face = icon_face("pause", PAUSE) if running else icon_face("go", "All go on")
        self.keys[PAUSE].show_face(face.allowed(can=marking and self.model.can_pause))
        self.keys[SHIELD].show_face(shield_face(up=is_up(self.model)))
        self.keys[ROOM].show_face(icon_face("room", ROOM))

    def tick(self) -> None:
        """A second went by: the session's clock, and how long ago the last mark was."""
        left = self.leave_key.geometry().right() + 1
        self.update(left, 0, self._keys_left - left, self.height())

    def _clock_box(self) -> QRectF:
        wide = self._clock_width() if self.has_clock else 0
        return QRectF(self._keys_left - wide - self.skin.px(10), 0, wide, self.height())

    def _trouble_box(self) -> QRectF:
        px = self.skin.px
        left = self.leave_key.geometry().right() + px(8)
        right = self._clock_box().x() - px(8)
        return QRectF(left, 1, max(0, right - left), self.height() - 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.GROUND)
        pen.fill(QRectF(0, box.height() - 1, box.width(), 1), Token.LINE)
        clock_box = self._clock_box()
        if self.has_clock:
            self._paint_session(pen, clock_box)
        left = self.leave_key.geometry().right() + px(14)
        if self.model.trouble is not None:
            self._paint_trouble(pen)
        else:
            self._paint_title(pen, QRectF(left, 0, clock_box.x() - left - px(8), box.height()))
        painter.end()

    def _halves(self, box: QRectF) -> tuple[QRectF, QRectF]:
        middle = box.center().y()
        return (
            QRectF(box.x(), box.y(), box.width(), middle - box.y() + self.skin.px(2)),
            QRectF(box.x(), middle + self.skin.px(2), box.width(), box.bottom() - middle),
        )

    def _paint_title(self, pen: Pen, box: QRectF) -> None:
        """What is open and who watches; below, what is kept, or what will stand in the way."""
        room = self.model.room
        above, below = self._halves(box)
        low = self.skin.text_px(TOLD.size)
        if self.warning and not self._fits(self.warning, self._warned(below).width(), low):
            self._paint_warning(pen, box)
            return
        name = listed([form.short or form.title for form in room.forms])
        ids = listed([form.id for form in room.forms])
        title = f"{name}, {room.workshop.mode.value} · {room.name(room.observer)}"
        shorter = (f"{name}, {room.workshop.mode.value}", name, ids)
        one_line = QRectF(above)
        one_line.setTop(above.bottom() - self.skin.text_px(TITLE_SIZE))
        style = Style(TITLE_SIZE, Weight.BOLD, least=14, down=BOTTOM)
        pen.text(one_line, title, style, shorter=shorter)
        if self.warning:
            self._paint_warning(pen, below)
            return
        kept = f"{counted(self.model.kept, 'mark')} on disk"
        since = self.model.since_kept_ns()
        said = kept if since is None else f"{kept}, last {lasting(since)} ago"
        less = (kept, f"{self.model.kept} kept")
        pen.text(below, said, Style(15, ink=Token.INK2, least=13), shorter=less)

    def _warned(self, box: QRectF) -> QRectF:
        """The place of a warning beside its sign."""
        return box.adjusted(self.skin.px(26), 0, 0, 0)

    def _paint_warning(self, pen: Pen, box: QRectF) -> None:
        """In the lower line; over both where it needs them."""
        side = self.skin.px(18)
        high = min(box.height(), self.skin.px(24))
        y = box.y() + (box.height() - high) / 2 + self.skin.px(3)
        pen.shapes(sign_shapes(SignLook.TROUBLE, side), box.x(), round(y))
        pen.text(self._warned(box), self.warning, TOLD)

    def _paint_session(self, pen: Pen, box: QRectF) -> None:
        above, below = self._halves(box)
        px = self.skin.px
        time = clock(self.model.session_ns())
        pen.text(
            above.adjusted(0, 0, 0, px(6)),
            time,
            Style(CLOCK_SIZE, Weight.BOLD, least=18, across=RIGHT, down=BOTTOM),
        )
        style = Style(13.4, ink=Token.INK2, least=12, across=RIGHT)
        pen.text(below.adjusted(0, px(3), 0, 0), "since the first mark", style)

    def _paint_trouble(self, pen: Pen) -> None:
        px, trouble = self.skin.px, self.model.trouble
        if trouble is None:
            return
        box = self._trouble_box()
        pen.fill(box, Token.WELL)
        pen.frame(box, Token.INK, 2)
        side = px(34)
        pen.shapes(
            sign_shapes(SignLook.TROUBLE, side),
            box.x() + px(10),
            round(box.center().y() - side / 2),
        )
        left = box.x() + side + px(20)
        place = QRectF(left, box.y(), self.again_key.x() - left - px(8), box.height())
        above, below = self._halves(place)
        kept = f"{counted(self.model.kept, 'mark')} {'is' if self.model.kept == 1 else 'are'} kept."
        said = f"{kept} {trouble.remedy}"
        style, less = Style(15, ink=Token.INK2, least=12), (kept,)
        one = fit(self.skin, trouble.what, above.width(), above.height(), WRONG).fits
        if one and fit(self.skin, said, below.width(), below.height(), style, less).fits:
            pen.text(above, trouble.what, WRONG)
            pen.text(below, said, style, shorter=less)
        else:
            pen.text(place.adjusted(0, 4, 0, -4), trouble.what, TOLD)
