"""One open observation: a gesture goes to the disk and comes back as a change."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Concatenate, ParamSpec

from observe.domain import gestures
from observe.domain.arrangement import MOST_SEATS, NOWHERE
from observe.domain.events import Draft, Event
from observe.domain.gestures import (
    Drafts,
    Share,
    add_phrase,
    continuation,
    has_phrase,
    remove_phrase,
    step_slot,
)
from observe.domain.gestures.moving import home_of, with_homecoming
from observe.domain.marks import Mark
from observe.domain.observation import Observation, Role, fold, step
from observe.domain.troubles import Doubtful, Overtaken, Refused
from observe.domain.workshop import Seat, Workshop
from observe.domain.writers import MARKLESS
from observe.work.admission import counting, require_admitted
from observe.work.approving import binding
from observe.work.logbooks import Logbook

P = ParamSpec("P")
Gesture = Callable[Concatenate[Observation, P], Drafts]


@dataclass(frozen=True)
class Change:
    """What one gesture changed. events: what is now on the disk.

    others: what it changed in other observations, such as that of the learner to
    whom a moved mark went back.
    """

    before: Observation
    after: Observation
    events: tuple[Event, ...]
    others: tuple[Change, ...] = ()

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

    It decides, commits, then folds; if the commit fails the state stays as it was and
    the trouble is raised. beside: all sessions of the observer in this workshop, by
    observation; a gesture may reach into them. typist: who types a paper in; empty
    where the observer marks live. known: the position in the log up to which workshop and
    seat were read.
    """

    def __init__(
        self,
        logbook: Logbook,
        workshop: Workshop,
        seat: Seat,
        events: Sequence[Event],
        *,
        typist: str = "",
    ) -> None:
        self.logbook = logbook
        self.typist = typist
        self.workshop = workshop
        self.seat = seat
        self.beside: Mapping[str, Session] = {}
        self.known = logbook.log.position()
        self.ground = logbook.ground(workshop, seat)
        self._read(events)

    def _read(self, events: Sequence[Event]) -> None:
        """Fold the events, which are in the order of turns; the newest to come may be another."""
        observation = events[-1].observation
        newest = self.logbook.log.newest(observation)
        if newest != events[-1].id:  # What came since, or what a packet brought into the middle.
            events = self.logbook.observation(observation)
        self.state = fold(events, self.ground)
        self.newest = newest
        self.is_elsewhere = self._is_written_elsewhere(events)

    def _is_written_elsewhere(self, events: Sequence[Event]) -> bool:
        """Whether another machine marks here, which alone may go on (rule T5)."""
        own = self.logbook.log.devices()
        return any(one.kind not in MARKLESS and one.device not in own for one in events)

    def do(self, gesture: Gesture[P], *args: P.args, **kwargs: P.kwargs) -> Change:
        """Carry out one gesture of `observe.domain.gestures`.

        Raises Refused if the rules forbid it, Surroundings if it cannot be kept, and
        Overtaken if another window wrote here; then the state is what that wrote.
        """
        self.make_way()
        before = self.state
        if self.is_elsewhere and not before.sealed:
            raise Refused(
                "This attempt is marked on another machine.",
                where=f"seat {self.seat.number}",
                remedy="Go on there, or hand it over there to another observer.",
            )
        drafts = gesture(before, *args, **kwargs)
        if any(draft.kind == "taken-back" for draft in drafts):
            drafts = with_homecoming(drafts, before, self.others)
        written = [(self.beside.get(one.observation, self), one) for one in drafts]
        change, *others_changed = commit(self.logbook, written, first=self)
        return replace(change, others=tuple(others_changed))

    def make_way(self) -> None:
        """Let an attempt be marked live whose paper was opened for typing, with nothing typed."""
        state = self.state
        idle = state.is_typed and not (state.is_typed_in or state.sealed or state.handed)
        if idle and not self.typist:
            commit(self.logbook, [(self, one) for one in gestures.leave_untyped(state)], first=self)

    @property
    def others(self) -> Mapping[str, Observation]:
        """The observer's observations in this workshop, of learners who are not noted absent."""
        return {id: one.state for id, one in self.beside.items() if not one.seat.absent}

    def addressed(self, draft: Draft) -> Draft:
        """A draft with the workshop, attempt, observation and observer that it belongs to."""
        return replace(
            draft,
            workshop=self.workshop.id,
            attempt=self.state.attempt,
            observation=self.state.id,
            by=self.typist or self.state.observer,
        )

    def take_in(self, events: Sequence[Event]) -> Change:
        """Fold what was committed to this observation."""
        before = self.state
        for event in events:
            self.state = step(self.state, event)
            self.newest = event.id
        return Change(before, self.state, tuple(events))

    def reread(self) -> None:
        """Read observation and seat anew from the disk; what another window wrote is in them.

        Where a merge put them into a tail of a fork they stay as they are, and marks go on: all
        of it is in force once that tail is adopted.
        """
        self.known = self.logbook.log.position()
        self.newest = self.logbook.log.newest(self.state.id)
        workshop = self.logbook.workshops().get(self.workshop.id, self.workshop)
        with suppress(Doubtful):
            self.seat = workshop.seat_of(self.seat.attempt)
            self.workshop = workshop
        events = self.logbook.observation(self.state.id)
        if events:
            self._read(events)

    def write_phrase(self, step_id: str, phrase: str) -> Change:
        """Put one of the form's phrases into the text about a step, or take it out again."""
        text = self.slot_text(step_slot(step_id))
        if has_phrase(text, phrase):
            return self.do(remove_phrase, step_id, phrase, text=text)
        return self.do(add_phrase, step_id, phrase, text=text)

    def slot_text(self, slot: str) -> str:
        """What is written in a slot; empty if nothing is."""
        event = self.state.texts.get(slot, "")
        return self.text(event, "text") if event else ""

    def elapsed_ns(self) -> int:
        """The attempt's clock now, in nanoseconds."""
        return self.state.clock.elapsed_ns(self.logbook.machine.stamp())

    def text(self, event: str, field: str) -> str:
        """A text that stands beside an event; empty if it was erased."""
        return self.logbook.log.text(event, field) or ""


