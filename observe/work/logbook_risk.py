"""The director's questions about the decisions in a logbook: what would flip each, and how sure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from observe.domain.decision import Outcome
from observe.domain.flipping import Flip, smallest_flip
from observe.domain.markwords import mark_words
from observe.domain.words import listed
from observe.domain.workshop import Seat, Workshop
from observe.work.agree import agreements
from observe.work.debrief import AttemptResult, attempt_result
from observe.work.logbooks import Logbook

if TYPE_CHECKING:
    from observe.standards.whole_rule import WholeRule

ASSUMED = 0.05
"""The chance to err on a step that is taken where second looks cannot tell one."""


@dataclass(frozen=True, slots=True)
class AttemptFlip:
    """One decided attempt and the smallest change that would flip it, with labels for people."""

    workshop: Workshop
    seat: Seat
    learner: str
    outcome: Outcome
    flip: Flip
    steps: tuple[str, ...]
    items: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """What would flip it."""
        if self.flip.why:
            return self.flip.why
        verb = "not done" if self.flip.to is Outcome.REMEDIATE else "done"
        parts = [f"not fatal: {'; '.join(self.items)}"] if self.items else []
        parts += [f"{verb}: {'; '.join(self.steps)}"] if self.steps else []
        return f"It would be {self.flip.to.value}, were {listed(parts)}."


@dataclass(frozen=True)
class LogbookRisk:
    """What the logbook comes to. rule: None where no attempt is decided.

    step_error: the chance to err on a step; pairs: seen by two that it rests on, 0 where it is
    assumed. critical_error: likewise of critical items, by assumption.
    """

    flips: tuple[AttemptFlip, ...]
    rule: WholeRule | None
    pairs: int
    step_error: float
    critical_error: float
    notes: tuple[str, ...]


def logbook_risk(
    logbook: Logbook,
    *,
    records: int = 100,
    seed: int = 1,
    step_error: float | None = None,
    critical_error: float = 0.02,
    tick: Callable[[int, int], None] | None = None,
) -> LogbookRisk:
    """Ask both questions of every attempt that all who watched it have sealed.

    step_error: None takes it from the planned second looks, where they tell one.
    """
    from observe.standards.whole_rule import error_from_disagreement, whole_rule

    names = logbook.names()
    flips, shown = [], []
    differing = pairs = 0
    for workshop in logbook.workshops().values():
        for seat in workshop.seats:
            result = attempt_result(logbook, workshop, seat)
            one = _flip(workshop, seat, result, names.get(seat.learner, seat.learner))
            if one is not None:
                flips.append(one)
                shown.append(result.reveals[0].evidence)
        for each in agreements(logbook, workshop):
            for step in each.steps:
                _, first, second, _ = step.counts
                differing += first + second
                pairs += step.pairs
    found = error_from_disagreement(differing, pairs)
    notes = []
    if step_error is None and found is None:
        notes.append(
            f"Second looks tell no chance to err, so {100 * ASSUMED:g} % a step is assumed."
        )
        pairs = 0
    error = step_error if step_error is not None else ASSUMED if found is None else found
    notes.append(
        "What was recorded is taken for what happened, and is recorded anew by an observer who "
        f"errs on {100 * error:.1f} % of steps and {100 * critical_error:.1f} % of critical items."
    )
    rule = None
    if shown:
        rule = whole_rule(
            shown, error, critical_error=critical_error, records=records, seed=seed, tick=tick
        )
    return LogbookRisk(tuple(flips), rule, pairs, error, critical_error, tuple(notes))


def _flip(
    workshop: Workshop, seat: Seat, result: AttemptResult, learner: str
) -> AttemptFlip | None:
    """What would flip an attempt that one observer decided; None for any other."""
    if result.is_void or len(result.reveals) != 1 or result.overruled is not None:
        return None
    evidence = result.reveals[0].evidence
    flip = smallest_flip(evidence)
    if flip is None or result.outcome is None:
        return None
    numbers = result.reveals[0].observation.numbers
    steps = tuple(
        f"step {numbers[id]} “{evidence.form.step[id].label}” "
        f"(recorded: {mark_words(evidence.marks[id])})"
        for id in flip.steps
    )
    items = tuple(f"“{evidence.form.critical[id].label}”" for id in flip.criticals)
    return AttemptFlip(workshop, seat, learner, result.outcome, flip, steps, items)
