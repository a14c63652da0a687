"""One open observation: a gesture goes to the disk and comes back as a change."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Concatenate, ParamSpec

from observe.domain.arrangement import MOST_SEATS, NOWHERE
from observe.domain.events import Draft, Event
from observe.domain.gestures import Drafts, continuation
from observe.domain.observation import Observation, Role, fold, step
from observe.domain.troubles import Overtaken
from observe.domain.workshop import Seat, Workshop, observation_id
from observe.work.admission import require_admitted
from observe.work.logbooks import Logbook

P = ParamSpec("P")
Gesture = Callable[Concatenate[Observation, P], Drafts]


@dataclass(frozen=True)
class Change:
    """What one gesture changed. events: what is now on the disk."""

    before: Observation
    after: Observation
    events: tuple[Event, ...]

    @property
    def steps(self) -> frozenset[str]:
        """Steps whose mark, or place as the step in front, is not what it was."""
        ids = {*self.before.marks, *self.after.marks}
        changed = {one for one in ids if self._mark_changed(one)}
        for old, new in (
            (self.before.board.at, self.after.board.at),
            (self.before.board.front, self.after.board.front),
        ):
            if old != new:
                changed |= {old, new}
        return frozenset(changed - {""})

    def _mark_changed(self, step_id: str) -> bool:
        return self.before.board.placed.get(step_id) != self.after.board.placed.get(
            step_id
        ) or self.before.mark(step_id) != self.after.mark(step_id)


class Session:
    """One observer's open observation of one attempt.

    `do` is the only way in: it decides, commits, then folds; if the commit fails
    the state stays as it was and the trouble is raised. beside: all sessions of the
    observer in this workshop, by observation.
    """

    def __init__(
        self, logbook: Logbook, workshop: Workshop, seat: Seat, events: Sequence[Event]
    ) -> None:
        self.logbook = logbook
        self.workshop = workshop
        self.seat = seat
        self.beside: Mapping[str, Session] = {}
        self.ground = logbook.ground(workshop, seat)
        self._read(events)

    def _read(self, events: Sequence[Event]) -> None:
        self.state = fold(events, self.ground)
        self.newest = events[-1].id

    def do(self, gesture: Gesture[P], *args: P.args, **kwargs: P.kwargs) -> Change:
        """Carry out one gesture of `observe.domain.gestures`.

        Raises Refused if the rules forbid it, Surroundings if it cannot be kept, and
        Overtaken if another window wrote here; then the state is what that wrote.
        """
        before = self.state
        drafts = [self._addressed(draft) for draft in gesture(before, *args, **kwargs)]
        require_admitted([(self, draft) for draft in drafts])
        try:
            events = self.logbook.append(drafts, newest={before.id: self.newest})
        except Overtaken:
            self._read(self.logbook.observation(self.state.id))
            raise
        for event in events:
            self.state = step(self.state, event)
            self.newest = event.id
        return Change(before, self.state, events)

    def _addressed(self, draft: Draft) -> Draft:
        return replace(
            draft,
            workshop=self.workshop.id,
            attempt=self.seat.attempt,
            observation=self.state.id,
            by=self.state.observer,
        )

    def elapsed_ns(self) -> int:
        """The attempt's clock now, in nanoseconds."""
        return self.state.clock.elapsed_ns(self.logbook.machine.stamp())

    def text(self, event: str, field: str) -> str:
        """A text that stands beside an event; empty if it was erased."""
        return self.logbook.log.text(event, field) or ""


def open_session(logbook: Logbook, workshop: Workshop, seat: Seat, observer: str) -> Session:
    """Open, or resume, an observer's observation of the attempt at a seat.

    Everything that was acknowledged is there again: the state is the fold of the
    log. The event that opens it is written at the first call only; where another
    observer handed the attempt over, it says from where it goes on (rule T5).
    """
    observation = observation_id(seat.attempt, observer)
    events = logbook.observation(observation)
    if not events:
        opening = _opening(workshop, seat, observer, observation)
        body = {**opening.body, **_continued(logbook, workshop, seat, observer)}
        events = list(logbook.append([replace(opening, body=body)]))
    return Session(logbook, workshop, seat, events)


def _continued(
    logbook: Logbook, workshop: Workshop, seat: Seat, observer: str
) -> dict[str, object]:
    """What the opening of a successor says besides: what it continues, and the variant."""
    left = seat.before(observer)
    events = logbook.observation(observation_id(seat.attempt, left)) if left else []
    if not events:
        return {}
    state = fold(events, logbook.ground(workshop, seat))
    if state.handed is None:
        return {}
    record = continuation(state, logbook.machine.stamp()).as_record()
    return {"continues": record, "variant": state.board.variant}


def _opening(workshop: Workshop, seat: Seat, observer: str, observation: str) -> Draft:
    body = {
        "learner": seat.learner,
        "variant": seat.variant,
        "role": Role.FACULTY.value,
        "form": workshop.form_of(seat),
        "profile": workshop.profile_of(seat).digest,
    }
    return Draft(
        "observation-opened",
        body,
        workshop=workshop.id,
        attempt=seat.attempt,
        observation=observation,
        by=observer,
    )


class Room:
    """What one observer watches in a room of a workshop: a session per seat, in seat order.

    every: their sessions in both rooms, which count for rule W3; sessions: those that
    are shown. room: 1 or 2; 0 shows both, or the first of them where both together are
    more than can be seen at once. Who is absent has a session as long as they have a place.
    """

    def __init__(self, logbook: Logbook, workshop: Workshop, observer: str, room: int = 0) -> None:
        self.logbook = logbook
        self.observer = observer
        self.room = room
        self.every: tuple[Session, ...] = ()
        self._seat(workshop)

    def reseat(self) -> None:
        """Read the workshop anew: who sits where, who is here, who came late.

        Sessions that are open stay open with their state; their order and number may
        be new. Raises Surroundings if the logbook cannot be read; nothing is changed then.
        """
        self._seat(self.logbook.workshops()[self.workshop.id])

    def reopened(self) -> Room:
        """The same room, read from the disk anew; seats as they were."""
        return Room(self.logbook, self.workshop, self.observer, self.room)

    def show(self, room: int) -> None:
        """Show one room, or with 0 both; as for the class."""
        self.room = room
        rooms = sorted({one.seat.room for one in self.every})
        if not room and len(self.every) > MOST_SEATS:
            self.room = rooms[0]
        self.sessions = tuple(one for one in self.every if self.room in (0, one.seat.room))

    def _seat(self, workshop: Workshop) -> None:
        open_now = {one.seat.attempt: one for one in self.every}
        mine = [
            seat
            for seat in workshop.seats
            if self.observer in seat.observers and seat.spot != NOWHERE
        ]
        every = [
            open_now.get(seat.attempt) or open_session(self.logbook, workshop, seat, self.observer)
            for seat in mine
        ]
        self.forms = tuple(self.logbook.form(one.form) for one in workshop.forms)
        self.names = self.logbook.names()
        self.workshop, self.every = workshop, tuple(every)
        beside = {one.state.id: one for one in every}
        for session, seat in zip(every, mine, strict=True):
            session.workshop, session.seat, session.beside = workshop, seat, beside
        self.show(self.room)

    def name(self, person: str) -> str:
        return self.names.get(person, person)

    def marks_kept(self) -> int:
        """How many marks in force are on the disk, over all seats."""
        return sum(
            len(placed) for session in self.every for placed in session.state.board.placed.values()
        )
