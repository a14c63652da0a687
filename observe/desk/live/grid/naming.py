"""Asks over the cells what a critical event was. Its time is kept, so it can wait."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.live.asks import Asks
from observe.desk.live.model import LiveModel
from observe.desk.live.panels import AskPanel
from observe.desk.live.typed_reason import TypedReason
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.theme import Skin
from observe.look.tokens import FRONT_WIDTH, Token, Weight

TITLE = 34
ROOMY = 1.3
"""How much more than the least height the questions take where there is room."""


class Naming(QWidget):
    """The questions that a well asks, where no well is shown; one learner at a time.

    It opens only after a critical event and never comes back by itself once it was left;
    sealing asks for what is open (rule C3). rate: called with the seat to rate.
    """

    def __init__(
        self, skin: Skin, model: LiveModel, rate: Callable[[int], None], parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.skin, self.model = skin, model
        self.panel, self.typed = AskPanel(skin, self), TypedReason(skin, self)
        self.asks = Asks(model, self.panel, self.typed, rate)
        self._place = QRect()
        self.hide()

    @property
    def seat(self) -> int:
        """The seat that is asked about."""
        return self.asks.seat

    @property
    def is_open(self) -> bool:
        return not self.isHidden()

    def offer(self, seat: int) -> None:
        """Ask what the last critical event of a learner was; nothing under the shield."""
        self._show(open_now=self.asks.show_for(seat))

    def refresh(self) -> None:
        """After an answer: what became of it, or nothing more. Another learner puts it away."""
        if self.is_open:
            stays = self.seat == self.model.front and self.asks.show_for(self.seat)
            self._show(open_now=stays)

    def answer(self, number: int) -> None:
        """Give the answer with a number from 0, if choices are offered."""
        if not self.panel.isHidden():
            self.panel.answer(number)

    def leave(self) -> None:
        """One step back: from a text to the choices, from the choices to nothing."""
        self.asks.close()
        self.refresh()

    def _show(self, *, open_now: bool) -> None:
        if open_now:
            who = f"{self.model.number(self.seat)} {self.model.name(self.seat)}"
            self.setAccessibleName(who)
            self.place(self._place)
            self.raise_()
        self.setVisible(open_now)
        self.update()

    # geometry and painting

    def place(self, box: QRect) -> None:
        """Stand at the top of a box, no higher than what is asked needs."""
        self._place = box
        wide = box.width() - 2 * self._pad()
        asked = self.typed if self.panel.isHidden() else self.panel
        most = round(asked.least_height(wide) * ROOMY)
        high = min(box.height(), self._title() + most + 2 * self._pad())
        self.setGeometry(box.x(), box.y(), box.width(), high)
        self._lay_out()

    def _title(self) -> int:
        return self.skin.px(TITLE)

    def _pad(self) -> int:
        return self.skin.px(10)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _lay_out(self) -> None:
        pad, head = self._pad(), self._title()
        inner = self.rect().adjusted(pad, head + pad // 2, -pad, -pad)
        self.panel.setGeometry(inner)
        self.typed.setGeometry(inner)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.WELL)
        band = QRectF(0, 0, box.width(), self._title())
        pen.fill(band, Token.BAND)
        pen.frame(box, Token.BAND, FRONT_WIDTH)
        who = f"{self.model.number(self.seat)} {self.model.name(self.seat)}"
        style = Style(18, Weight.BOLD, Token.ONBAND, 12, down=MIDDLE)
        pen.text(band.adjusted(px(13), 0, -px(10), 0), who, style)
        painter.end()
