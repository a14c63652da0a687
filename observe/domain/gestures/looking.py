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


def suggest_look(observation: Observation, step_id: str, because: str, waited_ns: int) -> Drafts:
    """Keep that the program suggested to look at a learner, at which step, and why.

    step_id: empty where no step was due and the learner was only not looked at for long.
    because: one of the words of `observe.domain.bodies.Because`. waited_ns: how long the
    learner had not been looked at, on their own clock.
    """
    require_open(observation)
    if step_id:
        step_in_play(observation, step_id)
    if because not in set(Because):
        raise Refused(
            "There is no such reason to look.", remedy=f"Give one of: {', '.join(Because)}."
        )
    if waited_ns < 0:
        raise Refused("Nobody waits less than no time.", remedy="Give the time of the wait.")
    body = {"step": step_id, "because": str(because), "waited_ns": waited_ns}
    return (Draft("look-suggested", body),)
