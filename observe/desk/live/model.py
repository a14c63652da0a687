"""The model of Live: a tap goes to the disk and back before anything is shown as set."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Hashable, Iterator, Sequence
from contextlib import suppress
from datetime import datetime
from functools import partial
from typing import ParamSpec

from PySide6.QtCore import Signal

from observe.desk.live import reading
from observe.desk.live.debounce import ADVANCE_S, CRITICAL_S, SEAL_S, Debounce
from observe.desk.live.interruptions import AWAY_S, Away, away, newest_entries
from observe.desk.live.room_model import RoomModel
from observe.domain import gestures
from observe.domain.form import Step
from observe.domain.marks import Mark, State
from observe.domain.observation import Observation
from observe.domain.troubles import Doubtful, Refused, Surroundings
from observe.work.debrief import sealed_observations
from observe.work.session import Change, Gesture, Room

P = ParamSpec("P")
LOOK_AGAIN_NS = 2_000_000_000
"""A second look within this time is the same one."""
Confirm = Callable[[str, Callable[[], None]], None]
"""Has a person, by id, confirm who they are; then calls what was to be done, or never."""
Deed = Callable[[], Sequence[Change]]
"""Carried out by what the disk holds when it is called, so that it can be tried again."""


class LiveModel(RoomModel):
    """One observer's room: who is in front, what was kept, what stands in the way.

    Seats are counted from 0 in seat order. Every deed returns the `Change` that
    is on the disk, or None if nothing was kept; then `trouble` or `refusal` says
    why. drafts: texts by seat and slot that were typed and are not kept yet; waiting:
    texts that are kept as soon as nothing stands in the way, by observation and slot.
    clock: seconds that never go back, for what a finger may do how soon. confirm: how
    another person signs here; at once, until a page that can ask for PINs says how.
    """

    front_changed = Signal(int, int)
    refused = Signal(int)
    critical_kept = Signal(int)
    away_changed = Signal()

    def __init__(self, room: Room, *, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__(room)
        self.refusal: dict[int, Refused] = {}
        self.away: Away | None = None
        self.drafts: dict[tuple[int, str], str] = {}
        self.waiting: dict[tuple[str, str], str] = {}
        self.confirm: Confirm = lambda _person, then: then()
        self._all_sealed: set[int] = set()
        self._pending: Callable[[], object] | None = None
        self._debounce = Debounce(clock)
        self._looked = [self._last_elapsed(session.state) for session in self.sessions]
        self._resume()
        if len(self.rooms) > 1:
            room.show(self.shown_room)

    # reading

    def reseated(self, before: Sequence[str]) -> None:
        """Give what is remembered by seat to the seats where the learners are now."""
        now = [session.state.id for session in self.sessions]
        moved = {old: now.index(id) for old, id in enumerate(before) if id in now}
        looked = dict(enumerate(self._looked))
        self._looked = [self._last_elapsed(session.state) for session in self.sessions]
        for old, new in moved.items():
            self._looked[new] = looked[old]
        self.front = moved.get(self.front, 0)
        kept = {key: text for key, text in self.drafts.items() if key[0] in moved}
        self.drafts = {(moved[at], slot): text for (at, slot), text in kept.items()}
        self.refusal = {moved[at]: one for at, one in self.refusal.items() if at in moved}
        self._all_sealed = {moved[at] for at in self._all_sealed if at in moved}
        if self.is_absent(self.front) and self.here:
            self.front = self.here[0]
        for seat in moved.values():
            self.settle(seat)
        self.room.show(self.shown_room)

    def next_room(self) -> None:
        """Show the other room, with its first learner in front."""
        rooms = self.rooms
        shown = rooms[(rooms.index(self.shown_room) + 1) % len(rooms)]
        there = [seat for seat in range(len(self)) if self.in_room(seat) == shown]
        self._bring(next(seat for seat in there if not self.is_absent(seat)))

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

    def since_look_ns(self, seat: int) -> int:
        """Time on the learner's clock since the observer last looked at them."""
        return max(0, self.elapsed_ns(seat) - self._looked[seat])

    @property
    def can_pause(self) -> bool:
        """Whether "pause all" or "all go on" would do something."""
        return any(one.state.clock.is_running for one in self.sessions) or bool(self._standing())

    def can_mark(self, seat: int) -> bool:
        """Whether mark keys of a seat take a press: nothing stands in the way of keeping it."""
        state = self.state(seat)
        return self.trouble is None and not (state.sealed or state.void or state.handed)

    # deeds

    def look(self, seat: int) -> None:
        """Bring a learner to the front; that is a look, and is kept as one (rule A5)."""
        self._keep_look(seat)
        self._bring(seat)

    def _keep_look(self, seat: int) -> None:
        """Keep a look without a mark. One that cannot be kept is left to the next mark to tell."""
        state = self.state(seat)
        if self.trouble is not None or not state.clock.is_running or state.sealed or state.void:
            return
        if self.since_look_ns(seat) < LOOK_AGAIN_NS:
            return
        with suppress(Refused, Surroundings, Doubtful):
            self.sessions[seat].do(gestures.look)

    def _bring(self, seat: int) -> None:
        """Bring a learner to the front, as looked at now."""
        self._looked[seat] = self.elapsed_ns(seat)
        self._end_away()
        if seat != self.front:
            shown = self.shown_room
            before, self.front = self.front, seat
            if self.shown_room != shown:
                self.room.show(self.shown_room)
                self.places_changed.emit()
            self.front_changed.emit(before, seat)
        else:
            self.changed.emit(seat)

    def do(
        self, seat: int, gesture: Gesture[P], *args: P.args, **kwargs: P.kwargs
    ) -> Change | None:
        """Carry out one gesture for a learner, and bring them to the front."""
        if self.trouble is not None:
            return None
        return self._carry_out(seat, lambda: (self.sessions[seat].do(gesture, *args, **kwargs),))

    def _carry_out(self, seat: int, deed: Deed, *, to_front: bool = True) -> Change | None:
        """Carry out a deed for a learner; others whom it touches are shown as they are then."""
        try:
            changes = deed()
        except Refused as refusal:
            self.refusal[seat] = refusal
            self.refused.emit(seat)
            return None
        except (Surroundings, Doubtful) as trouble:
            self._pending = partial(self._carry_out, seat, deed, to_front=to_front)
            self._in_trouble(trouble)
            return None
        self.refusal.pop(seat, None)
        touched = {self.seat_of(one.after.id): one for one in _all(changes)}
        for at, change in touched.items():
            self._kept(at, change)
        if to_front:
            self._bring(seat)
        for at in touched:
            if at != seat or not to_front:
                self.changed.emit(at)
        return changes[0]

    def together(
        self,
        step: str,
        mark: Mark,
        *,
        form: str,
        taken_in: Collection[str] = (),
        left_out: Collection[str] = (),
    ) -> bool:
        """Set one mark for all who take part; whether it was kept. The learner in front stays.

        The arguments are those of `observe.work.session.Room.shares`.
        """
        if self.trouble is not None or not self._debounce.lets("together"):
            return False

        def deed() -> Sequence[Change]:
            return self.room.together(step, mark, form=form, taken_in=taken_in, left_out=left_out)

        kept = self._carry_out(self.front, deed, to_front=False)
        if kept is not None:
            self._debounce.hold("together", ADVANCE_S)
        return kept is not None

    def move_marks(
        self, seat: int, target: int, *, count: int = 1, events: Collection[str] = ()
    ) -> Change | None:
        """Give marks that were set for the wrong learner to the right one (rule E3)."""
        if self.trouble is not None:
            return None

        def deed() -> Sequence[Change]:
            here, there = self.sessions[seat], self.sessions[target]
            return self.room.move_marks(here, there, count=count, events=events)

        return self._carry_out(seat, deed)

    def write(self, seat: int, slot: str, text: str) -> Change | None:
        """Keep a text; the learner in front stays. One that cannot be kept waits until it can."""
        if self.trouble is None:
            change = self._carry_out(
                seat, lambda: (self.sessions[seat].do(gestures.write, slot, text),), to_front=False
            )
            if change is not None:
                return change
            self._pending = None
        self.waiting[self.state(seat).id, slot] = text
        return None

    def text(self, seat: int, slot: str) -> str:
        """What stands in a slot, or waits to be kept there."""
        waits = self.waiting.get((self.state(seat).id, slot))
        return self.sessions[seat].slot_text(slot) if waits is None else waits

    def _write_waiting(self) -> None:
        """Keep what was typed while nothing could be kept."""
        waiting, self.waiting = self.waiting, {}
        seats = {state.id: seat for seat, state in enumerate(self._states)}
        for (observation, slot), text in waiting.items():
            seat = seats.get(observation)
            if seat is not None and self.sessions[seat].slot_text(slot) != text:
                self.write(seat, slot, text)
        incidents, self.incidents = self.incidents, []
        for text in incidents:
            self.note_incident(text)

    def write_phrase(self, seat: int, step: str, phrase: str) -> Change | None:
        """Put one of the form's phrases into the text about a step, or take it out again."""
        if self.trouble is not None:
            return None
        session = self.sessions[seat]
        return self._carry_out(seat, lambda: (session.write_phrase(step, phrase),), to_front=False)

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
            self.critical_kept.emit(seat)
        return change

    def settle(self, seat: int) -> None:
        """Keys have come under the finger where others were: its second tap marks nothing."""
        self._debounce.hold(("step", seat), ADVANCE_S)
        self._debounce.hold(("critical", seat), ADVANCE_S)
        self._debounce.hold(("answer", seat), ADVANCE_S)

    def lets_answer(self, seat: int) -> bool:
        """Whether what is asked has been in sight for a moment."""
        return self._debounce.lets(("answer", seat))

    def lets_again(self, target: Hashable, seconds: float) -> bool:
        """Whether a press on a target counts; if so it is deaf for a while (gloves)."""
        if not self._debounce.lets(("again", target)):
            return False
        self._debounce.hold(("again", target), seconds)
        return True

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
        self._turn_clocks(gesture, running or self._standing())

    def _turn_clocks(self, gesture: Gesture[[]], seats: Sequence[int]) -> None:
        """Turn the clocks of some seats; those that stood in trouble's way are tried again."""
        for place, seat in enumerate(seats):
            if self.trouble is None:
                self._carry_out(seat, partial(self._one, seat, gesture), to_front=False)
            if self.trouble is not None:
                self._pending = partial(self._turn_clocks, gesture, seats[place:])
                return

    def _one(self, seat: int, gesture: Gesture[[]]) -> Sequence[Change]:
        return (self.sessions[seat].do(gesture),)

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
        if pending is not None and before == [session.state for session in self.sessions]:
            pending()
        if self.trouble is None:
            self._write_waiting()
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
        """The learner's clock at the last mark or look."""
        marked = state.entries[-1].elapsed_ns if state.entries else 0
        return max(marked, *state.looks[-1:], 0)

    def _kept(self, seat: int, change: Change) -> None:
        if change.before.board.at != change.after.board.at:
            self._debounce.hold(("step", seat), ADVANCE_S)
        if change.after.sealed:
            self.see_seals()


def _all(changes: Sequence[Change]) -> Iterator[Change]:
    """Changes with those that they made elsewhere."""
    for change in changes:
        yield change
        yield from change.others


def aside_state(step: Step) -> State:
    """What sets a step aside: a step with a circumstance did not arise, others do not apply."""
    return State.DID_NOT_ARISE if step.when else State.NOT_APPLICABLE
