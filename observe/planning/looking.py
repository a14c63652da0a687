"""Where to look next: at whom something worth seeing would be missed soonest.

For each learner the marks say which step was reached when, and how fast they go; the rest
is a guess that spreads with time. The seat is suggested at which a look promises most of
what a critical item watches and of what is essential.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from observe.domain.bodies import Because
from observe.domain.form import Form, Step
from observe.planning.pace import Pace, Sighting, paces

ON_BY_DEFAULT = True
"""As measured: it may be on only if it is nowhere worse on the grid than it may be."""
ARRIVES_NS = 2_500_000_000.0
"""From the lamp to the seat."""
LOOK_NS = 15_000_000_000.0
"""What a look is taken to last."""
SHARE = 1 / 3
"""A look shows a step from which at most two thirds are still to come when it ends."""
STEP_VARIES = 0.5
"""Coefficient of variation of the time of one step."""
CRITICAL, ESSENTIAL, OTHER = 1.0, 0.9, 0.1
"""What seeing a step is worth: watched by a critical item, essential, any other."""
WAITS, PATIENCE = 0.15, 0.5
"""What each round without a look is worth, and the rounds for which it is worth nothing yet."""
LONG = 2.0
"""After so many rounds without a look nothing else goes before it."""
LEAST = 0.15
"""Under this a look is not worth a lamp."""
LIKELY = 0.02
"""Chances under this are left out."""


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
    """Where to look. step: id of the step that is due, or that they are at if it is long ago."""

    seat: int
    step: str
    because: Because
    waited_ns: int
    worth: float

    @property
    def what(self) -> tuple[int, str, Because]:
        """What is suggested; where this stays the same, nothing new is said."""
        return self.seat, self.step, self.because


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
        if found is not None and (best is None or found.worth > best.worth):
            best = found
    return best if best is not None and best.worth >= LEAST else None


def _promise(learner: Learner, pace: Pace, rivals: int) -> Suggestion | None:
    """What a look at a learner promises, and for which step; None if every step is marked."""
    total, most, due = 0.0, 0.0, -1
    for place, chance in _chances(learner, pace):
        part = learner.stages[place].worth * chance
        total += part
        if part > most:
            most, due = part, place
    if due < 0:
        due = _unmarked(learner)
    if due < 0:
        return None
    waited = learner.waited_ns
    rounds = waited / (rivals * (LOOK_NS + ARRIVES_NS))
    rest = WAITS * (rounds - PATIENCE) + (rounds > LONG) if rounds > PATIENCE else 0.0
    stage = learner.stages[due]
    because = Because.CRITICAL if stage.critical else Because.ESSENTIAL
    if rest >= most or stage.worth == OTHER:
        because = Because.UNSEEN
    return Suggestion(learner.seat, stage.id, because, waited, total + rest)


def _unmarked(learner: Learner) -> int:
    """The place of the step a learner is at by their marks, else the first unmarked; −1: none."""
    last = len(learner.stages)
    order = (*range(learner.front, last), *range(last))
    return next((place for place in order if place not in learner.marked), -1)


def _chances(learner: Learner, pace: Pace) -> list[tuple[int, float]]:
    """Places of unmarked steps that a look may show, each with its chance.

    A look from a to b shows a step that ends after a and of which, by b, a share is
    done. The end of the nth step ahead is taken as normal, with the variance of n
    steps and the uncertainty of the pace. Written flat: it is asked every second.
    """
    step, erf = pace.step_ns, math.erf
    arrives = learner.now_ns - learner.since_ns + ARRIVES_NS
    shows = arrives + LOOK_NS - SHARE * step
    own, drift = 2 * STEP_VARIES**2, 2 * pace.spread**2
    marked, found = learner.marked, []
    ahead, begun = 0, 1.0
    for place in range(learner.front, len(learner.stages)):
        if place in marked:
            continue
        ahead += 1
        mean = ahead * step
        deviation = step * math.sqrt(ahead * (own + ahead * drift))
        chance = begun - 0.5 - 0.5 * erf((arrives - mean) / deviation)
        if chance > LIKELY:
            found.append((place, chance))
        begun = 0.5 + 0.5 * erf((shows - mean) / deviation)
        if begun < LIKELY:
            break
    return found
