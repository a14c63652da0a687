"""Taking back and putting back (rule E3)."""

from __future__ import annotations

from observe.domain.board import Entry
from observe.domain.events import Draft
from observe.domain.gestures.guards import Drafts, require_open
from observe.domain.observation import Observation
from observe.domain.troubles import Refused


def take_back(observation: Observation, event: str | None = None) -> Drafts:
    """Take back the last gesture, or the one that an event belongs to; before that, a void."""
    require_open(observation, void_allowed=True)
    if observation.void:
        return (Draft("taken-back", {"events": [observation.void]}),)
    named = event or (observation.last.id if observation.last else "")
    if not named:
        raise Refused("There is nothing to take back.", remedy="Set a mark first.")
    group = observation.gesture_of(named)
    if not group:
        raise Refused("That mark is not in force any more.", remedy="Look at the mark that stands.")
    return (Draft("taken-back", {"events": [entry.id for entry in group]}),)


def put_back(observation: Observation) -> Drafts:
    """Put the gesture that was taken back last into force again."""
    require_open(observation)
    if not observation.undone:
        raise Refused(
            "There is nothing to put back.", remedy="Put back is offered after a take back."
        )
    return (Draft("put-back", {"events": [entry.id for entry in observation.undone[-1]]}),)


def take_back_target(observation: Observation) -> tuple[Entry, ...]:
    """What "take back" would take back now; empty if nothing."""
    last = observation.last
    return observation.gesture_of(last.id) if last else ()
