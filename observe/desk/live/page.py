"""Live: one bar, two views over one model, and the keyboard. Switching keeps the place."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QFocusEvent,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import QApplication, QWidget

from observe.desk.keys import KEYBOARD_REASONS
from observe.desk.live import reading
from observe.desk.live.bar import GRID, PAUSE, ROOM, SEATS, SHIELD, TOGETHER, LiveBar
from observe.desk.live.keyboard import KeysTable
from observe.desk.live.lamp import Lamplight, keeper
from observe.desk.live.learner_deeds import LearnerDeeds
from observe.desk.live.model import LiveModel
from observe.desk.live.note import AwayNote
from observe.desk.live.questions import Questions
from observe.desk.live.room_deeds import (
    ARRANGE,
    CUE,
    KEYS_TABLE,
    LIGHT_DARK,
    OTHER_ROOM,
    SETTINGS,
    SWITCH,
    WIPE,
    RoomDeeds,
)
from observe.desk.live.seats_view import SeatsView
from observe.desk.live.shield import heed, is_up, shield_of
from observe.desk.live.strokes import Strokes
from observe.desk.live.well import WellPanel
from observe.desk.paint import Pen
from observe.desk.theme import Skin
from observe.domain import printing
from observe.look.tokens import Token

if TYPE_CHECKING:
    from observe.desk.live.arrange import ArrangeView
    from observe.desk.live.grid.view import GridView
    from observe.desk.live.together import TogetherView
    from observe.desk.live.wipe import WipePage

TICK_MS = 1000
MOST_COVERED = 60
"""More keys than a panel can lie over."""


class LivePage(QWidget):
    """What an observer works with while attempts run.

    cue: whether it says where to look next; None for what was measured to be best.
    `cue_turned`: the observer turned that on or off.
    """

    leave = Signal()
    rate = Signal(int)
    debrief = Signal(int)
    switch = Signal()
    settings = Signal()
    learner_screen = Signal(int, str)
    paper = Signal(str, str, str)
    live_again = Signal()
    cue_turned = Signal(bool)

    def __init__(
        self,
        skin: Skin,
        model: LiveModel,
        parent: QWidget | None = None,
        *,
        cue: bool | None = None,
    ) -> None:
        super().__init__(parent)
        self.skin, self.model = skin, model
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.bar = LiveBar(skin, model, self)
        self.seats = SeatsView(skin, model, self)
        self.note = AwayNote(skin, model, self)
        self.lamp = Lamplight(model, keeper(model), on=cue, parent=self)
        self.questions = Questions(skin, self)
        self.room_deeds = RoomDeeds(model, self.questions)
        self.learner_deeds = LearnerDeeds(model, self.questions)
        self.view = SEATS
        self.grid: GridView | None = None
        self.together: TogetherView | None = None
        self.arranging: ArrangeView | None = None
        self.over: TogetherView | ArrangeView | None = None
        self.wiping: WipePage | None = None
        self.keys_table = KeysTable(skin, self)
        self.strokes = Strokes(self)
        self._by_tab = False
        self._seen_at = datetime.fromisoformat(model.room.logbook.machine.stamp().at)
        self._connect()
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.tick)

    def _connect(self) -> None:
        model = self.model
        self.bar.leave.connect(self.leave)
        self.bar.struck.connect(self.strike)
        self.room_deeds.struck.connect(self.strike)
        self.room_deeds.paper.connect(self.paper)
        self.learner_deeds.learner_screen.connect(self.learner_screen)
        self.learner_deeds.alone.connect(self.show_alone)
        self.learner_deeds.rate.connect(self.rate)
        self.learner_deeds.live_again.connect(self.live_again)
        self.keys_table.closed.connect(self.keys_table.hide)
        self.keys_table.critical.connect(self._critical_from_table)
        self.seats.rate.connect(self.rate)
        self.seats.debrief.connect(self.debrief)
        self.seats.more.connect(self.ask_for_more)
        self.lamp.changed.connect(self._lit)
        model.changed.connect(self._changed)
        model.front_changed.connect(self._front_changed)
        model.places_changed.connect(self.arrange)
        model.trouble_changed.connect(self.refresh)
        model.refused.connect(self._changed)
        model.critical_kept.connect(self._critical_kept)
        model.away_changed.connect(self._show_note)
        heed(model, self.bar.refresh)
        self.skin.changed.connect(self._skin_changed)

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
            GRID: self.show_grid,
            PAUSE: self.model.pause_all,
            TOGETHER: self.toggle_together,
            ROOM: self.toggle_room,
            ARRANGE: self.toggle_arranging,
            SWITCH: self.switch.emit,
            SETTINGS: self.settings.emit,
            WIPE: self.wipe,
            CUE: self.turn_cue,
            OTHER_ROOM: self.model.next_room,
            KEYS_TABLE: self.toggle_keys_table,
            LIGHT_DARK: self.skin.turn_over,
            SHIELD: shield_of(self.model).turn,
        }
        if name in deeds:
            deeds[name]()

    def turn_cue(self) -> None:
        """Say where to look next, or do not; kept in the record (rule A5)."""
        on = not self.lamp.is_on
        if self.model.turn_cue(on=on):
            self.lamp.turn(on=on)
            self.cue_turned.emit(on)

    def _lit(self, before: int | None, now: int | None) -> None:
        """The lamp stands elsewhere; where, and why, is said to the reader of the screen."""
        self.shown.light(now)
        if now is not None and QAccessible.isActive():
            said = QAccessibleAnnouncementEvent(self, f"Look here. {self.lamp.words()}")
            QAccessible.updateAccessibility(said)

    def look_where_lit(self) -> None:
        """Bring the learner whose seat is lit to the front."""
        if self.lamp.lit is not None:
            self.model.look(self.lamp.lit)

    def toggle_room(self) -> None:
        """Open the panel of the room's deeds, or close it."""
        if self.questions.is_open:
            self.questions.close_it()
        else:
            self.room_deeds.cue_is_on = self.lamp.is_on
            self.room_deeds.offer(self.bar.folded)

    def ask_for_more(self, seat: int) -> None:
        """Offer what else can be done for a learner, or close what is offered."""
        if self.questions.is_open:
            self.questions.close_it()
        else:
            self.learner_deeds.offer(seat)

    @property
    def is_arranging(self) -> bool:
        """Whether the seats are being arranged."""
        return self.arranging is not None and self.over is self.arranging

    @property
    def is_together(self) -> bool:
        """Whether one mark is being set for several."""
        return self.together is not None and self.over is self.together

    def toggle_together(self) -> None:
        """Mark several at once, or go back to marking one by one."""
        from observe.desk.live.together import TogetherView

        if self.together is None:
            self.together = TogetherView(self.skin, self.model, self)
            self.together.closed.connect(self.show_seats)
        self._lay_over(None if self.is_together else self.together)

    def toggle_arranging(self) -> None:
        """Arrange the seats as the room stands, or go back to marking."""
        from observe.desk.live.arrange import ArrangeView

        if self.arranging is None:
            self.arranging = ArrangeView(self.skin, self.model, self.questions, self)
            self.arranging.closed.connect(self.show_seats)
        self._lay_over(None if self.is_arranging else self.arranging)

    def _lay_over(self, over: TogetherView | ArrangeView | None) -> None:
        if self.over is not None:
            self.over.hide()
        self.over = over
        self._show_one_view()
        self.arrange()
        if over is not None and self.seats.plan is not None:
            over.begin(self.seats.plan, self.seats.places)
            self.questions.raise_()
        self.bar.view = TOGETHER if self.is_together else self.view
        self.refresh()

    def wipe(self) -> None:
        """Take no touch while the screen is wiped; the clocks run on."""
        from observe.desk.live.wipe import WipePage

        if self.wiping is None:
            self.wiping = WipePage(self.skin, self, clock=self._session_clock)
            self.wiping.lifted.connect(self._wiped)
        self.wiping.setGeometry(self.rect())
        self.wiping.cover()

    def _session_clock(self) -> str:
        return printing.clock(self.model.session_ns())

    def _wiped(self) -> None:
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        self.refresh()

    def show_seats(self) -> None:
        """All seats of the room."""
        self.seats.alone = None
        self._show_view(SEATS)

    def show_alone(self, seat: int) -> None:
        """One learner, with all steps and the critical items by name."""
        self.model.look(seat)
        self.seats.alone = seat
        self._show_view(SEATS)

    def show_grid(self) -> None:
        """Every step of every seat; the learner and the step in front stay."""
        from observe.desk.live.grid.view import GridView

        if self.grid is None:
            self.grid = GridView(self.skin, self.model, self)
            self.grid.takes_keys = lambda: self._grid_takes_keys
            self.grid.rate.connect(self.rate)
            self.grid.debrief.connect(self.debrief)
        self._show_view(GRID)

    def _show_view(self, view: str) -> None:
        self._lay_over(None)
        self.view = self.bar.view = view
        self._show_one_view()
        self.arrange()
        self.refresh()
        self.shown.light(self.lamp.lit)
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_one_view(self) -> None:
        """What lies under another view has no keys: neither Tab nor a number finds them there."""
        self.seats.setVisible(self.over is None and self.view == SEATS)
        if self.grid is not None:
            self.grid.setVisible(self.over is None and self.view == GRID)

    @property
    def shown(self) -> SeatsView | GridView:
        """The view that is shown."""
        return self.grid if self.view == GRID and self.grid is not None else self.seats

    def turn_view(self) -> None:
        """From one view to the other; the learner and the step in front stay."""
        if self.view == SEATS:
            self.show_grid()
        else:
            self.show_seats()

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
        for over in (self.together, self.arranging):
            if over is not None:
                over.setGeometry(*below)
        if self.grid is not None:
            self.grid.setGeometry(*below)
            self.grid.arrange()
        if self.wiping is not None:
            self.wiping.setGeometry(self.rect())
        if self.over is not None and self.seats.plan is not None:
            self.over.lay_out(self.seats.plan, self.seats.places)
        self._place_questions()
        self._show_note()
        self.update()

    def _skin_changed(self) -> None:
        """Colours, text, hand or gloves are others than they were."""
        self.seats.remake()
        self.bar.lay_out()
        self.arrange()
        self.refresh()

    def _place_questions(self) -> None:
        """Over the well or the cells; seats and names keep their keys, critical ones too."""
        box = self.shown.middle().translated(self.shown.pos())
        self.questions.setGeometry(box)

    # showing

    def refresh(self) -> None:
        """Show everything as it is now."""
        self.shown.refresh()
        if self.over is not None:
            self.over.refresh()
        self.bar.refresh()
        self._show_note()
        self.update()

    def _changed(self, seat: int) -> None:
        self.strokes.number.forget()
        self.shown.show_seat(seat)
        if self.over is not None:
            self.over.refresh()
        self.bar.refresh()
        self._announce(seat)

    def _critical_kept(self) -> None:
        """Which one it was is asked in the well: what lies over it goes, a text is kept."""
        if self.over is None:
            self.questions.close_it()

    def _front_changed(self, before: int, now: int) -> None:
        if self.questions.about not in (None, now):
            self.questions.close_it()
        self.strokes.number.forget()
        self.shown.show_front(before, now)
        if self.over is not None:
            self.over.refresh()
        self.bar.refresh()
        self._announce(now)

    def _announce(self, seat: int) -> None:
        """Tell the reader of the screen what was kept and what comes next."""
        if not QAccessible.isActive() or is_up(self.model):
            return
        state = self.model.state(seat)
        step = reading.current(state)
        ahead = f" Next: {step.label}." if step else ""
        said = f"{reading.take_back_words(state)}, {self.model.name(seat)}.{ahead}"
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, said))

    def _show_note(self) -> None:
        self.note.refresh()
        box = self.shown.note_box()
        if self.model.away is None or box.isEmpty() or self.over is not None:
            self.note.hide()
            return
        self.note.setGeometry(box.translated(self.shown.pos()))
        self.note.refresh()

    def tick(self) -> None:
        """A second went by."""
        now = datetime.fromisoformat(self.model.room.logbook.machine.stamp().at)
        gap = (now - self._seen_at).total_seconds()
        self._seen_at = now
        self.model.came_back(gap)
        self._catch_up()
        if self.isVisible():
            self.lamp.tick()
        self.shown.tick()
        if self.over is not None:
            self.over.tick()
        self.bar.tick()

    def _catch_up(self) -> None:
        """Show what another window wrote, unless something is asked about a seat now."""
        grid, arranging = self.grid, self.arranging
        busy = (
            not self.isVisible()
            or self.questions.is_open
            or any(well.asks.is_open for well in self.seats.wells)
            or (grid is not None and (grid.mender.cell is not None or grid.naming.is_open))
            or (arranging is not None and arranging.chosen is not None)
        )
        if not busy:
            self.model.catch_up()

    def showEvent(self, event: QShowEvent) -> None:
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        self._timer.start(TICK_MS)
        self._catch_up()
        self.model.see_seals()
        self.refresh()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        Pen(painter, self.skin).fill(self.rect().toRectF(), Token.GROUND)
        painter.end()

    # keyboard

    def focusInEvent(self, event: QFocusEvent) -> None:
        """A press beside a text that is being written does not take the keyboard from it."""
        super().focusInEvent(event)
        self._by_tab = event.reason() in KEYBOARD_REASONS
        texts = self.questions.texts
        fields = [texts.field] if texts.isVisible() else []
        fields += [well.typed.field for well in self.seats.wells if well.typed.isVisible()]
        if event.reason() == Qt.FocusReason.MouseFocusReason and fields:
            fields[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def focusNextPrevChild(self, next: bool) -> bool:  # noqa: A002, FBT001 - Qt's own name
        """Tab goes into what is asked first, and never to a key that lies under it."""
        answers = [key for key in self.questions.choices.answers if key.isVisible()]
        if next and self.hasFocus() and not self._by_tab and answers:
            answers[0].setFocus(Qt.FocusReason.TabFocusReason)
            return True
        moved = super().focusNextPrevChild(next)
        for _ in range(MOST_COVERED):
            if not (moved and self._is_covered(QApplication.focusWidget())):
                break
            moved = super().focusNextPrevChild(next)
        return moved

    def _is_covered(self, key: QWidget | None) -> bool:
        """Whether what is asked by hand, or the table of keys, lies over a key."""
        if key is None or key is self or not self.isAncestorOf(key):
            return False
        middle = key.mapTo(self, key.rect().center())
        return any(
            over.isVisible() and over.geometry().contains(middle) and not over.isAncestorOf(key)
            for over in (self.questions, self.keys_table)
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if self.strokes.heeds_table(event):
            return
        if self._grid_takes_keys and self.grid is not None and self.grid.press(event):
            return
        if not self.strokes.press(event):
            super().keyPressEvent(event)

    @property
    def _grid_takes_keys(self) -> bool:
        covered = self.questions.is_open or self.keys_table.isVisible()
        return self.view == GRID and self.over is None and not covered

    def toggle_keys_table(self) -> None:
        """Open the table of keys, or close it."""
        if self.keys_table.isVisible():
            self.keys_table.hide()
        else:
            place = self.rect()
            if self.view == SEATS and self.seats.cards:
                place = self.seats.middle().translated(self.seats.pos())
            front = self.model.front
            self.keys_table.show_over(place, self.model.number(front), self.model.name(front))

    def _critical_from_table(self) -> None:
        self.keys_table.hide()
        self.model.critical(self.model.front)