def commit(
    logbook: Logbook, written: Sequence[tuple[Session, Draft]], *, first: Session
) -> tuple[Change, ...]:
    """Keep one gesture over any number of sessions, all or none; a change for each touched.

    first: whose change comes first, also if nothing was written there. Raises Overtaken
    if another window wrote into any of them, or where a summative clock starts into any of
    the observer's (rule W3), Refused for a learner who is absent or a clock too many, and
    Surroundings if it cannot be kept.
    """
    require_admitted(written)
    touched = list(dict.fromkeys((first, *(session for session, _ in written))))
    counted = list(dict.fromkeys((*touched, *counting(written))))
    drafts = [session.addressed(draft) for session, draft in written]
    try:
        events = logbook.append(
            drafts,
            newest={one.state.id: one.newest for one in counted},
            turns={one.seat.attempt: one.known for one in touched},
        )
    except Overtaken:
        for session in counted:
            session.reread()
        raise
    return tuple(
        session.take_in([event for event in events if event.observation == session.state.id])
        for session in touched
    )


def open_session(
    logbook: Logbook,
    workshop: Workshop,
    seat: Seat,
    observer: str,
    role: Role = Role.FACULTY,
) -> Session:
    """Open, or resume, an observer's observation of the attempt at a seat.

    Everything that was acknowledged is there again: the state is the fold of the
    log. The event that opens it is written at the first call only; where another
    observer handed the attempt over, it says from where it goes on (rule T5).

    role: in which it is opened then; learners come in by `observe.work.learner_screen`.
    """
    observation = seat.observation_of(observer)
    events = logbook.observation(observation)
    if not events:
        opening = opening_draft(logbook, workshop, seat, observer, observation, role=role)
        faculty = role is Role.FACULTY
        continued = _continued(logbook, workshop, seat, observer) if faculty else {}
        body = {**opening.body, **continued}
        logbook.append([replace(opening, body=body)])
        events = logbook.observation(observation)
    return Session(logbook, workshop, seat, events)


def _continued(
    logbook: Logbook, workshop: Workshop, seat: Seat, observer: str
) -> dict[str, object]:
    """What the opening of a successor says besides: what it continues, and the variant."""
    left = seat.before(observer)
    events = logbook.observation(seat.observation_of(left)) if left else []
    if not events:
        return {}
    state = fold(events, logbook.ground(workshop, seat))
    if state.handed is None:
        return {}
    record = continuation(state, logbook.machine.stamp()).as_record()
    return {"continues": record, "variant": state.board.variant}


