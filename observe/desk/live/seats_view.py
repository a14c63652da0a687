"""Live, the Seats view: the room as it stands, over one model."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QRect, QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.live.alone import CriticalsByName, StepsList
from observe.desk.live.edge import edge_bars, paint_edge
from observe.desk.live.layout import Arrangement, Box, Edge, Measure, RoomPlan, SeatPlace, room_plan
from observe.desk.live.model import LiveModel
from observe.desk.live.seat import LOW_HEAD, SeatCard, beside_sentence, sentence_height
from observe.desk.live.table import TablePanel
from observe.desk.live.well import WellPanel
from observe.desk.live.well_layout import least_height, well_sizes, well_widths
from observe.desk.paint import CENTRE, MIDDLE, Pen, Style
from observe.desk.theme import Skin
from observe.look import tokens
from observe.look.tokens import Token, Weight

EDGE_WIDTH = 10
NAMES_FROM_TEXT = 2.0
"""Scale of the text from which seats are names in a rail."""
TWO_TAPS = "Another learner: tap the name, then the mark."
"""What the screen says where seats have no keys of their own."""
Part = SeatCard | WellPanel | StepsList | CriticalsByName


class SeatsView(QWidget):
    """Seats in their places, the well or the table in the middle.

    alone: the one learner who is shown, with all steps and the critical items by name.
    """

    rate = Signal(int)
    debrief = Signal(int)
    more = Signal(int)

    def __init__(self, skin: Skin, model: LiveModel, parent: QWidget) -> None:
        super().__init__(parent)
        self.skin, self.model = skin, model
        self.cards: list[SeatCard] = []
        self.wells: list[WellPanel] = []
        self.beside: tuple[StepsList, CriticalsByName] | tuple[()] = ()
        self.table: TablePanel | None = None
        self.plan: RoomPlan | None = None
        self.places: tuple[int | None, ...] = ()
        self.alone: int | None = None
        self.lit: int | None = None

    # geometry

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.arrange()

    def arrange(self) -> None:
        """Lay the room out for its size; panels are made anew only if their kind changes."""
        places = self.model.places if self.alone is None else (self.alone,)
        plan = room_plan(len(places), self.width(), max(1, self.height()), self._measure())
        if (self._kind(plan), places) != (self._kind(self.plan), self.places):
            self.places = places
            self._make(plan)
        self.plan = plan
        self._place(plan)
        self.light(self.lit)
        self.update()

    def remake(self) -> None:
        """Make every panel anew: the hand, the text or the gloves are others than they were."""
        self.places = ()
        self.arrange()

    def _measure(self) -> Measure:
        sizes = well_sizes(self.skin)
        low = least_height(sizes, low=True)
        full, well = well_widths(self.skin, sizes)
        labels = {step.label for form in self.model.room.forms for step in form.steps}
        return Measure(
            px_per_mm=self.skin.dots_per_inch / 25.4,
            full_width=full + self.skin.px(EDGE_WIDTH),
            full_height=low + self.skin.px(EDGE_WIDTH),
            well_width=well,
            well_height=low,
            head=self.skin.px(LOW_HEAD),
            gap=self.skin.px(6),
            margin=self.skin.px(6),
            beside=beside_sentence(self.skin),
            sentence=partial(sentence_height, self.skin, tuple(sorted(labels))),
            text=self.skin.text,
            names=self.skin.text >= NAMES_FROM_TEXT,
            gloved=self.skin.gloves,
        )

    @staticmethod
    def _kind(plan: RoomPlan | None) -> tuple[object, ...]:
        if plan is None:
            return ()
        aside = plan.aside is not None
        return (plan.arrangement, plan.rows, aside, tuple(one.edge for one in plan.seats))

    def _make(self, plan: RoomPlan) -> None:
        for old in (*self._parts(), *([self.table] if self.table else [])):
            old.hide()
            old.setParent(None)
            old.deleteLater()
        self.cards, self.wells, self.table, self.beside = [], [], None, ()
        if plan.arrangement in (Arrangement.FULL, Arrangement.TABLE):
            self.wells = [self._well(seat) for seat, _ in self._placed(plan)]
            if plan.arrangement is Arrangement.TABLE:
                self.table = TablePanel(self.skin, self.model, self)
            if plan.aside is not None:
                self.beside = (
                    StepsList(self.skin, self.model, self._placed(plan)[0][0], self),
                    CriticalsByName(self.skin, self.model, self._placed(plan)[0][0], self),
                )
        else:
            names_only = plan.arrangement is Arrangement.RAIL
            self.cards = [
                self._card(seat, place.edge, names_only=names_only)
                for seat, place in self._placed(plan)
            ]
            self.wells = [self._well(None, TWO_TAPS if names_only else "")]

    def _well(self, seat: int | None, hint: str = "") -> WellPanel:
        well = WellPanel(self.skin, self.model, self, seat=seat, hint=hint)
        well.rate.connect(self.rate)
        well.debrief.connect(self.debrief)
        well.more.connect(self.more)
        return well

    def _card(self, seat: int, edge: Edge, *, names_only: bool) -> SeatCard:
        card = SeatCard(self.skin, self.model, seat, self, edge=edge, names_only=names_only)
        card.rate.connect(self.rate)
        card.debrief.connect(self.debrief)
        return card

    def _placed(self, plan: RoomPlan) -> list[tuple[int, SeatPlace]]:
        """Every learner of the room that is shown, with their place."""
        pairs = zip(self.places, plan.seats, strict=True)
        return [(seat, place) for seat, place in pairs if seat is not None]

    def _place(self, plan: RoomPlan) -> None:
        placed = [place for _, place in self._placed(plan)]
        for card, place in zip(self.cards, placed, strict=False):
            _put(card, place.box)
        if not self.cards:
            for well, place in zip(self.wells, placed, strict=True):
                left, above, right = edge_bars(place.edge, self.skin, low=False)
                _put(well, place.box.inset(left, above, right, 0))
        if self.beside and plan.aside is not None and plan.below is not None:
            _put(self.beside[0], plan.aside)
            _put(self.beside[1], plan.below)
        if plan.middle is not None:
            _put(self.table or self.wells[0], plan.middle)

    # the well of the learner in front

    @property
    def well(self) -> WellPanel:
        """The full set of keys of the learner in front."""
        if self.cards:
            return self.wells[0]
        return next((one for one in self.wells if one.seat == self.model.front), self.wells[0])

    # showing

    def _parts(self) -> tuple[Part, ...]:
        return (*self.cards, *self.wells, *self.beside)

    def refresh(self) -> None:
        """Show everything as it is now."""
        for part in self._parts():
            part.refresh()
        if self.table is not None:
            self.table.refresh()
        self.update()

    def show_seat(self, seat: int) -> None:
        """Show one learner as they are now."""
        for part in self._parts():
            if part.seat == seat:
                part.refresh()
        if self.table is not None:
            self.table.refresh_seats((seat,))

    def light(self, seat: int | None) -> None:
        """Put the lamp on a seat, or on none."""
        self.lit = seat
        for card in self.cards:
            card.light(lit=card.seat == seat)
        if not self.cards:
            for well in self.wells:
                well.light(lit=well.seat == seat)
            self.update()
        if self.table is not None:
            self.table.light(seat)

    def show_front(self, before: int, now: int) -> None:
        """Another learner is in front; shown alone, they are the one."""
        if self.alone is not None and self.alone != now:
            self.alone = now
            self.arrange()
        for part in self._parts():
            if part.seat in (before, now):
                part.refresh()
        if self.table is not None:
            self.table.refresh_seats((before, now))
        for seat in (before, now):
            if self.cards:
                self.update(self._bridge(seat))

    def middle(self) -> QRect:
        """The place of the well: where something may be asked without covering another seat."""
        return self.well.geometry()

    def note_box(self) -> QRect:
        """Where the note after an interruption stands: in the well, where nothing is pressed."""
        if self.well.plan is None:
            return QRect()
        note, corner = self.well.plan.rows.note, self.well.geometry().topLeft()
        return QRect(corner.x() + note.x, corner.y() + note.y, note.width, note.height)

    def tick(self) -> None:
        """A second went by."""
        for part in self._parts():
            part.tick()
        if self.table is not None:
            self.table.tick()
        for strip in self._edge_rects():
            self.update(strip)

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen = Pen(painter, self.skin)
        pen.fill(QRectF(self.rect()), Token.GROUND)
        if self.plan is not None:
            for box in self._free_boxes(self.plan):
                self._paint_free(pen, QRectF(box.x, box.y, box.width, box.height))
            if self.plan.arrangement is Arrangement.SHARED:
                self._paint_bridge(pen)
            if not self.cards:
                self._paint_edges(pen, self.plan)
        painter.end()

    def _free_boxes(self, plan: RoomPlan) -> list[Box]:
        pairs = zip(self.places, plan.seats, strict=True)
        return [*plan.free, *(place.box for seat, place in pairs if seat is None)]

    def _paint_free(self, pen: Pen, box: QRectF) -> None:
        pen.dashed(box, Token.LINE, tokens.FREE_SEAT_WIDTH)
        style = Style(self.skin.density.second, Weight.REGULAR, Token.INK2, 12, CENTRE, MIDDLE)
        pen.text(box.adjusted(8, 0, -8, 0), "Free seat", style)

    def _paint_edges(self, pen: Pen, plan: RoomPlan) -> None:
        """The table edge round seats that are wells themselves."""
        for seat, place in self._placed(plan):
            share = min(1.0, self.model.since_look_ns(seat) / self.skin.edge_full_ns)
            pen.painter.save()
            pen.painter.translate(place.box.x, place.box.y)
            paint_edge(pen, place.edge, place.box, share, low=False, lit=seat == self.lit)
            pen.painter.restore()

    def _edge_rects(self) -> list[QRect]:
        """Where the edges are that the room paints itself."""
        if self.plan is None or self.cards:
            return []
        found = []
        for _, place in self._placed(self.plan):
            box = place.box
            left, above, right = edge_bars(place.edge, self.skin, low=False)
            found.append(QRect(box.x, box.y, left, box.height))
            found.append(QRect(box.x, box.y, box.width, above))
            found.append(QRect(box.right - right, box.y, right, box.height))
        return [one for one in found if not one.isEmpty()]

    def _paint_bridge(self, pen: Pen) -> None:
        """The seat in front of you and the well are joined across the gap."""
        pen.fill(QRectF(self._bridge(self.model.front)), Token.BAND)

    def _bridge(self, seat: int) -> QRect:
        """The piece of the gap between a seat and the well."""
        card = next((one.geometry() for one in self.cards if one.seat == seat), QRect())
        well = self.wells[0].geometry()
        if card.isEmpty():
            return QRect()
        long = self.skin.px(124)
        left, right = max(card.left(), well.left()), min(card.right(), well.right())
        upper, lower = max(card.top(), well.top()), min(card.bottom(), well.bottom())
        if left < right:
            middle, half = (left + right) // 2, min(long, right - left) // 2
            high = well.top() - card.bottom() + 1
            return QRect(middle - half, card.bottom(), 2 * half, high)
        middle, half = (upper + lower) // 2, min(long, lower - upper) // 2
        x, end = card.right(), well.left()
        if well.right() < card.left():
            x, end = well.right(), card.left()
        return QRect(x, middle - half, end - x + 1, 2 * half)


def _put(panel: QWidget, box: Box) -> None:
    panel.setGeometry(box.x, box.y, box.width, box.height)
    panel.show()
