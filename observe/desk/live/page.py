"""Live: one bar, two views over one model, and the keyboard. Switching keeps the place."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import QWidget

from observe.desk.live import reading
from observe.desk.live.bar import GRID, PAUSE, ROOM, SEATS, LiveBar
from observe.desk.live.keyboard import KeysTable
from observe.desk.live.model import LiveModel
from observe.desk.live.note import AwayNote
from observe.desk.live.questions import Questions
from observe.desk.live.room_deeds import KEYS_TABLE, LIGHT_DARK, RoomDeeds
from observe.desk.live.seats_view import SeatsView
from observe.desk.live.strokes import Strokes
from observe.desk.live.well import WellPanel
from observe.desk.paint import Pen
from observe.desk.theme import Skin
from observe.look.tokens import Token

TICK_MS = 1000


class LivePage(QWidget):
    """What an observer works with while attempts run."""

    leave = Signal()
    rate = Signal(int)
    debrief = Signal(int)

    def __init__(self, skin: Skin, model: LiveModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.skin, self.model = skin, model
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.bar = LiveBar(skin, model, self)
        self.seats = SeatsView(skin, model, self)
        self.note = AwayNote(skin, model, self)
        self.questions = Questions(skin, self)
        self.room_deeds = RoomDeeds(model, self.questions)
        self.keys_table = KeysTable(skin, self)
        self.strokes = Strokes(self)
        self._seen_at = datetime.fromisoformat(model.room.logbook.machine.stamp().at)
        self._connect()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.tick)

    def _connect(self) -> None:
        model = self.model
        self.bar.leave.connect(self.leave)
        self.bar.struck.connect(self.strike)
        self.room_deeds.struck.connect(self.strike)
        self.keys_table.closed.connect(self.keys_table.hide)
        self.seats.rate.connect(self.rate)
        self.seats.debrief.connect(self.debrief)
        model.changed.connect(self._changed)
        model.front_changed.connect(self._front_changed)
        model.trouble_changed.connect(self.refresh)
        model.refused.connect(self._changed)
        model.away_changed.connect(self._show_note)
        self.skin.changed.connect(self.refresh)

    @property
    def well(self) -> WellPanel:
        """The full set of keys of the learner in front."""
        return self.seats.well

    # what the bar and the room's panel ask for

    def strike(self, name: str) -> None:
        """Do what a key of the bar says, or the same entry of the room's panel."""
        if name != ROOM:
            self.questions.close_it()
        deeds = {
            SEATS: self.turn_view if GRID in self.bar.folded else self.show_seats,
            PAUSE: self.model.pause_all,
            ROOM: self.toggle_room,
            KEYS_TABLE: self.toggle_keys_table,
            LIGHT_DARK: self.skin.turn_over,
        }
        if name in deeds:
            deeds[name]()

    def toggle_room(self) -> None:
        """Open the panel of the room's deeds, or close it."""
        if self.questions.is_open:
            self.questions.close_it()
        else:
            self.room_deeds.offer(self.bar.folded)

    def show_seats(self) -> None:
        """The seats as they stand."""

    def turn_view(self) -> None:
        """From one view to the other; the learner and the step in front stay."""

    # geometry

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.arrange()

    def arrange(self) -> None:
        """Lay everything out for the size and the screen."""
        high = self.skin.bar_height
        self.bar.setGeometry(0, 0, self.width(), high)
        below = (0, high, self.width(), max(1, self.height() - high))
        self.seats.setGeometry(*below)
        self.seats.arrange()
        self._place_questions()
        self._show_note()
        self.update()

    def _place_questions(self) -> None:
        """Over the well, where nothing else is pressed; the seats keep their keys."""
        box = self.seats.middle().translated(self.seats.pos())
        self.questions.setGeometry(box)

    # showing

    def refresh(self) -> None:
        """Show everything as it is now."""
        self.seats.refresh()
        self.bar.refresh()
        self._show_note()
        self.update()

    def _changed(self, seat: int) -> None:
        self.seats.show_seat(seat)
        self.bar.refresh()
        self._announce(seat)

    def _front_changed(self, before: int, now: int) -> None:
        self.seats.show_front(before, now)
        self.bar.refresh()
        self._announce(now)

    def _announce(self, seat: int) -> None:
        """Tell the reader of the screen what was kept and what comes next."""
        if not QAccessible.isActive():
            return
        state = self.model.state(seat)
        step = reading.current(state)
        ahead = f" Next: {step.label}." if step else ""
        said = f"{reading.take_back_words(state)}, {self.model.name(seat)}.{ahead}"
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, said))

    def _show_note(self) -> None:
        self.note.refresh()
        box = self.seats.note_box()
        if self.model.away is None or box.isEmpty():
            return
        self.note.setGeometry(box.translated(self.seats.pos()))
        self.note.refresh()

    def tick(self) -> None:
        """A second went by."""
        now = datetime.fromisoformat(self.model.room.logbook.machine.stamp().at)
        gap = (now - self._seen_at).total_seconds()
        self._seen_at = now
        self.model.came_back(gap)
        self.seats.tick()
        self.bar.tick()

    def showEvent(self, event: QShowEvent) -> None:
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        self._timer.start(TICK_MS)
        self.model.see_seals()
        self.refresh()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        Pen(painter, self.skin).fill(self.rect().toRectF(), Token.GROUND)
        painter.end()

    # keyboard

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self.strokes.press(event):
            super().keyPressEvent(event)

    def toggle_keys_table(self) -> None:
        """Open the table of keys, or close it."""
        if self.keys_table.isVisible():
            self.keys_table.hide()
        else:
            self.keys_table.show_over(self.width(), self.height())