def opening_draft(
    logbook: Logbook,
    workshop: Workshop,
    seat: Seat,
    observer: str,
    observation: str,
    *,
    role: Role = Role.FACULTY,
) -> Draft:
    """The event that opens an observer's observation, bound to the standard in force (rule F7)."""
    body = {
        "learner": seat.learner,
        "variant": seat.variant,
        "role": role.value,
        "form": workshop.form_of(seat),
        "profile": workshop.profile_of(seat).digest,
        **binding(logbook, workshop, seat),
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
    typist: who types the observer's papers in; empty where marks are set live.
    """

    typist = ""

    def __init__(self, logbook: Logbook, workshop: Workshop, observer: str, room: int = 0) -> None:
        self.logbook = logbook
        self.observer = observer
        self.room = room
        self.every: tuple[Session, ...] = ()
        self.workshop = workshop
        self.reseat()

    def reseat(self) -> None:
        """Read the workshop anew: who sits where, who is here, who came late.

        Sessions that are open stay open with their state; their order and number may
        be new. A workshop that a merge put into a tail of a fork stays as it was. Raises
        Surroundings if the logbook cannot be read; nothing is changed then.
        """
        known = self.logbook.log.position()
        self._seat(self.logbook.workshops().get(self.workshop.id, self.workshop), known)

    def catch_up(self) -> tuple[bool, tuple[Session, ...]]:
        """Read what another window wrote: whether seats are others, and whose marks are.

        Raises Surroundings if the logbook cannot be read, Doubtful if an event in it is not
        what was written.
        """
        log, before = self.logbook.log, self.workshop
        self.reseat()
        behind = tuple(one for one in self.every if log.newest(one.state.id) != one.newest)
        for session in behind:
            session.reread()
        return self.workshop != before, behind

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

    def _seat(self, workshop: Workshop, known: int) -> None:
        open_now = {one.seat.attempt: one for one in self.every}
        mine = [
            seat
            for seat in workshop.seats
            if self.observer in seat.observers and seat.spot != NOWHERE
        ]
        opened = [open_now.get(seat.attempt) or self.open(workshop, seat) for seat in mine]
        there = [(one, seat) for one, seat in zip(opened, mine, strict=True) if one is not None]
        every = [one for one, _ in there]
        self.forms = tuple(self.logbook.form(one.form) for one in workshop.forms)
        self.names = self.logbook.names()
        self.workshop, self.every = workshop, tuple(every)
        beside = {one.state.id: one for one in every}
        for session, seat in there:
            session.workshop, session.seat, session.beside = workshop, seat, beside
            session.known = known
        self.show(self.room)

    def open(self, workshop: Workshop, seat: Seat) -> Session | None:
        """Open, or resume, the observation of one seat; None leaves the seat out."""
        return open_session(self.logbook, workshop, seat, self.observer)

    def name(self, person: str) -> str:
        return self.names.get(person, person)

    def marks_kept(self) -> int:
        """How many marks in force are on the disk, over all seats."""
        return sum(
            len(placed) for session in self.every for placed in session.state.board.placed.values()
        )

    def shares(
        self,
        step_id: str,
        mark: Mark,
        *,
        form: str = "",
        taken_in: Collection[str] = (),
        left_out: Collection[str] = (),
    ) -> tuple[Share, ...]:
        """What a mark for all would do to each learner shown, in seat order; nothing is written.

        form: whole digest of the form whose step is meant; the first that has it if empty.
        taken_in, left_out: ids of observations for which the observer decides otherwise.
        """
        return gestures.shares(
            [one.state for one in self.sessions],
            step_id,
            mark,
            form=form or self._form_with(step_id),
            absent=[one.state.id for one in self.sessions if one.seat.absent],
            taken_in=taken_in,
            left_out=left_out,
        )

    def together(
        self,
        step_id: str,
        mark: Mark,
        *,
        form: str = "",
        taken_in: Collection[str] = (),
        left_out: Collection[str] = (),
    ) -> tuple[Change, ...]:
        """Set one mark for all who take part, in one gesture; a change for each of them.

        The arguments are those of `shares`. Each learner's part is theirs: to take it back
        for one leaves the others theirs. Raises as `Session.do` does; then nobody is marked.
        """
        for one in self.sessions:
            if not one.seat.absent:
                one.make_way()
        shares = self.shares(step_id, mark, form=form, taken_in=taken_in, left_out=left_out)
        states = [one.state for one in self.sessions]
        drafts = gestures.mark_together(states, shares, step_id, mark)
        taking = [one for one in self.sessions if one.state.id in drafts]
        written = [(one, draft) for one in taking for draft in drafts[one.state.id]]
        return commit(self.logbook, written, first=taking[0])

    def _form_with(self, step_id: str) -> str:
        digests = (one.whole_digest for one in self.forms if step_id in one.step)
        return next(digests, "")

    def move_marks(
        self,
        source: Session,
        target: Session,
        *,
        count: int = 1,
        events: Collection[str] = (),
    ) -> tuple[Change, Change]:
        """Move marks and critical events that were set for the wrong learner, in one gesture.

        events: which ones; without them those of the last `count` gestures that set any.
        What changed at the source, and at the target. Raises Refused once either is sealed
        (rule E3), and where the other attempt has no place for one of them.
        """
        target.make_way()
        before = source.state
        named = events or [one.id for one in gestures.last_marks(before, count)]
        reasons = {step: source.text(event, "reason") for step, event in before.reasons.items()}
        drafts = gestures.move(before, target.state, named, reasons=reasons)
        homes = {before.id: source, target.state.id: target}
        written = [(homes[draft.observation], draft) for draft in drafts]
        left, arrived = commit(self.logbook, written, first=source)
        return left, arrived

    def home_of(self, session: Session, event: str = "") -> Session | None:
        """To whom "take back" would send what was moved here; None if it just takes it back.

        event: any one of the gesture; the last gesture without it.
        """
        state = session.state
        entries = state.gesture_of(event) if event else gestures.take_back_target(state)
        home = home_of(state, entries, session.others)
        return session.beside[home.id] if home is not None and not state.void else None

    def turn_cue(self, *, on: bool) -> None:
        """Keep that the observer turned the hints where to look on or off."""
        draft = Draft("cue-turned", {"on": on}, workshop=self.workshop.id, by=self.observer)
        self.logbook.append([draft])
