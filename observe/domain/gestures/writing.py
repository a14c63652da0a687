"""Free text of an observation, and the form's own phrases in it."""

from __future__ import annotations

from observe.domain.events import Draft
from observe.domain.gestures.guards import Drafts, require_open, step_in_play
from observe.domain.observation import Observation, Slot
from observe.domain.troubles import Refused

BETWEEN = "; "
"""What stands between a phrase and the text beside it."""


def write(observation: Observation, slot: str, text: str) -> Drafts:
    """Write free text into a slot: strength, change, note, or "step:ID". No text clears it."""
    require_open(observation, handed_allowed=True)
    if slot not in set(Slot):
        place, _, step_id = slot.partition(":")
        if place != "step":
            raise Refused(
                "There is no place for such a text.", where=slot, remedy="Write a note instead."
            )
        step_in_play(observation, step_id)
    written = text.strip()
    if not written:
        return (Draft("text-written", {"slot": slot, "cleared": True}),)
    return (Draft("text-written", {"slot": slot}, texts={"text": written}),)


def step_slot(step_id: str) -> str:
    """The slot of the text to a learner about one step."""
    return f"step:{step_id}"


def has_phrase(text: str, phrase: str) -> bool:
    """Whether a phrase stands in a text as a part of its own."""
    return f"{BETWEEN}{phrase}{BETWEEN}" in f"{BETWEEN}{text.strip()}{BETWEEN}"


def add_phrase(observation: Observation, step_id: str, phrase: str, *, text: str = "") -> Drafts:
    """Add one of the form's phrases to what is written to the learner about a step.

    text: what is written so far; it stays as it was typed.
    """
    step = step_in_play(observation, step_id)
    if phrase not in step.errors:
        raise Refused(
            "The form has no such phrase for this step.",
            where=step.id,
            remedy="Choose one of its phrases, or type it.",
        )
    if has_phrase(text, phrase):
        raise Refused(
            "That is written there already.", where=step.id, remedy="Choose another phrase."
        )
    parts = [part for part in (text.strip(), phrase) if part]
    return write(observation, step_slot(step.id), BETWEEN.join(parts))


def remove_phrase(observation: Observation, step_id: str, phrase: str, *, text: str) -> Drafts:
    """Take a phrase out of what is written about a step; what was typed beside it stays."""
    step = step_in_play(observation, step_id)
    if not has_phrase(text, phrase):
        raise Refused(
            "That is not written there.", where=step.id, remedy="Change the text by hand."
        )
    whole = f"{BETWEEN}{text.strip()}{BETWEEN}"
    left = whole.replace(f"{BETWEEN}{phrase}{BETWEEN}", BETWEEN, 1)
    return write(observation, step_slot(step.id), left[len(BETWEEN) : -len(BETWEEN)])
