"""The seats as the room stands: press two to swap them, or one and a free place.

Marks belong to the attempt, so they stay with the learner. Who came late and who is
not here is said here too.
"""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from observe.desk.keys import Face, Key, word_face
from observe.desk.live.layout import Box, Edge, RoomPlan, split_grid
from observe.desk.live.model import LiveModel
from observe.desk.live.over_seats import OverSeats, Places
from observe.desk.live.panels import Choice
from observe.desk.live.questions import Questions
from observe.desk.live.room_model import Rearrangement
from observe.desk.live.seat import SeatCard
from observe.desk.paint import CENTRE, MIDDLE, Pen, Style
from observe.desk.theme import Skin
from observe.domain.arrangement import Spot
from observe.domain.observation import Observation
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat
from observe.look import tokens
from observe.look.tokens import Token, Weight
from observe.work import seating
from observe.work.planning import Person

CLOSE, PLACE, ABSENT, ARRIVED, LATE, ROOMS, NEXT = (
    "Done",
    "Another place",
    "Not here",
    "Arrived",
    "Late learner",
    "Swap rooms",
    "Other room",
)
WAYS = (PLACE, ABSENT, ARRIVED, LATE, ROOMS, NEXT, CLOSE)
ASK = "Press two learners to swap them; their marks go with them."


class ArrangeCard(SeatCard):
    """A seat that is pressed to choose its learner."""

    pressed_here = Signal(int)
    chosen = False

    def _sentence(self) -> None:
        self.pressed_here.emit(self.seat)

    def _look(self) -> None:
        self.pressed_here.emit(self.seat)

    def _sentence_face(self, state: Observation, *, can: bool) -> Face:
        title = "chosen" if self.chosen else "press to choose"
        name = f"Seat {self.model.number(self.seat)}, {self.model.name(self.seat)}: {title}"
        return Face(name, paint_place, (title, ""), chosen=self.chosen, can=can)


def paint_place(pen: Pen, box: QRectF, ink: Token, title: str, note: str) -> None:
    """What a press does, and who left the place free."""
    px = pen.skin.px
    inner = box.adjusted(px(8), px(6), -px(8), -px(6))
    if not note:
        pen.text(inner, title, Style(18, Weight.MEDIUM, ink, 12, CENTRE, MIDDLE))
        return
    half = inner.height() / 2
    first = QRectF(inner.x(), inner.y(), inner.width(), half)
    pen.text(first, title, Style(18, Weight.MEDIUM, ink, 12, CENTRE, MIDDLE))
    below = QRectF(inner.x(), inner.y() + half, inner.width(), half)
    pen.text(below, note, Style(15, Weight.REGULAR, Token.INK2, 12, CENTRE, MIDDLE))


