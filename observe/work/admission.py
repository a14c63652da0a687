"""What stands in the way of a gesture outside its own observation: absence, and rule W3."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from observe.domain.board import Ground
from observe.domain.events import Draft
from observe.domain.form import Mode
from observe.domain.load import STARTS, STOPS, Watched, require_may_start
from observe.domain.observation import Role, fold
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook

if TYPE_CHECKING:
    from observe.work.session import Session

Written = Sequence[tuple["Session", Draft]]
"""The drafts of one gesture, each with the session that it is written into."""


def require_admitted(written: Written) -> None:
    """Raises Refused for a learner who is absent or another's, and for a clock too many (W3).

    Also where what is typed from paper is marked live, or the other way round.
    """
    for session, draft in written:
        _require_way(session, draft)
        if session.seat.absent:
            raise Refused(
                f"{_name(session)} is noted absent.",
                where=f"seat {session.seat.number}" if session.seat.number else "",
                remedy="Note first that they have arrived.",
            )
        _require_watcher(session)
    _require_clocks(written)


def _require_watcher(session: Session) -> None:
    """Refuse to mark a learner who was given to another observer from the start (rule T5)."""
    state = session.state
    if state.role is Role.FACULTY and state.observer not in session.seat.observers:
        raise Refused(
            f"{_name(session)} was given to another observer.",
            where=f"seat {session.seat.number}" if session.seat.number else "",
            remedy="Leave the marks to them.",
        )


def counting(written: Written) -> tuple[Session, ...]:
    """The sessions whose clocks are counted before those of a gesture may start (rule W3)."""
    starting = _sessions(written, STARTS)
    if not starting or starting[0].ground.mode is not Mode.SUMMATIVE:
        return ()
    return tuple(starting[0].beside.values())


def _require_way(session: Session, draft: Draft) -> None:
    """Refuse to mark live what is typed in, and to type into what is marked live."""
    state = session.state
    if state.sealed or draft.kind == "transcription-begun":
        by_typist = bool(session.typist) and state.sealed is not None
        if by_typist and session.typist != state.observer:
            raise Refused(
                "This observation is sealed.",
                remedy="Whoever watched it changes it by an amendment, with a reason.",
            )
        return
    if state.is_typed and not session.typist:
        if draft.kind == "transcription-ended":
            return
        raise Refused(
            "This attempt is typed in from paper.",
            where=f"seat {session.seat.number}",
            remedy="Go on typing it in; what was typed stays.",
        )
    if session.typist and not state.is_typed:
        raise Refused(
            "This attempt is marked live.",
            where=f"seat {session.seat.number}",
            remedy="Add single marks later, each with the time at which it was seen.",
        )


def _require_clocks(written: Written) -> None:
    starting, beside = _sessions(written, STARTS), counting(written)
    if not beside:
        return
    stopping = _sessions(written, STOPS)
    running = [
        one
        for one in beside
        if one.state.clock.is_running and one not in starting and one not in stopping
    ]
    first = starting[0]
    known = [one.seat.attempt for one in beside]
    elsewhere = running_elsewhere(first.logbook, first.workshop, first.state.observer, known)
    others = sorted([*map(_watched, running), *elsewhere], key=lambda one: one.number)
    require_may_start(Mode.SUMMATIVE, [_watched(one) for one in starting], others)


def running_elsewhere(
    logbook: Logbook, workshop: Workshop, observer: str, known: Collection[str] = ()
) -> list[Watched]:
    """Whom an observer watches, on the disk, while the clock runs, in seat order (rule W3).

    Also who was handed over to them and is not opened yet. known: attempts left out.
    """
    now, names = logbook.workshops().get(workshop.id, workshop), logbook.names()
    found: list[Watched] = []
    for seat in now.seats:
        if observer in seat.observers and seat.attempt not in known:
            ground = logbook.ground(now, seat)
            if _runs(logbook, seat, observer, ground):
                name = names.get(seat.learner, seat.learner)
                found.append(Watched(name, seat.number, ground.form.learners_per_observer))
    return found


def _runs(logbook: Logbook, seat: Seat, observer: str, ground: Ground) -> bool:
    own = logbook.observation(seat.observation_of(observer))
    if own:
        return fold(own, ground).clock.is_running
    before = seat.before(observer)
    left = logbook.observation(seat.observation_of(before)) if before else []
    handed = fold(left, ground).handed if left else None
    return handed is not None and handed.running


def _sessions(written: Written, kinds: frozenset[str]) -> list[Session]:
    return list(dict.fromkeys(session for session, draft in written if draft.kind in kinds))


def _watched(session: Session) -> Watched:
    form = session.ground.form
    return Watched(_name(session), session.seat.number, form.learners_per_observer)


def _name(session: Session) -> str:
    return session.logbook.names().get(session.seat.learner, session.seat.learner)
