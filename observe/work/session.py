"""One open observation: a gesture goes to the disk and comes back as a change."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Concatenate, ParamSpec

from observe.domain.events import Draft, Event
from observe.domain.gestures import Drafts
from observe.domain.observation import Observation, Role, fold, step
from observe.domain.troubles import Overtaken
from observe.domain.workshop import Seat, Workshop, observation_id
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
    the state stays as it was and the trouble is raised.
    """

    def __init__(
        self, logbook: Logbook, workshop: Workshop, seat: Seat, events: Sequence[Event]
    ) -> None:
        self.logbook = logbook
        self.workshop = workshop
        self.seat = seat
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
    log. The event that opens it is written at the first call only.
    """
    observation = observation_id(seat.attempt, observer)
    events = logbook.observation(observation)
    if not events:
        events = list(logbook.append([_opening(workshop, seat, observer, observation)]))
    return Session(logbook, workshop, seat, events)


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
    """All that one observer watches in a workshop: a session per seat, in seat order."""

    def __init__(self, logbook: Logbook, workshop: Workshop, observer: str) -> None:
        self.logbook = logbook
        self.workshop = workshop
        self.observer = observer
        self.forms = tuple(logbook.form(one.form) for one in workshop.forms)
        self.names = logbook.names()
        self.sessions = tuple(
            open_session(logbook, workshop, seat, observer)
            for seat in workshop.seats
            if observer in seat.observers
        )

    def name(self, person: str) -> str:
        return self.names.get(person, person)

    def marks_kept(self) -> int:
        """How many marks in force are on the disk, over all seats."""
        return sum(
            len(placed)
            for session in self.sessions
            for placed in session.state.board.placed.values()
        )
