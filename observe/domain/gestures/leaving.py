"""Leaving early: the watch is handed to another observer (rule T5)."""

from __future__ import annotations

from observe.domain.events import Draft, Stamp
from observe.domain.gestures.guards import Drafts, require_live, require_open
from observe.domain.observation import Observation
from observe.domain.succession import Continuation
from observe.domain.troubles import Refused


def is_begun(observation: Observation) -> bool:
    """Whether anything was recorded that a successor would have to continue."""
    recorded = (observation.entries, observation.undone, observation.texts, observation.continues)
    return observation.clock.started is not None or any(recorded)


def hand_over(observation: Observation, to: str, *, last: str) -> Drafts:
    """Hand a running attempt to another observer; what is left is to seal one's part.

    last: id of the newest event of this observation. An attempt that is stopped, or
    whose every step was passed, is for the observer who saw it.
    """
    require_open(observation)
    require_live(observation)
    if to == observation.observer:
        raise Refused("You watch this attempt already.", remedy="Choose another observer.")
    if observation.stopped:
        raise Refused(
            "Stopped for safety; who saw it says what came of it.",
            remedy="Press Go on, or end the attempt; then hand over.",
        )
    if not is_begun(observation):
        raise Refused(
            "Nothing was seen yet, so there is nothing to continue.",
            remedy="Give this learner to the other observer from the start.",
        )
    if not observation.board.front:
        raise Refused(
            "Every step was passed; nobody else saw it.", remedy="Rate and seal it yourself."
        )
    return (Draft("handed-over", {"to": to, "last": last}),)


def continuation(left: Observation, now: Stamp) -> Continuation:
    """Where the one who takes over begins. Raises ValueError if it was not handed over."""
    if left.handed is None:
        raise ValueError("only an attempt that was handed over is continued")
    before = () if left.continues is None else left.continues.seen
    return Continuation(
        observation=left.id,
        observer=left.observer,
        front=left.board.front,
        seen=tuple(s.id for s in left.steps if s.id in before or s.id in left.board.placed),
        elapsed_ns=None if left.clock.started is None else left.handed.elapsed_ns(now),
        running=left.handed.running,
    )
