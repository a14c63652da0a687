"""One mark for several learners at once, with exceptions."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from observe.domain.gestures.guards import Drafts
from observe.domain.gestures.marking import mark as marked
from observe.domain.gestures.marking import require_markable
from observe.domain.marks import NOT_SEEN, Mark
from observe.domain.observation import Observation
from observe.domain.troubles import Refused


class Part(StrEnum):
    """What a mark for several does to one of them."""

    TAKEN_IN = "taken in"
    LEFT_OUT = "left out"
    MARKED = "marked already"


@dataclass(frozen=True, slots=True)
class Share:
    """One learner's part in a mark for several.

    mark: the mark that stands there now. reason: why the learner is left out, in a few
    words; empty otherwise. may_change: whether the observer may decide otherwise.
    """

    observation: str
    part: Part
    mark: Mark
    reason: str = ""
    may_change: bool = True


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A mark for several, with the exceptions that the observer made."""

    step: str
    mark: Mark
    form: str
    absent: Collection[str]
    taken_in: Collection[str]
    left_out: Collection[str]


def shares(
    observations: Iterable[Observation],
    step_id: str,
    mark: Mark,
    *,
    form: str = "",
    absent: Collection[str] = (),
    taken_in: Collection[str] = (),
    left_out: Collection[str] = (),
) -> tuple[Share, ...]:
    """What a mark on one step would do to each learner, in the order given.

    A mark that stands on the step stays. Who has no such step, or is absent, sealed, void,
    handed over or stopped for safety, cannot be taken in; who is paused, or past the step,
    is left out unless the observer says otherwise. form: whole digest of the form whose
    step it is; empty where all have the same. absent, taken_in, left_out: ids of
    observations of learners who are not here, and of those where the observer decides.
    """
    wanted = _Wanted(step_id, mark, form, absent, taken_in, left_out)
    return tuple(_share(one, wanted) for one in observations)


def _share(observation: Observation, wanted: _Wanted) -> Share:
    standing = observation.mark(wanted.step)
    hindrance = _hindrance(observation, wanted)
    if hindrance:
        return Share(observation.id, Part.LEFT_OUT, standing, hindrance, may_change=False)
    if standing != NOT_SEEN:
        return Share(observation.id, Part.MARKED, standing, may_change=False)
    if observation.id in wanted.left_out:
        return Share(observation.id, Part.LEFT_OUT, standing, "left out by you")
    doubt = _doubt(observation, wanted.step)
    if doubt and observation.id not in wanted.taken_in:
        return Share(observation.id, Part.LEFT_OUT, standing, doubt)
    return Share(observation.id, Part.TAKEN_IN, standing)


def _hindrance(observation: Observation, wanted: _Wanted) -> str:
    """Why a learner cannot be taken in; empty if they can."""
    steps = {one.id: one for one in observation.steps}
    step = steps.get(wanted.step)
    hindrances = {
        "absent": observation.id in wanted.absent,
        "has another form": wanted.form not in ("", observation.ground.form.whole_digest),
        "sealed": observation.sealed,
        "void": observation.void,
        "handed over": observation.handed,
        "stopped for safety": observation.stopped,
        "has no such step": step is None,
        "variant not chosen": step and step.variants and not observation.board.variant,
    }
    for words, holds in hindrances.items():
        if holds:
            return words
    may = _may_stand(observation, wanted.step, wanted.mark)
    return "" if may else "this mark is not allowed here"


def _may_stand(observation: Observation, step_id: str, mark: Mark) -> bool:
    """Whether the mark may be set, or another one stands there that stays."""
    if observation.mark(step_id) != NOT_SEEN:
        return True
    try:
        require_markable(observation, step_id, mark)
    except Refused:
        return False
    return True


def _doubt(observation: Observation, step_id: str) -> str:
    """Why a learner is left out unless the observer says otherwise; empty if there is none."""
    if observation.clock.started and not observation.clock.is_running:
        return "paused"
    return "past this step" if observation.is_passed(step_id) else ""


def mark_together(
    observations: Iterable[Observation], found: Sequence[Share], step_id: str, mark: Mark
) -> Mapping[str, Drafts]:
    """Set a mark for all who take part; drafts by the observation they belong to.

    found: the shares of the same mark. Raises Refused if nobody takes part. Each
    learner's part is theirs alone to take back.
    """
    taking = {one.observation for one in found if one.part is Part.TAKEN_IN}
    if not taking:
        raise Refused(
            "Nobody is left to mark here.",
            where=step_id,
            remedy="Take somebody in, or choose another step.",
        )
    return {
        one.id: _counted(marked(one, step_id, mark), len(taking))
        for one in observations
        if one.id in taking
    }


def _counted(drafts: Drafts, learners: int) -> Drafts:
    """The drafts, each mark with the number of learners that it was set for at once."""
    return tuple(
        replace(one, body={**one.body, "together": learners}) if one.kind == "mark-set" else one
        for one in drafts
    )
