"""What a sheet tells a learner to keep and to change: chosen and worded, nothing computed.

The observer's own words come first. Whatever else is said, is said of steps that were seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from functools import cached_property

from observe.domain.board import Verdict
from observe.domain.decision import Outcome, Standing
from observe.domain.form import Step
from observe.domain.marks import Mark, State
from observe.domain.markwords import mark_words
from observe.domain.observation import Observation, Role, Slot, fold
from observe.domain.words import listed
from observe.sheets import content as sheet
from observe.work.debrief import AttemptResult
from observe.work.logbooks import Logbook
from observe.work.retest import Retest, agreed

MOST = 3
"""Strengths, and changes, on one sheet: each the observer's own first."""


class Advising:
    """The advice of one attempt. notes: by step id, each step as the sheet has it."""

    def __init__(
        self, logbook: Logbook, result: AttemptResult, notes: Mapping[str, sheet.StepNote]
    ) -> None:
        self.logbook = logbook
        self.result = result
        self.notes = notes
        self.seat = result.seat
        self.shown = result.together or result.reveals[0]
        self.state = self.shown.observation
        self.form = self.shown.evidence.form

    def written(self) -> sheet.Advice:
        """All of it."""
        strength, change = self._text(Slot.STRENGTH), self._text(Slot.CHANGE)
        of_strength, of_change = self._step_in(strength), self._step_in(change)
        retest = agreed(self.logbook, self.seat)
        work_on = tuple(self._work_on(MOST - bool(change), but=of_change))
        return sheet.Advice(
            strength=strength,
            change=change,
            strength_step=self._number(of_strength),
            change_step=self._number(of_change),
            kept=tuple(self._kept(MOST - bool(strength), but=of_strength)),
            work_on=work_on,
            next_step=self._next_step(work_on, retest),
            next_when=self._next_when(retest),
            goal=self._goal(),
            self_view=self._self_view(),
        )

    @cached_property
    def _own(self) -> Observation | None:
        """What the learner said of their own attempt on their own screen; None if nothing."""
        events = self.logbook.observation(self.seat.observation_of(self.seat.learner))
        if not events or self.seat.learner in self.seat.observers:
            return None
        own = fold(events, self.state.ground)
        return own if own.role is Role.SELF else None

    def _goal(self) -> str:
        event = self._own.texts.get(Slot.CHANGE, "") if self._own else ""
        return (self.logbook.log.text(event, "text") or "") if event else ""

    def _self_view(self) -> str:
        """The learner's grade and independence beside the observer's; empty without any."""
        if self._own is None:
            return ""
        said = []
        if self._own.overall is not None:
            highest = max(one.value for one in self.form.overall.grades)
            theirs = f"the observer gave {self.state.overall}" if self.state.overall else "no other"
            said.append(f"You gave yourself {self._own.overall} of {highest}; {theirs}.")
        levels = {one.level: one.label.rstrip(".") for one in self.form.independence}
        mine = levels.get(self._own.independence or 0)
        if mine:
            seen = levels.get(self.state.independence or 0, "not rated")
            said.append(f"Help: you said “{mine}”, the observer “{seen}”.")
        return " ".join(said)

    def _text(self, slot: str) -> str:
        event = self.state.texts.get(slot, "")
        return (self.logbook.log.text(event, "text") or "") if event else ""

    def _next_when(self, retest: Retest | None) -> str:
        """The day that was agreed, with time and place; only after remediation."""
        if self.result.outcome is not Outcome.REMEDIATE or retest is None:
            return ""
        return ", ".join(part for part in (day_in_words(retest.day), retest.where) if part)

    def _next_step(self, work_on: Sequence[sheet.WorkOn], retest: Retest | None) -> str:
        """What is to be practised before the procedure is shown again; only after remediation."""
        known = self.form.numbers_of(self.seat.variant)
        chosen = [known[one] for one in retest.steps if one in known] if retest else []
        found = chosen or [entry.number for entry in work_on]
        if self.result.outcome is not Outcome.REMEDIATE or not found:
            return ""
        numbers = [str(number) for number in sorted(found)]
        steps = f"step{'s' if len(numbers) > 1 else ''} {listed(numbers)}"
        then = "" if retest else "; agree on a day with the observer"
        return f"Practise {steps}, then show the procedure again{then}."

    def _step_in(self, words: str) -> str:
        """The step that somebody's words name, of those that were seen; empty if they name none."""
        named = [
            step
            for step in self.state.steps
            if self._mark(step).state.is_outcome and step.label.casefold() in words.casefold()
        ]
        return max(named, key=lambda step: len(step.label)).id if named else ""

    def _kept(self, most: int, *, but: str) -> Iterator[sheet.Kept]:
        """Steps done alone, the essential and weightiest first, unless something critical was seen.

        but: a step that the observer's own words speak of.
        """
        harmed = {
            step
            for one in self.result.reveals
            for part in one.parts
            for occurrence in part.occurrences
            if occurrence.verdict is not Verdict.WITHDRAWN
            and (item := self.form.critical.get(occurrence.item))
            for step in item.watch
        }
        done = [
            step
            for step in self.state.steps
            if (self._mark(step).state, self._mark(step).prompt) == (State.DONE, 0)
            and step.scored
            and step.id not in {but, *harmed}
        ]
        done.sort(key=lambda step: (not step.essential, -step.weight))
        for step in done[:most]:
            note = self.notes[step.id]
            voiced = ", said" if note.voiced else ""
            at = f" at {note.time}" if note.time else ""
            yield sheet.Kept(note.number, step.label, note.look, f"done alone{voiced}{at}")

    def _work_on(self, most: int, *, but: str) -> Iterator[sheet.WorkOn]:
        """The steps worth most: what failed a line first, then by weight, then by help needed."""
        failing = {
            step
            for line in self.shown.decision.lines
            if line.standing is Standing.FAILED
            for step in line.steps
        }
        short = [
            step for step in self.state.steps if _fell_short(self._mark(step)) and step.id != but
        ]
        short.sort(
            key=lambda step: (
                step.id not in failing,
                self._mark(step).state is State.DONE,
                -step.weight if step.scored else 0,
                -self._mark(step).prompt,
            )
        )
        for step in short[:most]:
            yield sheet.WorkOn(
                number=self.notes[step.id].number,
                label=step.label,
                look=self.notes[step.id].look,
                good=step.done,
                errors=step.errors,
                seen=mark_words(self._mark(step)),
            )

    def _number(self, step: str) -> int:
        return self.notes[step].number if step in self.notes else 0

    def _mark(self, step: Step) -> Mark:
        return self.shown.evidence.marks[step.id]


def _fell_short(mark: Mark) -> bool:
    if mark.state in (State.INCORRECT, State.NOT_DONE):
        return True
    return mark.state is State.DONE and mark.prompt > 1


def day_in_words(day: str) -> str:
    """A day as a person writes it: "14 March 2026". day: ISO."""
    found = date.fromisoformat(day)
    return f"{found.day} {found:%B %Y}"
