"""Where to look next: at whom something worth seeing would be missed soonest.

For each learner the marks say which step was reached when, and how fast they go; the rest
is a guess that spreads with time. The seat is suggested at which a look promises most of
what a critical item watches and of what is essential.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from observe.domain.form import Form, Step
from observe.planning.pace import Pace, Sighting, paces

ARRIVES_NS = 2_500_000_000.0
"""From the lamp to the seat."""
LOOK_NS = 15_000_000_000.0
"""What a look is taken to last."""
SHARE = 1 / 3
"""A look shows a step from which at most two thirds are still to come when it ends."""
STEP_VARIES = 0.5
"""Coefficient of variation of the time of one step."""
CRITICAL, ESSENTIAL, OTHER = 1.0, 0.5, 0.1
"""What seeing a step is worth: watched by a critical item, essential, any other."""
SOON = 0.5
"""How much what would be over by the next look counts against what can be seen now."""
WAITS = 0.1
"""What a whole round without a look is worth."""
LEAST = 0.15
"""Under this a look is not worth a lamp."""
_LIKELY = 0.02
_ROOT_2 = math.sqrt(2)


class Because(StrEnum):
    """Why a seat is suggested; as the log holds it."""

    CRITICAL = "critical"
    ESSENTIAL = "essential"
    UNSEEN = "unseen"


@dataclass(frozen=True, slots=True)
class Stage:
    """A step as the cue knows it: whether a critical item watches it, whether it is essential."""

    id: str
    critical: bool = False
    essential: bool = False

    @property
    def worth(self) -> float:
        """What seeing it is worth; a step that is both counts as watched by a critical item."""
        return CRITICAL if self.critical else ESSENTIAL if self.essential else OTHER


@dataclass(frozen=True, slots=True)
class Learner:
    """One learner at the moment of asking. Times are ns on the attempt's own clock.

    seat: from 0. stages: the steps in play, in order. marked: places of those
    that have a mark. front: place of the step they are at by the last mark, or
    the number of stages past the last; since_ns: when they got there. seen: the
    marks as they were seen, in the order of time. now_ns: the clock now;
    looked_ns: at the last look.
    """

    seat: int
    running: bool
    stages: Sequence[Stage]
    marked: frozenset[int]
    front: int
    since_ns: int
    seen: Sequence[Sighting]
    now_ns: int
    looked_ns: int

    @property
    def waited_ns(self) -> int:
        """Time since the last look, never negative."""
        return max(0, self.now_ns - self.looked_ns)


@dataclass(frozen=True, slots=True)
class Suggestion:
    """Where to look. step: id of the step that is due; empty if it is only long ago."""

    seat: int
    step: str
    because: Because
    waited_ns: int
    worth: float


def stages_of(form: Form, steps: Sequence[Step]) -> tuple[Stage, ...]:
    """What the cue knows of some steps of a form, in their order."""
    watched = {step for item in form.criticals for step in item.watch}
    return tuple(Stage(step.id, step.id in watched, step.essential) for step in steps)


def suggested(learners: Sequence[Learner]) -> Suggestion | None:
    """The seat to look at next, or None where no look is worth it.

    The same learners, the same answer; of equals the first. Work is proportional
    to learners times the steps each may have reached.
    """
    running = [one for one in learners if one.running]
    best: Suggestion | None = None
    for learner, pace in zip(running, paces([one.seen for one in running]), strict=True):
        found = _promise(learner, pace, len(running))
        if best is None or found.worth > best.worth:
            best = found
    return best if best is not None and best.worth >= LEAST else None


def _promise(learner: Learner, pace: Pace, rivals: int) -> Suggestion:
    """What a look at a learner promises, and which step gives most of it."""
    total, most, due = 0.0, 0.0, -1
    for place, chance in _chances(learner, pace):
        part = learner.stages[place].worth * chance
        total += part
        if part > most and not (due >= 0 and learner.stages[place].worth < CRITICAL <= most):
            most, due = part, place
    waited = learner.waited_ns
    left = len(learner.marked) < len(learner.stages)
    rest = WAITS * waited / (rivals * (LOOK_NS + ARRIVES_NS)) if left else 0.0
    stage = learner.stages[due] if due >= 0 and most > rest else None
    if stage is None or stage.worth == OTHER:
        return Suggestion(learner.seat, "", Because.UNSEEN, waited, total + rest)
    because = Because.CRITICAL if stage.critical else Because.ESSENTIAL
    return Suggestion(learner.seat, stage.id, because, waited, total + rest)


def _chances(learner: Learner, pace: Pace) -> list[tuple[int, float]]:
    """Places of unmarked steps that a look may show, each with how much that counts.

    A look from a to b shows a step that ends after a and has begun a share of its
    time before b; it is missed by the next look if it ends before that one comes.
    """
    step, arrives = pace.step_ns, learner.now_ns - learner.since_ns + ARRIVES_NS
    leaves = arrives + LOOK_NS - SHARE * step
    again = arrives + LOOK_NS + ARRIVES_NS
    found = []
    gone, begun, gone_again = 1.0, 1.0, 1.0
    ahead = 0
    for place in range(learner.front, len(learner.stages)):
        if place in learner.marked:
            continue
        if begun < _LIKELY:
            break
        ahead += 1
        mean = ahead * step
        deviation = step * math.sqrt(ahead * STEP_VARIES**2 + (ahead * pace.spread) ** 2) * _ROOT_2
        gone = _reached(arrives, mean, deviation)
        gone_again = _reached(again, mean, deviation)
        shown = max(0.0, begun - gone)
        chance = (1 - SOON) * shown + SOON * min(shown, gone_again - gone)
        if chance > _LIKELY:
            found.append((place, chance))
        begun = _reached(leaves, mean, deviation)
    return found


def _reached(now: float, mean: float, deviation: float) -> float:
    """The chance that a step is over by now. deviation: times the root of two."""
    return 0.5 + 0.5 * math.erf((now - mean) / deviation)