class ArrangeView(OverSeats):
    """Every seat is one press; a panel in the middle says what it does."""

    closed = Signal()

    def __init__(self, skin: Skin, model: LiveModel, questions: Questions, parent: QWidget) -> None:
        super().__init__(skin, model, parent)
        self.questions = questions
        self.chosen: int | None = None
        self.said, self.refusal = ASK, ""
        self._late_name = ""
        self.free_keys: list[Key] = []
        self.ways = {name: Key(skin, self, word_face(name)) for name in WAYS}
        deeds = {
            PLACE: self.ask_place,
            ABSENT: self.note_absent,
            ARRIVED: self.ask_arrived,
            LATE: self.ask_late,
            ROOMS: self.swap_rooms,
            NEXT: self.model.next_room,
            CLOSE: self.closed.emit,
        }
        for name, key in self.ways.items():
            key.struck.connect(deeds[name])
        self.setAccessibleName("Seats as the room stands")

    def begin(self, plan: RoomPlan, places: Places) -> None:
        """Open over a room that is laid out so."""
        self.chosen, self.said, self.refusal = None, ASK, ""
        self.show()
        self.raise_()
        self.lay_out(plan, places)

    # deeds

    def press(self, seat: int) -> None:
        """Choose a learner; a second one changes places with the first."""
        if self.chosen is None or self.chosen == seat:
            self._choose(None if self.chosen == seat else seat)
            return
        one, other = (self._attempt(at) for at in (self.chosen, seat))
        self._do(partial(seating.swap, one=one, other=other), "They changed places.")

    def press_number(self, number: int) -> None:
        """Press the seat of this number, whoever is there or nobody; none if there is no such."""
        seats = [seat for seat in self.model.here if self.model.number(seat) == number]
        spots = [one.spot for one in self._free_spots() if one.spot.number == number]
        if seats:
            self.press(seats[0])
        elif spots:
            self.press_free(spots[0])

    def press_free(self, spot: Spot) -> None:
        """The chosen learner goes to a free place; without one, a late learner comes there."""
        if self.chosen is None:
            self.ask_late(spot)
            return
        attempt = self._attempt(self.chosen)
        self._do(partial(seating.move, attempt=attempt, spot=spot), f"At seat {spot.number} now.")

    def ask_place(self) -> None:
        """All free places of both rooms, for the chosen learner."""
        if self.chosen is None:
            self._say("Choose a learner first.")
            return
        choices = [
            Choice(self._spot_words(one.spot), "", partial(self._go_to, one.spot))
            for room in (1, 2)
            for one in seating.free_places(self.model.workshop, room)
        ]
        self.questions.choose(
            f"Where does {self.model.name(self.chosen)} go?", choices[:12], (self._back(),)
        )

    def _go_to(self, spot: Spot) -> None:
        self.questions.close_it()
        self.press_free(spot)

    @staticmethod
    def _spot_words(spot: Spot) -> str:
        return f"Seat {spot.number}, room {spot.room}"

    def note_absent(self) -> None:
        """The chosen learner is not here."""
        if self.chosen is None:
            self._say("Choose who is not here first.")
            return
        attempt = self._attempt(self.chosen)
        name = self.model.name(self.chosen)
        self._do(partial(seating.note_absent, attempt=attempt), f"{name} is noted as not here.")

    def ask_arrived(self) -> None:
        """Who of those noted absent is here now."""
        absent = [seat for seat in self.model.workshop.seats if seat.absent]
        if not absent:
            self._say("Nobody is noted as not here.")
            return
        choices = [
            Choice(self.model.room.name(one.learner), "is here", partial(self._arrive, one))
            for one in absent[:12]
        ]
        self.questions.choose("Who arrived?", choices, (self._back(),))

    def _arrive(self, seat: Seat) -> None:
        self.questions.close_it()
        name = self.model.room.name(seat.learner)
        self._do(partial(seating.note_arrived, attempt=seat.attempt), f"{name} is here.")

    def ask_late(self, spot: Spot | None = None) -> None:
        """A learner who was not planned: their name, and the variant if the form has any."""
        self.questions.write(
            "Name of the late learner",
            self._late_name,
            partial(self._named, spot),
            keep_words="Seat them",
            always=bool(self._late_name),
        )

    def _named(self, spot: Spot | None, name: str) -> None:
        self._late_name, form = name, self.model.room.forms[0]
        if not form.variants:
            self._add(spot, name, "")
            return
        choices = [
            Choice(one.label, "", partial(self._add, spot, name, one.id)) for one in form.variants
        ]
        self.questions.choose(f"{name}: which variant?", choices, (self._back(),))

    def _add(self, spot: Spot | None, name: str, variant: str) -> None:
        self.questions.close_it()
        late = seating.Late(Person("", name), variant, spot)
        self._do(partial(seating.add_late, late=late), f"{name} has a seat.")

    def swap_rooms(self) -> None:
        """Everybody of each room goes to the other one."""
        self._do(seating.swap_rooms, "The rooms changed places.")

    def _do(self, deed: Rearrangement, said: str) -> None:
        refused = self.model.rearrange(deed)
        self.chosen = None
        trouble = self.model.trouble
        if trouble is not None:
            self.said, self.refusal = ASK, f"Nothing was changed. {trouble.what}"
        elif refused is None:
            self.said, self.refusal, self._late_name = said, "", ""
        else:
            self._refuse(refused)
        self.refresh()

    def _refuse(self, refused: Refused) -> None:
        self.refusal = f"{refused.what} {refused.remedy}"

    def _say(self, sentence: str) -> None:
        self.refusal = sentence
        self.update()

    def _choose(self, seat: int | None) -> None:
        self.chosen, self.refusal = seat, ""
        self.said = ASK
        if seat is not None:
            self.said = f"{self.model.name(seat)}: press another seat, or a free place."
        self.refresh()

    def _attempt(self, seat: int) -> str:
        return self.model.sessions[seat].seat.attempt

    def _back(self) -> Choice:
        return Choice("Back", "to the seats", self.questions.close_it)

    # geometry

    def card(self, seat: int, edge: Edge, *, names_only: bool) -> ArrangeCard:
        made = ArrangeCard(self.skin, self.model, seat, self, edge=edge, names_only=names_only)
        made.pressed_here.connect(self.press)
        return made

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.place_panel()

    def place_panel(self) -> None:
        px = self.skin.px
        box = self.middle.inset(px(10), px(62) + px(92), px(10), px(10))
        if box.width < 1:
            return
        row = max(self.skin.mm(tokens.ROUTINE_TARGET_MM), self.skin.pick(70, 45))
        shown = [name for name in WAYS if name not in (ROOMS, NEXT) or len(self.model.rooms) > 1]
        columns = 2
        rows = -(-len(shown) // columns)
        high = max(row, min(self.skin.pick(96, 70), (box.height + px(8)) // rows - px(8)))
        area = Box(box.x, box.y, box.width, rows * (high + px(8)) - px(8))
        for key in self.ways.values():
            key.hide()
        for name, place in zip(shown, split_grid(area, columns, rows, px(8)), strict=False):
            self.ways[name].place(place.x, place.y, place.width, place.height)
        self._place_free()

    def _place_free(self) -> None:
        spots = self._free_spots()
        while len(self.free_keys) < len(self.free):
            key = Key(self.skin, self)
            key.struck.connect(partial(self._press_place, len(self.free_keys)))
            self.free_keys.append(key)
        for place, key in enumerate(self.free_keys):
            there = place < len(self.free) and place < len(spots)
            key.setVisible(there)
            if there:
                box = self.free[place].inset(*[self.skin.px(6)] * 4)
                key.place(box.x, box.y, box.width, box.height)

    def _free_spots(self) -> list[seating.FreePlace]:
        """The free places of the room that is shown; the first ones are drawn in it."""
        return list(seating.free_places(self.model.workshop, self.model.shown_room))

    def _press_place(self, place: int) -> None:
        self.press_free(self._free_spots()[place].spot)

    # showing

    def refresh(self) -> None:
        """Show who is chosen, and which places are free."""
        if self.isHidden():
            return
        for card in self.cards:
            if isinstance(card, ArrangeCard):
                card.chosen = card.seat == self.chosen
        super().refresh()
        for key, free in zip(self.free_keys, self._free_spots(), strict=False):
            self._face_free(key, free)
        for name in (PLACE, ABSENT):
            key = self.ways[name]
            key.show_face(word_face(name).allowed(can=self.chosen is not None))
        here = any(seat.absent for seat in self.model.workshop.seats)
        self.ways[ARRIVED].show_face(word_face(ARRIVED).allowed(can=here))

    def _face_free(self, key: Key, free: seating.FreePlace) -> None:
        title = f"Free seat {free.spot.number}"
        if self.chosen is not None:
            title = f"Move to seat {free.spot.number}"
        note = ""
        if free.absent:
            seat = self.model.workshop.seat_of(free.absent)
            note = f"{self.model.room.name(seat.learner)} is not here"
        key.show_face(Face(f"{title}. {note}", paint_place, (title, note)))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        pen, px = Pen(painter, self.skin), self.skin.px
        pen.fill(QRectF(self.rect()), Token.GROUND)
        box = QRectF(self.middle.x, self.middle.y, self.middle.width, self.middle.height)
        pen.fill(box, Token.WELL)
        header = QRectF(box.x(), box.y(), box.width(), px(62))
        pen.fill(header, Token.BAND)
        inner = header.adjusted(px(14), 0, -px(14), 0)
        title = "Seats as the room stands"
        if len(self.model.rooms) > 1:
            title = f"{title} · room {self.model.shown_room}"
        pen.text(inner, title, Style(26, Weight.BOLD, Token.ONBAND, 15, down=MIDDLE))
        place = QRectF(box.x() + px(14), header.bottom() + px(8), box.width() - px(28), px(76))
        style = Style(18, Weight.MEDIUM, Token.INK, 13, down=MIDDLE)
        if self.refusal:
            style = Style(18, Weight.BOLD, Token.WRONG, 12, down=MIDDLE)
        pen.text(place, self.refusal or self.said, style)
        pen.frame(box, Token.BAND, tokens.FRONT_WIDTH)
        painter.end()
