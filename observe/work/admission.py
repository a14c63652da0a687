"""What stands in the way of a gesture outside its own observation: absence, and rule W3."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from observe.domain.events import Draft
from observe.domain.form import Mode
from observe.domain.load import STARTS, STOPS, Watched, require_may_start
from observe.domain.troubles import Refused

if TYPE_CHECKING:
    from observe.work.session import Session

Written = Sequence[tuple["Session", Draft]]
"""The drafts of one gesture, each with the session that it is written into."""


def require_admitted(written: Written) -> None:
    """Raises Refused for a learner who is noted absent, and for a clock too many (rule W3).

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
    _require_clocks(written)


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
        raise Refused(
            "This attempt is typed in from paper.",
            where=f"seat {session.seat.number}",
            remedy="Go on typing, or open it for marking live again.",
        )
    if session.typist and not state.is_typed:
        raise Refused(
            "This attempt is marked live.",
            where=f"seat {session.seat.number}",
            remedy="Add single marks later, each with the time at which it was seen.",
        )


def _require_clocks(written: Written) -> None:
    starting = _sessions(written, STARTS)
    if not starting or starting[0].ground.mode is not Mode.SUMMATIVE:
        return
    stopping = _sessions(written, STOPS)
    running = [
        one
        for one in starting[0].beside.values()
        if one.state.clock.is_running and one not in starting and one not in stopping
    ]
    require_may_start(Mode.SUMMATIVE, [_watched(one) for one in starting], _in_order(running))


def _in_order(sessions: Sequence[Session]) -> list[Watched]:
    return [_watched(one) for one in sorted(sessions, key=lambda one: one.seat.number)]


def _sessions(written: Written, kinds: frozenset[str]) -> list[Session]:
    return list(dict.fromkeys(session for session, draft in written if draft.kind in kinds))


def _watched(session: Session) -> Watched:
    form = session.ground.form
    return Watched(_name(session), session.seat.number, form.learners_per_observer)


def _name(session: Session) -> str:
    return session.logbook.names().get(session.seat.learner, session.seat.learner)
