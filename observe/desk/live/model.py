"""The model of Live: a tap goes to the disk and back before anything is shown as set."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import datetime
from typing import ParamSpec

from PySide6.QtCore import QObject, Signal

from observe.desk.live import reading
from observe.desk.live.debounce import ADVANCE_S, CRITICAL_S, SEAL_S, Debounce
from observe.desk.live.interruptions import AWAY_S, Away, away, newest_entries
from observe.domain import gestures
from observe.domain.clock import between_ns
from observe.domain.form import Step
from observe.domain.marks import Mark, State
from observe.domain.observation import Observation
from observe.domain.troubles import Doubtful, Refused, Surroundings
from observe.work.debrief import sealed_observations
from observe.work.session import Change, Gesture, Room, Session

P = ParamSpec("P")
Deed = Callable[[Session], Change]


class LiveModel(QObject):
    """One observer's room: who is in front, what was kept, what stands in the way.

    Seats are counted from 0 in seat order. Every deed returns the `Change` that
    is on the disk, or None if nothing was kept; then `trouble` or `refusal` says
    why. drafts: texts by seat and slot that were typed and are not kept yet.
    clock: seconds that never go back, for what a finger may do how soon.
    """

    changed = Signal(int)
    front_changed = Signal(int, int)
    trouble_changed = Signal()
    refused = Signal(int)
    away_changed = Signal()

    def __init__(self, room: Room, *, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__()
        self.room = room
        self.front = 0
        self.trouble: Surroundings | Doubtful | None = None
        self.refusal: dict[int, Refused] = {}
        self.away: Away | None = None
        self.drafts: dict[tuple[int, str], str] = {}
        self._all_sealed: set[int] = set()
        self._pending: tuple[int, Deed] | None = None
        self._debounce = Debounce(clock)
        self._looked = [self._last_elapsed(session.state) for session in self.sessions]
        self._resume()

    # reading

    @property
    def sessions(self) -> tuple[Session, ...]:
        """One for each seat, in seat order."""
        return self.room.sessions

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

    def are_all_sealed(self, seat: int) -> bool:
        """Whether both observers of a shared seat have sealed; not known before one's own seal."""
        return seat in self._all_sealed

    def see_seals(self) -> None:
        """Find out which other observers have sealed, where one has sealed oneself (rule T3)."""
        room = self.room
        for place, session in enumerate(self.sessions):
            if place in self._all_sealed or not (session.state.sealed and self.is_shared(place)):
                continue
            try:
                found = sealed_observations(room.logbook, room.workshop, session.seat)
            except (Surroundings, Doubtful) as trouble:
                self._in_trouble(trouble)
                return
            if found:
                self._all_sealed.add(place)

    def elapsed_ns(self, seat: int) -> int:
        return self.sessions[seat].elapsed_ns()

    def since_look_ns(self, seat: int) -> int:
        """Time on the learner's clock since the observer last looked at them."""
        return max(0, self.elapsed_ns(seat) - self._looked[seat])

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

    @property
    def can_pause(self) -> bool:
        """Whether "pause all" or "all go on" would do something."""
        return any(one.state.clock.is_running for one in self.sessions) or bool(self._standing())

    def can_mark(self, seat: int) -> bool:
        """Whether mark keys of a seat take a press: nothing stands in the way of keeping it."""
        state = self.state(seat)
        return self.trouble is None and not (state.sealed or state.void)

    # deeds

    def look(self, seat: int) -> None:
        """Bring a learner to the front; that is a look."""
        self._looked[seat] = self.elapsed_ns(seat)
        self._end_away()
        if seat != self.front:
            before, self.front = self.front, seat
            self.front_changed.emit(before, seat)
        else:
            self.changed.emit(seat)

    def do(
        self, seat: int, gesture: Gesture[P], *args: P.args, **kwargs: P.kwargs
    ) -> Change | None:
        """Carry out one gesture for a learner, and bring them to the front."""
        if self.trouble is not None:
            return None
        return self._carry_out(seat, lambda session: session.do(gesture, *args, **kwargs))

    def _carry_out(self, seat: int, deed: Deed) -> Change | None:
        try:
            change = deed(self.sessions[seat])
        except Refused as refusal:
            self.refusal[seat] = refusal
            self.refused.emit(seat)
            return None
        except (Surroundings, Doubtful) as trouble:
            self._pending = (seat, deed)
            self._in_trouble(trouble)
            return None
        self._kept(seat, change)
        return change

    def mark(self, seat: int, mark: Mark) -> Change | None:
        """Mark the step in front of a learner; deaf for a moment after an advance.

        Nothing is marked while the attempt is stopped for safety.
        """
        step = reading.current(self.state(seat))
        if step is None or self.state(seat).stopped or not self._debounce.lets(("step", seat)):
            return None
        return self.do(seat, gestures.mark, step.id, mark)

    def pass_unseen(self, seat: int) -> Change | None:
        """Leave the step in front unseen; deaf for a moment after an advance."""
        if self.state(seat).stopped or not self._debounce.lets(("step", seat)):
            return None
        return self.do(seat, gestures.pass_unseen)

    def critical(self, seat: int, item: str = "") -> Change | None:
        """Keep the time of a critical event; a double tap is one."""
        if not self._debounce.lets(("critical", seat)):
            return None
        change = self.do(seat, gestures.record_critical, item)
        if change is not None:
            self._debounce.hold(("critical", seat), CRITICAL_S)
        return change

    def rate(
        self, seat: int, gesture: Gesture[P], *args: P.args, **kwargs: P.kwargs
    ) -> Change | None:
        """Give one rating; deaf for a moment after it, so that a double tap never gives two."""
        if not self._debounce.lets(("rating", seat)):
            return None
        change = self.do(seat, gesture, *args, **kwargs)
        if change is not None:
            self._debounce.hold(("rating", seat), ADVANCE_S)
        return change

    def seal_in_sight(self, seat: int) -> None:
        """The key that may seal has just moved under the finger: not yet."""
        self._debounce.hold(("seal", seat), SEAL_S)

    def seal(self, seat: int) -> Change | None:
        """Seal an observation, once its summary has been in sight for a moment."""
        if not self._debounce.lets(("seal", seat)):
            return None
        return self.do(seat, gestures.seal)

    def set_aside(self, seat: int) -> Change | None:
        """Not applicable, or did not arise where the step depends on a circumstance."""
        step = reading.current(self.state(seat))
        if step is None:
            return None
        return self.mark(seat, Mark(aside_state(step)))

    def turn_clock(self, seat: int) -> Change | None:
        """Pause a learner's clock, or let it go on."""
        running = self.state(seat).clock.is_running
        return self.do(seat, gestures.pause_clock if running else gestures.start_clock)

    def pause_all(self) -> None:
        """Let every running clock stand; if none runs, let those that were paused go on."""
        running = [seat for seat in range(len(self)) if self.state(seat).clock.is_running]
        gesture = gestures.pause_clock if running else gestures.start_clock
        front = self.front
        for seat in running or self._standing():
            self.do(seat, gesture)
        self.look(front)

    def _standing(self) -> list[int]:
        states = [session.state for session in self.sessions]
        return [
            seat
            for seat, one in enumerate(states)
            if one.clock.started and not (one.sealed or one.void or one.stopped)
        ]

    def try_again(self) -> None:
        """Read everything from the disk anew, then carry out what could not be kept.

        If it was kept after all, and only its answer was lost, it is not done twice.
        """
        before = [session.state for session in self.sessions]
        try:
            self.room = self.room.reopened()
        except (Surroundings, Doubtful) as trouble:
            self._in_trouble(trouble)
            return
        pending, self._pending, self.trouble = self._pending, None, None
        if pending is not None and before[pending[0]] == self.state(pending[0]):
            self._carry_out(*pending)
        self.trouble_changed.emit()
        for seat in range(len(self)):
            self.changed.emit(seat)

    # interruptions

    def came_back(self, seconds: float) -> None:
        """Say after a lock or a sleep of the machine what was last."""
        if seconds > AWAY_S and any(one.state.clock.is_running for one in self.sessions):
            self._say_away(int(seconds))

    def nothing_seen(self) -> None:
        """The observer answered the note: nothing was seen in that time."""
        self._end_away()

    def _resume(self) -> None:
        """At opening: bring the learner of the last mark to the front, and say how long ago."""
        newest = newest_entries(self._states)
        if not newest:
            return
        self.front, entry = newest[0]
        now = datetime.fromisoformat(self.room.logbook.machine.stamp().at)
        seconds = (now - datetime.fromisoformat(entry.at)).total_seconds()
        if seconds > AWAY_S:
            self._say_away(int(seconds))

    @property
    def _states(self) -> list[Observation]:
        return [session.state for session in self.sessions]

    def _say_away(self, seconds: int) -> None:
        said = away(self._states, seconds)
        if said is not None:
            self.away = said
            self.away_changed.emit()

    def _end_away(self) -> None:
        if self.away is not None:
            self.away = None
            self.away_changed.emit()

    # inside

    @staticmethod
    def _last_elapsed(state: Observation) -> int:
        return state.entries[-1].elapsed_ns if state.entries else 0

    def _kept(self, seat: int, change: Change) -> None:
        self.refusal.pop(seat, None)
        if change.before.board.at != change.after.board.at:
            self._debounce.hold(("step", seat), ADVANCE_S)
        if change.after.sealed:
            self.see_seals()
        self.look(seat)
        touched = {one.after.id for one in change.others}
        for place, session in enumerate(self.sessions):
            if session.state.id in touched:
                self.changed.emit(place)

    def _in_trouble(self, trouble: Surroundings | Doubtful) -> None:
        self.trouble = trouble
        self.trouble_changed.emit()


def aside_state(step: Step) -> State:
    """What sets a step aside: a step with a circumstance did not arise, others do not apply."""
    return State.DID_NOT_ARISE if step.when else State.NOT_APPLICABLE
