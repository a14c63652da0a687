"""What can be done with one cell: the marks offered, when it was seen, and why not. No painting."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from observe.desk.live import reading
from observe.desk.live.model import LiveModel, aside_state
from observe.desk.live.reading import NS
from observe.desk.live.seat import local_time
from observe.desk.live.shield import is_up
from observe.domain import gestures
from observe.domain.events import Draft
from observe.domain.form import Step
from observe.domain.gestures import Drafts
from observe.domain.marks import (
    DONE,
    INCORRECT,
    NOT_DONE,
    NOT_SEEN,
    Mark,
    PromptSource,
    State,
    standing,
)
from observe.domain.markwords import PROMPTS, mark_words
from observe.domain.observation import Observation
from observe.domain.printing import clock
from observe.domain.troubles import Refused
from observe.look.marks import MarkLook

MINUTE_NS = 60 * NS
LATE_WORDS = "a minute ago"
NOW_WORDS = "seen now"

VOICED = Mark(State.DONE, voiced=True)
PROMPTED = tuple(Mark(State.DONE, level, PromptSource.OBSERVER) for level in range(1, 5))


@dataclass(frozen=True, slots=True)
class MarkOffer:
    """One key of the strip. mark: not seen means that the mark is taken back, or gone past."""

    mark: Mark
    look: MarkLook
    word: str
    chosen: bool
    can: bool


@dataclass(frozen=True, slots=True)
class SeenTime:
    """When it was seen. observed_ns: on the attempt's clock; None is now."""

    words: str
    observed_ns: int | None


def step_of(observation: Observation, step: str) -> Step | None:
    """A step in play; None if this learner does not do it."""
    return next((one for one in observation.steps if one.id == step), None)


def mark_offers(observation: Observation, step: Step) -> tuple[MarkOffer, ...]:
    """The marks of rule M1 for one cell, as far as the form lets; not seen is the last."""
    now = observation.mark(step.id)
    aside = Mark(aside_state(step))
    did_not_arise = aside.state is State.DID_NOT_ARISE
    may_set_aside = did_not_arise or step.not_applicable
    offers = [
        _offer(observation, step, DONE, "Done"),
        *(
            _offer(observation, step, mark, PROMPTS[level])
            for level, mark in enumerate(PROMPTED, start=1)
        ),
        _offer(observation, step, INCORRECT, "Incorrect"),
        _offer(observation, step, NOT_DONE, "Not done"),
        _offer(
            observation,
            step,
            aside,
            "Did not arise" if did_not_arise else "Not appl.",
            can=may_set_aside,
        ),
    ]
    if observation.ground.profile.may_be_voiced(step, observation.board.variant):
        offers.append(_offer(observation, step, VOICED, "Voiced"))
    passed = observation.is_passed(step.id)
    unseen = now == NOT_SEEN
    offers.append(
        MarkOffer(
            NOT_SEEN,
            MarkLook.NOT_SEEN,
            "Not seen",
            chosen=unseen and passed,
            can=may_unmark(observation, step.id)
            or (unseen and (passed or step.id == observation.board.at)),
        )
    )
    return tuple(offers)


def _offer(
    observation: Observation, step: Step, mark: Mark, word: str, *, can: bool = True
) -> MarkOffer:
    """A mark; it can be pressed if it stands already or would change what stands (rule M2)."""
    now = observation.mark(step.id)
    chosen = _same(now, mark)
    placed = [one.mark for one in observation.board.placed.get(step.id, ())]
    would = standing([*placed, mark])
    return MarkOffer(
        mark, reading.mark_look(mark), word, chosen=chosen, can=can and (chosen or would != now)
    )


def _same(one: Mark, other: Mark) -> bool:
    same_help = one.prompt == other.prompt or one.state is not State.DONE
    return (one.state, one.voiced) == (other.state, other.voiced) and same_help


def may_unmark(observation: Observation, step: str) -> bool:
    """Whether the marks of one cell can be taken back without those of others."""
    placed = {one.entry for one in observation.board.placed.get(step, ())}
    kinds = {one.kind for one in observation.entries if one.id in placed}
    return bool(placed) and kinds == {"mark-set"}


