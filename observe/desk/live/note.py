"""The note after an interruption: how long it was, and what was marked last."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Key, word_face
from observe.desk.live.interruptions import Away
from observe.desk.live.model import LiveModel
from observe.desk.live.reading import NS, ago
from observe.desk.live.shield import heed, is_up
from observe.desk.paint import MIDDLE, Pen, Style
from observe.desk.theme import Skin
from observe.look.tokens import ROUTINE_TARGET_MM, Token, Weight

LONG_S = 3600
RAN_ON = " Running clocks ran on."


class AwayNote(QWidget):
    """In lamp colours; it goes at the next touch of any seat."""

    go = Signal(int)

    def __init__(self, skin: Skin, model: LiveModel, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.model = skin, model
        self.go_key = Key(skin, self)
        self.nothing_key = Key(skin, self, word_face("Nothing seen since"))
        self.go_key.struck.connect(self._go)
        self.nothing_key.struck.connect(model.nothing_seen)
        heed(model, self.refresh)
        self.hide()

    def _go(self) -> None:
        if self.model.away is not None:
            self.model.look(self.model.away.seat)

    def resizeEvent(self, event: QResizeEvent) -> None:
        px, y, high = self.skin.px, 3, self.height() - 6
        if high < self.skin.mm(ROUTINE_TARGET_MM):
            y, high = 0, self.height()
        wide = px(112 if self.width() >= px(440) else 82)
        x = self.width() - wide - 4
        self.nothing_key.setGeometry(x, y, wide, high)
        self.go_key.setGeometry(x - wide - px(4), y, wide, high)
        self.refresh()

    def refresh(self) -> None:
        """Say what there is to say, or nothing."""
        away = self.model.away
        self.setVisible(away is not None)
        if away is not None:
            number = self.model.number(away.seat)
            self.go_key.show_face(word_face(f"Go to seat {number}", weight=Weight.BOLD))
            self.setAccessibleName(f"{self._title()} {self._said()}")
            self.raise_()
        self.update()

    def _title(self) -> str:
        seconds = self.model.away.seconds if self.model.away else 0
        if seconds >= LONG_S:
            return f"You were away for {seconds // LONG_S} h {seconds % LONG_S // 60} min."
        return f"You were away {ago(seconds * NS)}."

    def _said(self) -> str:
        away = self.model.away
        if away is None:
            return ""
        lasts = self._lasts(away)
        ran = any(session.state.clock.is_running for session in self.model.sessions)
        return f"Last: {'; '.join(lasts)}.{RAN_ON if ran else ''}"

    def _lasts(self, away: Away) -> list[str]:
        """The last marks, newest first; under the shield only where they were."""
        seats = [f"seat {self.model.number(one.seat)}" for one in away.lasts]
        if is_up(self.model):
            return list(dict.fromkeys(seats))
        return [f"{seat}, {one.words}" for seat, one in zip(seats, away.lasts, strict=True)]

    def _shorter(self) -> tuple[str, ...]:
        """Without the clocks; then with fewer marks."""
        away = self.model.away
        if away is None:
            return ()
        lasts = self._lasts(away)
        fewer = tuple(f"Last: {'; '.join(lasts[:count])}." for count in range(len(lasts), 0, -1))
        return (*fewer, f"Last: seat {self.model.number(away.seat)}.")

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        box = QRectF(self.rect())
        pen.fill(box, Token.LAMPBG)
        pen.frame(box, Token.INK, 1.5)
        pen.fill(QRectF(0, 0, px(9), box.height()), Token.LAMP)
        place = box.adjusted(px(17), px(3), -(box.width() - self.go_key.x()) - px(6), -px(3))
        first = QRectF(place.x(), place.y(), place.width(), px(20))
        title = Style(15, Weight.BOLD, least=12, down=MIDDLE)
        less = self._title().removeprefix("You were ").replace("away for", "Away")
        least = less.removeprefix("Away ").removeprefix("away ")
        pen.text(first, self._title(), title, shorter=(less, least))
        rest = place.adjusted(0, px(20), 0, 0)
        style = Style(14, least=11.5, leading=1.08)
        pen.text(rest, self._said(), style, shorter=self._shorter())
        painter.end()
