"""The state of one step in one observation (rules M1 to M3, S5)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Any

from observe.domain.form import Credit


class State(StrEnum):
    """What is known of a step. The first three are outcomes."""

    DONE = "done"
    INCORRECT = "incorrect"
    NOT_DONE = "not-done"
    NOT_APPLICABLE = "not-applicable"
    DID_NOT_ARISE = "did-not-arise"
    NOT_SEEN = "not-seen"

    @property
    def is_outcome(self) -> bool:
        return self in _OUTCOMES


_OUTCOMES = frozenset({State.DONE, State.INCORRECT, State.NOT_DONE})


class PromptSource(StrEnum):
    OBSERVER = "observer"
    ASSISTANT = "assistant"
    PEER = "peer"


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark.

    prompt: 0 none, 1 open question, 2 verbal cue, 3 demonstration or hand
        guidance, 4 the observer took over.
    source: who prompted; None when nobody did.
    voiced: talked through instead of performed, as far as the step allows it.
    """

    state: State
    prompt: int = 0
    source: PromptSource | None = None
    voiced: bool = False

    def __post_init__(self) -> None:
        if not 0 <= self.prompt <= 4:
            raise ValueError(f"a prompt level is 0 to 4, not {self.prompt}")
        if not self.state.is_outcome and (self.prompt or self.voiced):
            raise ValueError(f"a step that is {self.state} has no prompt and is not voiced")
        if self.source is not None and not self.prompt:
            raise ValueError("nobody is the source of a prompt that was not given")


NOT_SEEN = Mark(State.NOT_SEEN)
DONE = Mark(State.DONE)
INCORRECT = Mark(State.INCORRECT)
NOT_DONE = Mark(State.NOT_DONE)
NOT_APPLICABLE = Mark(State.NOT_APPLICABLE)
DID_NOT_ARISE = Mark(State.DID_NOT_ARISE)


def standing(marks: Iterable[Mark]) -> Mark:
    """The mark that stands of all that were set on one step, oldest first.

    The last outcome stands, and the highest prompt (rule M2); of equal prompts the
    later one names the source. No marks: not seen.
    """
    last = NOT_SEEN
    highest, source = 0, None
    for mark in marks:
        last = mark
        if mark.state.is_outcome and mark.prompt >= highest:
            highest, source = mark.prompt, mark.source
    if not last.state.is_outcome or last.prompt >= highest:
        return last
    return Mark(last.state, highest, source, last.voiced)


def credit(mark: Mark, table: Credit) -> Fraction:
    """The share of its weight that a mark earns, within [0, 1] (rule M3).

    Raises ValueError for a mark that is no outcome: it has no credit, not even 0.
    """
    if mark.state is State.DONE:
        return table.done[mark.prompt]
    if mark.state is State.INCORRECT:
        return table.incorrect[mark.prompt]
    if mark.state is State.NOT_DONE:
        return table.not_done
    raise ValueError(f"a step that is {mark.state} has no credit")


def at_most(lower: Mark, upper: Mark) -> bool:
    """Whether `lower` ≤ `upper` in the partial order of marks (rule S5).

    Not done, incorrect and prompt 4 are the bottom; done alone is the top. Marks
    without an outcome compare only with themselves.
    """
    if lower == upper:
        return True
    if not (lower.state.is_outcome and upper.state.is_outcome):
        return False
    return _height(lower) <= _height(upper)


def _height(mark: Mark) -> int:
    return 4 - mark.prompt if mark.state is State.DONE else 0


def record(mark: Mark) -> dict[str, Any]:
    """A mark as an event holds it; what is not the case is left out."""
    kept: dict[str, Any] = {"state": mark.state.value}
    if mark.prompt:
        kept["prompt"] = mark.prompt
    if mark.source is not None:
        kept["source"] = mark.source.value
    if mark.voiced:
        kept["voiced"] = True
    return kept


def from_record(kept: Mapping[str, Any]) -> Mark:
    """The mark that an event holds. Raises ValueError if it holds none."""
    prompt, source = kept.get("prompt", 0), kept.get("source")
    voiced = kept.get("voiced", False)
    if type(prompt) is not int or type(voiced) is not bool:
        raise ValueError("a prompt level is a whole number, and voiced is true or false")
    return Mark(
        State(kept.get("state", "")),
        prompt,
        None if source is None else PromptSource(source),
        voiced,
    )
