"""Marks on steps, where the learner is, order and variant (rules M1 to M5, F5)."""

from __future__ import annotations

from typing import Any

from observe.domain.events import Draft
from observe.domain.form import Step
from observe.domain.gestures.guards import (
    Drafts,
    clock_if_needed,
    require_open,
    seen_at,
    step_in_play,
)
from observe.domain.marks import NOT_SEEN, Mark, State, record
from observe.domain.observation import Observation
from observe.domain.troubles import Refused


def mark(
    observation: Observation, step_id: str, mark: Mark, *, observed_ns: int | None = None
) -> Drafts:
    """Set a mark (rule M1). The first one of an attempt starts its clock.

    observed_ns: the attempt's clock when it was seen, for a mark entered late.
    """
    step = require_markable(observation, step_id, mark)
    body: dict[str, Any] = {"step": step.id, "mark": record(mark), **seen_at(observed_ns)}
    return (*clock_if_needed(observation), Draft("mark-set", body))


def require_markable(observation: Observation, step_id: str, mark: Mark) -> Step:
    """The step, if the mark may be set on it now; raises Refused otherwise."""
    require_open(observation)
    step = step_in_play(observation, step_id)
    require_allowed(observation, step, mark)
    if step.variants and not observation.board.variant:
        raise Refused(
            "This step belongs to a variant, and none is chosen yet.",
            where=step.id,
            remedy="Choose the variant first.",
        )
    return step


def require_allowed(observation: Observation, step: Step, mark: Mark) -> None:
    """Refuse a mark that form, profile or variant do not let stand on a step (M1, M2)."""
    if mark.state is State.NOT_SEEN:
        raise Refused(
            "Not seen is not a mark.", where=step.id, remedy="Take the mark back, or go on."
        )
    if mark.state is State.NOT_APPLICABLE and not step.not_applicable:
        raise Refused(
            "The form does not let this step be not applicable.",
            where=step.id,
            remedy="Leave it not seen if you could not see it.",
        )
    if mark.state is State.DID_NOT_ARISE and not step.when:
        raise Refused(
            "This step does not depend on a circumstance, so it always arises.",
            where=step.id,
            remedy="Leave it not seen if you could not see it.",
        )
    variant = observation.board.variant
    if mark.voiced and not observation.ground.profile.may_be_voiced(step, variant):
        raise Refused(
            "This step must be performed; talking it through does not count.",
            where=step.id,
            remedy="Mark what was done by hand.",
        )


def move_to(observation: Observation, step_id: str) -> Drafts:
    """Say which step the learner is at now; steps jumped over stay not seen.

    An empty id goes past the last step. An earlier step is a visit.
    """
    require_open(observation)
    if step_id:
        step_in_play(observation, step_id)
    return (*clock_if_needed(observation), Draft("moved-to", {"step": step_id}))


def pass_unseen(observation: Observation) -> Drafts:
    """Leave the step in front unseen and go on to the next one."""
    order = [step.id for step in observation.steps]
    at = observation.board.at
    if at not in order:
        raise Refused("There is no step left to pass.", remedy="Rate and seal this attempt.")
    if at != observation.board.front:
        return move_to(observation, observation.board.front)
    later = order[order.index(at) + 1 :]
    return move_to(observation, later[0] if later else "")


def claim_order(observation: Observation, step_id: str) -> Drafts:
    """Record that a step was seen out of order (rule M5)."""
    require_open(observation)
    return (Draft("order-claimed", {"step": step_in_play(observation, step_id).id}),)


def choose_variant(observation: Observation, variant: str) -> Drafts:
    """Choose the variant; marks on steps that it lacks are taken out of force (rule F5)."""
    require_open(observation)
    known = {one.id for one in observation.ground.form.variants}
    if variant not in known:
        raise Refused(
            "The form has no such variant.", where=variant, remedy=f"Choose one of {sorted(known)}."
        )
    return (Draft("variant-chosen", {"variant": variant}),)


def lost_to_variant(observation: Observation, variant: str) -> tuple[str, ...]:
    """Steps whose marks would be taken back by changing to a variant, in order (rule F5)."""
    kept = {step.id for step in observation.ground.steps(variant)}
    return tuple(
        step.id
        for step in observation.steps
        if step.id in observation.board.placed and step.id not in kept
    )


def give_reason(observation: Observation, step_id: str, reason: str) -> Drafts:
    """Say why a step is not applicable."""
    require_open(observation, handed_allowed=True)
    step = step_in_play(observation, step_id)
    if not reason.strip():
        raise Refused("A reason is needed.", where=step.id, remedy="Choose or type one.")
    return (Draft("reason-given", {"step": step.id}, texts={"reason": reason.strip()}),)


def call_time(observation: Observation) -> Drafts:
    """At time-out, turn the steps that were not reached into not done (rule M4)."""
    require_open(observation)
    order = [step.id for step in observation.steps]
    front = observation.board.front
    ahead = order[order.index(front) :] if front in order else []
    steps = [one for one in ahead if observation.board.mark(one) == NOT_SEEN]
    if not steps:
        raise Refused("Every step was reached.", remedy="Rate and seal this attempt.")
    return (Draft("time-called", {"steps": steps}),)