def unmark(observation: Observation, step: str) -> Drafts:
    """Take back every mark of one step in one deed: it is not seen any more (rule E3)."""
    placed = observation.board.placed.get(step, ())
    if not placed:
        raise Refused("There is no mark to take back.", where=step, remedy="Set a mark first.")
    if not may_unmark(observation, step):
        raise Refused(
            "This mark was set for several steps when time was up.",
            where=step,
            remedy="Set the mark anew, or take back that time was up.",
        )
    events: dict[str, None] = {}
    for one in placed:
        for draft in gestures.take_back(observation, one.entry):
            events.update(dict.fromkeys(draft.body["events"]))
    return (Draft("taken-back", {"events": list(events)}),)


def seen_times(observation: Observation, step: Step, elapsed_ns: int) -> tuple[SeenTime, ...]:
    """When a step before the learner's may have been seen: now, about then, a minute ago.

    About then is the middle between the marks before and after it. Only "now" where
    the learner is not past the step, or the clock has not run yet.
    """
    offered = [SeenTime(NOW_WORDS, None)]
    if not observation.is_passed(step.id):
        return tuple(offered)
    about = _between(observation, step)
    if about is not None:
        offered.append(SeenTime(f"seen about {reading.ago(about)}", about))
    if elapsed_ns >= MINUTE_NS:
        offered.append(SeenTime(LATE_WORDS, elapsed_ns - MINUTE_NS))
    return tuple(offered)


def _between(observation: Observation, step: Step) -> int | None:
    ids = [one.id for one in observation.steps]
    here = ids.index(step.id)
    before = _first_seen(observation, reversed(ids[:here]))
    after = _first_seen(observation, ids[here + 1 :])
    return None if before is None or after is None else (before + after) // 2


def _first_seen(observation: Observation, ids: Iterable[str]) -> int | None:
    for step in ids:
        placed = observation.board.placed.get(step)
        if placed:
            return placed[-1].observed_ns
    return None


def may_be_now(observation: Observation, step: Step) -> bool:
    """Whether "is now here" would go on: the step is not behind the learner, nor in front."""
    return step.id != observation.board.at and not observation.is_passed(step.id)


def locked_words(model: LiveModel, seat: int) -> str:
    """Why no cell of a learner can be changed now; empty if they can."""
    state = model.state(seat)
    if state.sealed:
        return f"Sealed {local_time(state.sealed.at)}. Later changes are amendments, in Debrief."
    if state.void:
        return "This attempt is void. Take the void back at the seat, or seal it."
    if is_up(model):
        return "The shield is up. Let it down to see marks, and to repair them."
    if state.stopped:
        return "Stopped for safety. Go on at the seat first, or end the attempt."
    if model.trouble is not None:
        return "Nothing can be kept now. What was kept is safe; see the bar."
    return ""


def cell_words(observation: Observation, step: str) -> str:
    """What a cell is now, and when: "incorrect, 09:21", "done, seen 09:21, entered 12:40"."""
    mark = observation.mark(step)
    placed = observation.board.placed.get(step, ())
    if mark == NOT_SEEN:
        if step == observation.board.at:
            return "the learner is here now"
        return "not seen" if observation.is_passed(step) else "ahead"
    said = mark_words(mark)
    if not placed:
        return said
    last = placed[-1]
    if last.is_late:
        return f"{said}, seen {clock(last.observed_ns)}, entered {clock(last.entered_ns)}"
    return f"{said}, {clock(last.observed_ns)}"


def rule_words(observation: Observation, step: str) -> str:
    """What a new mark does to the one that stands; empty where none does."""
    mark = observation.mark(step)
    placed = observation.board.placed.get(step, ())
    if not placed:
        return ""
    if not may_unmark(observation, step):
        return "It was set when time was up. A new mark is added."
    if mark.prompt > 1 or (mark.prompt and mark.state is State.DONE):
        return "The highest prompt stands; for less, press Not seen first."
    return "The new mark is added, the old one stays in the log."
