"""Free text of an observation."""

from __future__ import annotations

from observe.domain.events import Draft
from observe.domain.gestures.guards import Drafts, require_open, step_in_play
from observe.domain.observation import Observation, Slot
from observe.domain.troubles import Refused


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
