"""The bar of Live: the way out, what is kept, the session's clock, and trouble where it arises."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.deeds import icon_face
from observe.desk.keys import Key, word_face
from observe.desk.live.model import LiveModel
from observe.desk.paint import BOTTOM, MIDDLE, RIGHT, Pen, Style
from observe.desk.theme import Skin
from observe.domain.printing import clock
from observe.domain.words import counted
from observe.look.signs import SignLook, sign_shapes
from observe.look.tokens import Token, Weight


class LiveBar(QWidget):
    """No menus, no way to other screens but Leave while attempts run."""

    leave = Signal()
    keys_table = Signal()

    def __init__(self, skin: Skin, model: LiveModel, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.model = skin, model
        self.leave_key = Key(skin, self, icon_face("leave", "Leave"))
        self.theme_key = Key(skin, self)
        self.table_key = Key(skin, self, icon_face("keys", "Keys"))
        self.pause_key = Key(skin, self)
        self.again_key = Key(skin, self, word_face("Try again", weight=Weight.BOLD))
        self.leave_key.struck.connect(self.leave)
        self.theme_key.struck.connect(skin.turn_over)
        self.table_key.struck.connect(self.keys_table)
        self.pause_key.struck.connect(model.pause_all)
        self.again_key.struck.connect(model.try_again)
        self._shown: tuple[object, ...] = ()
        self.setAccessibleName("Bar")

    def resizeEvent(self, event: QResizeEvent) -> None:
        px, high = self.skin.px, self.height() - 1
        wide = max(px(76), self.skin.mm(12))
        self.leave_key.setGeometry(px(6), 0, wide, high)
        x = self.width() - px(6)
        for key in (self.pause_key, self.table_key, self.theme_key):
            x -= wide
            key.setGeometry(x, 0, wide, high)
            x -= px(6)
        self.refresh()

    def refresh(self) -> None:
        """Show what is kept and what stands in the way."""
        word = "Light" if self.skin.is_dark else "Dark"
        self.theme_key.show_face(icon_face("theme", word))
        running = any(one.state.clock.is_running for one in self.model.sessions)
        face = ("pause", "Pause all") if running else ("go", "All go on")
        can = self.model.trouble is None and self.model.can_pause
        self.pause_key.show_face(icon_face(*face).allowed(can=can))
        self.again_key.setVisible(self.model.trouble is not None)
        box = self._trouble_box()
        wide = self.skin.px(120)
        self.again_key.setGeometry(
            round(box.right()) - wide - self.skin.px(4), 4, wide, self.height() - 9
        )
        shown = (self.model.kept, self.model.trouble, self.skin.is_dark, self.width())
        if shown != self._shown:
            self._shown = shown
            self.update(self.leave_key.geometry().right() + 1, 0, self.theme_key.x(), self.height())

    def tick(self) -> None:
        """A second went by: the session's clock."""
        left = self.theme_key.x() - self.skin.px(126)
        self.update(left, 0, self.theme_key.x() - left, self.height())

    def _trouble_box(self) -> QRectF:
        px = self.skin.px
        left = self.leave_key.geometry().right() + px(150)
        right = self.theme_key.x() - px(130)
        return QRectF(left, 1, max(0, right - left), self.height() - 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.GROUND)
        pen.fill(QRectF(0, box.height() - 1, box.width(), 1), Token.LINE)
        clock_box = QRectF(self.theme_key.x() - px(126), 0, px(116), box.height())
        self._paint_session(pen, clock_box)
        left = self.leave_key.geometry().right() + px(14)
        if self.model.trouble is not None:
            self._paint_trouble(pen, QRectF(left, 0, px(130), box.height()))
        else:
            place = QRectF(left, 0, clock_box.x() - left - px(160), box.height())
            self._paint_title(pen, place)
            self._paint_kept(pen, QRectF(place.right(), 0, px(150), box.height()))
        painter.end()

    def _halves(self, box: QRectF) -> tuple[QRectF, QRectF]:
        middle = box.center().y()
        return (
            QRectF(box.x(), box.y(), box.width(), middle - box.y() + self.skin.px(2)),
            QRectF(box.x(), middle + self.skin.px(2), box.width(), box.bottom() - middle),
        )

    def _paint_title(self, pen: Pen, box: QRectF) -> None:
        room = self.model.room
        above, below = self._halves(box)
        name = room.form.short or room.form.title
        narrow = box.width() < self.skin.px(200)
        title = name if narrow else f"{name}, {room.workshop.mode.value}"
        pen.text(above, title, Style(18, Weight.BOLD, least=14, down=BOTTOM))
        learners = counted(len(self.model), "learner")
        said = f"{learners} · form {room.form.id} {room.form.version} · {room.name(room.observer)}"
        shorter = (f"{learners} · form {room.form.id} {room.form.version}", learners)
        style = Style(15, ink=Token.INK2, least=13)
        pen.text(below, learners if narrow else said, style, shorter=shorter)

    def _paint_kept(self, pen: Pen, box: QRectF) -> None:
        said = f"{counted(self.model.kept, 'mark')} on disk"
        pen.text(box, said, Style(15, ink=Token.INK2, least=13, across=RIGHT, down=MIDDLE))

    def _paint_session(self, pen: Pen, box: QRectF) -> None:
        above, below = self._halves(box)
        px = self.skin.px
        time = clock(self.model.session_ns())
        pen.text(
            above.adjusted(0, 0, 0, px(6)),
            time,
            Style(26, Weight.BOLD, least=18, across=RIGHT, down=BOTTOM),
        )
        style = Style(13.4, ink=Token.INK2, least=12, across=RIGHT)
        pen.text(below.adjusted(0, px(3), 0, 0), "since the first mark", style)

    def _paint_trouble(self, pen: Pen, title: QRectF) -> None:
        px, trouble = self.skin.px, self.model.trouble
        if trouble is None:
            return
        self._paint_title(pen, title)
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
        pen.text(above, trouble.what, Style(16, Weight.BOLD, least=12.5, down=BOTTOM))
        kept = f"{counted(self.model.kept, 'mark')} {'is' if self.model.kept == 1 else 'are'} kept."
        said = f"{kept} {trouble.remedy}"
        pen.text(below, said, Style(15, ink=Token.INK2, least=12), shorter=(kept,))
