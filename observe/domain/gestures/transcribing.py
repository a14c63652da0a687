"""Typing in what was marked on paper at the time (rule D2)."""

from __future__ import annotations

from observe.domain.events import Draft
from observe.domain.gestures.guards import Drafts, require_open
from observe.domain.gestures.leaving import is_begun
from observe.domain.observation import Observation
from observe.domain.transcript import Transcript
from observe.domain.troubles import Refused


def begin_transcription(observation: Observation, transcript: Transcript) -> Drafts:
    """Type a paper into an observation that was opened and not begun.

    Raises Refused where it was marked live, was handed over, or is another's.
    """
    require_open(observation)
    if observation.is_typed:
        return ()
    if is_begun(observation):
        raise Refused(
            "This attempt was marked live; a paper is not typed over it.",
            remedy="Add single marks later, each with the time at which it was seen.",
        )
    if transcript.watched_by != observation.observer:
        raise Refused(
            "Another observer watched this attempt.", remedy="Choose who marked the paper."
        )
    return (Draft("transcription-begun", transcript.as_record()),)


def mark_live_again(observation: Observation, reason: str) -> Drafts:
    """Open a typed observation for marking live; what was typed stays."""
    require_open(observation)
    if not observation.is_typed:
        raise Refused("Nothing is being typed here.", remedy="Go on marking.")
    if not reason.strip():
        raise Refused("A reason is needed.", remedy="Say why.")
    return (Draft("transcription-ended", texts={"reason": reason.strip()}),)


def leave_untyped(observation: Observation) -> Drafts:
    """End the typing of a paper of which nothing was typed; the attempt is open as before."""
    require_open(observation)
    if observation.is_typed_in:
        raise Refused("A paper is typed in here.", remedy="Go on typing.")
    return (Draft("transcription-ended"),) if observation.is_typed else ()


def type_time(observation: Observation, spent_ns: int) -> Drafts:
    """Type the time that the attempt took, as the paper says it, in nanoseconds."""
    require_open(observation)
    if not observation.is_typed:
        raise Refused(
            "The time is typed where a paper is typed in.", remedy="Let the clock measure it."
        )
    if spent_ns < 0:
        raise Refused("No attempt takes less than no time.", remedy="Type it as on the paper.")
    return (Draft("time-typed", {"spent_ns": spent_ns}),)
