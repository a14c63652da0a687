"""Words for marks: the state of a step, and with how much help."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from observe.domain.marks import Mark, State

PROMPTS: Sequence[str] = ("alone", "asked", "cued", "guided", "took over")
"""Prompt levels 0 to 4 in one word."""

STATES: Mapping[State, str] = MappingProxyType(
    {
        State.DONE: "done",
        State.INCORRECT: "incorrect",
        State.NOT_DONE: "not done",
        State.NOT_APPLICABLE: "not applicable",
        State.DID_NOT_ARISE: "did not arise",
        State.NOT_SEEN: "not seen",
    }
)


def mark_words(mark: Mark) -> str:
    """A mark in words: "done", "done, prompt 2 (cued)", "incorrect, prompt 1 (asked)", "voiced"."""
    said = STATES[mark.state]
    if mark.voiced:
        said += ", voiced"
    if mark.prompt:
        said += f", prompt {mark.prompt} ({PROMPTS[mark.prompt]})"
    return said
