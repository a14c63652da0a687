"""The room of one observer: who stands where, who is here, and what belongs to all of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Protocol, TypeVar

from PySide6.QtCore import QObject, Signal

from observe.desk.live import reading
from observe.domain.clock import between_ns
from observe.domain.observation import Observation
from observe.domain.troubles import Doubtful, Refused, Surroundings
from observe.domain.workshop import Workshop
from observe.work.handing_over import HandingOver, hand_over_all
from observe.work.incidents import note_incident
from observe.work.logbooks import Logbook
from observe.work.session import Room, Session

Told = TypeVar("Told")
MOST_SEATS = 12
"""Places of a room that can be seen at once."""


class Rearrangement(Protocol):
    """A use case of `observe.work.seating`, with all but the workshop and the observer given."""

    def __call__(self, logbook: Logbook, workshop: Workshop, *, by: str) -> Workshop: ...


class RoomModel(QObject):
    """Learners of both rooms in seat order, counted from 0; those that are shown; who is in front.

    `places_changed`: somebody stands elsewhere, came, or is not here. trouble: what
    stands in the way of keeping anything. room_refusal: why the last deed for the whole
    room was refused, if it was. incidents: notes that wait until they can be kept.
    """

    changed = Signal(int)
    places_changed = Signal()
    trouble_changed = Signal()

    def __init__(self, room: Room) -> None:
        super().__init__()
        self.room = room
        self.front = 0
        self.trouble: Surroundings | Doubtful | None = None
        self.room_refusal: Refused | None = None
        self.incidents: list[str] = []
        self._behind = False

    # reading

    @property
    def sessions(self) -> tuple[Session, ...]:
        """One for each seat of both rooms, in seat order."""
        return self.room.every

    @property
    def kept(self) -> int:
        """How many marks in force are on the disk."""
        return self.room.marks_kept()

    def __len__(self) -> int:
        return len(self.sessions)

    def state(self, seat: int) -> Observation:
        return self.sessions[seat].state

    def number(self, seat: int) -> int:
        """The number of the seat as people see it."""
        return self.sessions[seat].seat.number

    def name(self, seat: int) -> str:
        return self.room.name(self.sessions[seat].seat.learner)

    def is_shared(self, seat: int) -> bool:
        """Whether a second observer watches this learner too; never what they saw (rule T3)."""
        return bool(self.sessions[seat].seat.second)

    def elapsed_ns(self, seat: int) -> int:
        return self.sessions[seat].elapsed_ns()

    def session_ns(self) -> int:
        """Time since the first clock in this room was started; 0 before.

        It stands once every learner is sealed.
        """
        states = [one.state for one in self.sessions]
        stamps = [one.clock.started for one in states if one.clock.started is not None]
        if not stamps:
            return 0
        first = min(stamps, key=lambda stamp: stamp.at)
        sealed = [one.sealed for one in states if one.sealed is not None]
        if len(sealed) == len(states):
            return between_ns(first, max(sealed, key=lambda stamp: stamp.at))
        return between_ns(first, self.room.logbook.machine.stamp())

    def since_kept_ns(self) -> int | None:
        """Time since the last mark in force was kept; None before the first."""
        newest = max(
            (one.state.entries[-1].at for one in self.sessions if one.state.entries), default=None
        )
        if newest is None:
            return None
        now = datetime.fromisoformat(self.room.logbook.machine.stamp().at)
        return max(0, round((now - datetime.fromisoformat(newest)).total_seconds() * reading.NS))

    def seat_of(self, observation: str) -> int:
        """The seat of an observation of this room."""
        return next(at for at, one in enumerate(self.sessions) if one.state.id == observation)

    def home(self, seat: int) -> str:
        """To whom "take back" would send what was moved here; empty if it goes nowhere."""
        found = self.room.home_of(self.sessions[seat])
        return self.room.name(found.seat.learner) if found is not None else ""

    # the room as it stands

    @property
    def workshop(self) -> Workshop:
        return self.room.workshop

    def in_room(self, seat: int) -> int:
        """The room in which a learner stands: 1 or 2."""
        return self.sessions[seat].seat.room

    def is_absent(self, seat: int) -> bool:
        return self.sessions[seat].seat.absent

    @property
    def rooms(self) -> tuple[int, ...]:
        """The rooms in which somebody stands, at least one."""
        here = {self.in_room(seat) for seat in range(len(self)) if not self.is_absent(seat)}
        return tuple(sorted(here)) or (1,)

    @property
    def shown_room(self) -> int:
        """The room of the learner in front."""
        room = self.in_room(self.front)
        return room if room in self.rooms else self.rooms[0]

    @property
    def here(self) -> tuple[int, ...]:
        """The learners who stand in the room that is shown, in seat order."""
        shown = self.shown_room
        return tuple(
            seat
            for seat in range(len(self))
            if self.in_room(seat) == shown and not self.is_absent(seat)
        )

    @property
    def places(self) -> tuple[int | None, ...]:
        """The places of the room that is shown, in order: a learner's seat, or None if free.

        Who watches only some of the learners sees these alone, side by side.
        """
        here = self.here
        numbers: dict[int, int | None] = {self.number(seat): seat for seat in here}
        standing = [one for one in self.workshop.in_room(self.shown_room) if not one.absent]
        if len(standing) == len(here) and len(here) > 1:
            free = [number for number, room in self.workshop.vacated if room == self.shown_room]
            free += [one.number for one in self.workshop.in_room(self.shown_room) if one.absent]
            for number in sorted(free)[: MOST_SEATS - len(here)]:
                numbers[number] = None
        return tuple(seat for _, seat in sorted(numbers.items()))

    # deeds

    def rearrange(self, change: Rearrangement) -> Refused | None:
        """Change seats, rooms or who is here; what was refused, or None if nothing was.

        It is kept unless something is in the way of keeping anything: see `trouble`.
        Marks, what was typed and who is in front stay with their learners.
        """
        before = [session.state.id for session in self.sessions]

        def deed() -> bool:
            change(self.room.logbook, self.workshop, by=self.room.observer)
            self.room.reseat()
            return True

        if self._for_the_room(deed):
            self.reseated(before)
            self.places_changed.emit()
        return self.room_refusal

    def catch_up(self) -> None:
        """Show what another window wrote since the last look: who sits where, and marks.

        To be called only where no question is open that knows a learner by the seat. What
        cannot be read now is read at the next look, or told by the next mark.
        """
        if self.trouble is not None:
            return
        before = [session.state.id for session in self.sessions]
        try:
            self._behind |= self.room.logbook.log.was_written_elsewhere()
            if not self._behind:
                return
            reseated, behind = self.room.catch_up()
            self._behind = False
        except Surroundings:
            return
        except Doubtful as trouble:
            self._in_trouble(trouble)
            return
        if reseated:
            self.reseated(before)
            self.places_changed.emit()
        for session in behind:
            self.changed.emit(self.seat_of(session.state.id))

    def hand_over(self, to: str) -> HandingOver | None:
        """Hand over all that is not sealed (rule T5); what became of each seat, None if refused."""
        before = [session.state.id for session in self.sessions]
        told = self._for_the_room(lambda: hand_over_all(self.room, to))
        if told is not None:
            self.reseated(before)
            self.places_changed.emit()
        return told

    def note_incident(self, text: str) -> bool:
        """Keep a note apart from every score; whether it was. In trouble it waits until it can."""
        room = self.room
        kept = self._for_the_room(
            lambda: note_incident(room.logbook, room.workshop, room.observer, text)
        )
        if self.trouble is not None:
            self.incidents.append(text)
        return kept is not None

    def turn_cue(self, *, on: bool) -> bool:
        """Keep that the observer turned the hint where to look on or off; whether it was kept."""

        def deed() -> bool:
            self.room.turn_cue(on=on)
            return True

        return self._for_the_room(deed) is not None

    def _for_the_room(self, deed: Callable[[], Told]) -> Told | None:
        """Carry out what belongs to no single learner; `room_refusal` says what was refused."""
        self.room_refusal = None
        if self.trouble is not None:
            return None
        try:
            return deed()
        except Refused as refused:
            self.room_refusal = refused
        except (Surroundings, Doubtful) as trouble:
            self._in_trouble(trouble)
        return None

    def _in_trouble(self, trouble: Surroundings | Doubtful) -> None:
        self.trouble = trouble
        self.trouble_changed.emit()

    def reseated(self, before: Sequence[str]) -> None:
        """Seats are not what they were; whoever remembers something by seat moves it along.

        before: ids of the observations, in seat order.
        """
