"""An observer leaves early: everything that runs is handed to another, seat by seat (rule T5)."""

from __future__ import annotations

from dataclasses import dataclass, field, fields

from observe.domain import gestures
from observe.domain.events import Draft
from observe.domain.form import Mode
from observe.domain.troubles import Refused
from observe.domain.workshop import Workshop
from observe.work.admission import running_elsewhere
from observe.work.logbooks import Logbook
from observe.work.session import Change, Room, Session


@dataclass(frozen=True)
class HandingOver:
    """What became of each seat of the one who leaves; numbers as people see them.

    handed: runs on with the other; seal your part. given: not begun, now the other's
    from the start. theirs: every step was passed, or it is void: rate and seal it
    yourself. typed: a paper is being typed in; end that yourself. stopped: stopped for
    safety, to be answered first. shared: the other watches this learner already, or did,
    so nobody else can be blind to it. waiting: the clock runs, and the other watches as
    many as may be at once in summative mode (rule W3): pause it, and hand over again.
    """

    to: str
    handed: tuple[int, ...] = ()
    given: tuple[int, ...] = ()
    theirs: tuple[int, ...] = ()
    stopped: tuple[int, ...] = ()
    shared: tuple[int, ...] = ()
    typed: tuple[int, ...] = ()
    waiting: tuple[int, ...] = ()

    @property
    def is_whole(self) -> bool:
        """Whether nothing is left that somebody must watch on."""
        return not (self.stopped or self.shared or self.waiting)


@dataclass
class _Told:
    handed: list[int] = field(default_factory=list)
    given: list[int] = field(default_factory=list)
    theirs: list[int] = field(default_factory=list)
    stopped: list[int] = field(default_factory=list)
    shared: list[int] = field(default_factory=list)
    typed: list[int] = field(default_factory=list)
    waiting: list[int] = field(default_factory=list)


def hand_over(session: Session, to: str) -> Change:
    """Hand one running attempt to another observer.

    Raises Refused if it cannot be handed over, or not to that person.
    """
    _require_person(session.logbook, session.workshop, to)
    _require_blind(session, to)
    if not _has_room(session, to):
        raise Refused(
            "That observer watches as many learners as may be at once in a summative workshop.",
            where=f"seat {session.seat.number}",
            remedy="Pause this clock, or one of theirs; then hand over.",
        )
    return session.do(gestures.hand_over, to, last=session.newest)


def hand_over_all(room: Room, to: str) -> HandingOver:
    """Hand over all that runs in both rooms, and give away what was not begun.

    Each seat is kept by itself: interrupted, it is simply done again, and what was
    handed over stays so. Afterwards the room is read anew: what was given away is not
    in it any more. Raises Refused for a room of papers, and for somebody who is not known,
    is a learner, or is the one who leaves; Surroundings where a seat cannot be kept.
    """
    _require_person(room.logbook, room.workshop, to)
    if room.typist:
        raise Refused(
            "Papers are typed in here; nobody is watched.",
            remedy="Whoever watches hands over, from their own room.",
        )
    if to == room.observer:
        raise Refused("That is you.", remedy="Choose the observer who goes on.")
    told = _Told()
    for session in room.every:
        session.reread()
        _one(session, to, told)
    room.reseat()
    return HandingOver(to, **{one.name: tuple(getattr(told, one.name)) for one in fields(told)})


def _one(session: Session, to: str, told: _Told) -> None:
    state, number = session.state, session.seat.number
    if state.handed is not None:
        told.handed.append(number)
    elif state.sealed or state.observer not in session.seat.observers:
        return
    elif state.is_typed_in:
        told.typed.append(number)
    elif state.void or (gestures.is_begun(state) and not state.board.front):
        told.theirs.append(number)
    elif to in _who_watch(session):
        told.shared.append(number)
    elif state.stopped:
        told.stopped.append(number)
    elif gestures.is_begun(state) and not session.seat.absent:
        if not _has_room(session, to):
            told.waiting.append(number)
            return
        hand_over(session, to)
        told.handed.append(number)
    else:
        _give(session, to)
        told.given.append(number)


def _give(session: Session, to: str) -> None:
    """Let another observer watch what was not begun; unless it was given away already."""
    state, attempt = session.state, session.seat.attempt
    body = {"to": to, "last": session.newest}
    draft = Draft("handed-over", body, session.workshop.id, attempt, by=state.observer)
    session.logbook.append(
        [draft], newest={state.id: session.newest}, turns={attempt: session.known}
    )


def _who_watch(session: Session) -> tuple[str, ...]:
    """All who watch or watched this attempt, as it is planned now."""
    now = session.logbook.workshop(session.workshop.id).seat_of(session.seat.attempt)
    left = session.state.observer
    return now.observers if left in now.observers else ()


def _has_room(session: Session, to: str) -> bool:
    """Whether the other may watch one more clock that runs (rule W3)."""
    state = session.state
    if state.ground.mode is not Mode.SUMMATIVE or not state.clock.is_running:
        return True
    running = running_elsewhere(session.logbook, session.workshop, to)
    limits = [one.limit for one in running]
    return len(running) < min([state.ground.form.learners_per_observer, *limits])


def _require_blind(session: Session, to: str) -> None:
    if to in _who_watch(session):
        raise Refused(
            "That observer watches this learner already, or did.",
            where=f"seat {session.seat.number}",
            remedy="Choose somebody else: two looks are by two people who do not know "
            "each other's marks.",
        )


def _require_person(logbook: Logbook, workshop: Workshop, to: str) -> None:
    if to not in logbook.names():
        raise Refused(
            "Nobody of that name is known here.", where=to, remedy="Add the observer first."
        )
    if to in {seat.learner for seat in logbook.workshop(workshop.id).seats}:
        raise Refused("That is a learner of this workshop.", remedy="Choose an observer.")
