"""Looks without a mark, and looks that the program suggested (rule A5).

Neither can be taken back, and neither stands in the way of taking a mark back.
"""

from __future__ import annotations

from observe.domain.bodies import Because
from observe.domain.events import Draft
from observe.domain.gestures.guards import Drafts, require_open, step_in_play
from observe.domain.observation import Observation
from observe.domain.troubles import Refused


def look(observation: Observation) -> Drafts:
    """Say that the observer looked at the learner and set no mark."""
    require_open(observation)
    return (Draft("looked"),)


def suggest_look(
    observation: Observation, step_id: str, because: Because, waited_ns: int
) -> Drafts:
    """Keep that the program suggested to look at a learner, at which step, and why.

    waited_ns: how long the learner had not been looked at, on their own clock.
    """
    require_open(observation)
    step = step_in_play(observation, step_id)
    if waited_ns < 0:
        raise Refused("Nobody waits less than no time.", remedy="Give the time of the wait.")
    body = {"step": step.id, "because": because.value, "waited_ns": waited_ns}
    return (Draft("look-suggested", body),)
