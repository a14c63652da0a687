"""What every gesture asks first: that it may still be done, and that what it names is there."""

from __future__ import annotations

from collections.abc import Iterable

from observe.domain.board import Occurrence
from observe.domain.events import Draft
from observe.domain.form import Step
from observe.domain.observation import Observation
from observe.domain.troubles import Refused

Drafts = tuple[Draft, ...]


def require_open(
    observation: Observation, *, void_allowed: bool = False, handed_allowed: bool = False
) -> None:
    """Refuse once it is sealed or, unless allowed, void or handed to another observer."""
    if observation.sealed:
        raise Refused(
            "This observation is sealed.", remedy="Change it by an amendment, with a reason."
        )
    if observation.void and not void_allowed:
        raise Refused("This attempt is void.", remedy="Take the void back, or seal it.")
    if observation.handed and not handed_allowed:
        raise Refused(
            "This attempt was handed to another observer.",
            remedy="Say what is still asked, and seal your part.",
        )


def require_sealed(observation: Observation, reason: str) -> None:
    """Refuse before the seal, for a void attempt, and without a reason."""
    if not observation.sealed:
        raise Refused("It is not sealed yet.", remedy="Set the mark anew, or take it back.")
    if observation.void:
        raise Refused(
            "This attempt is void; there is nothing to amend.",
            remedy="Let the learner start a new attempt.",
        )
    if not reason.strip():
        raise Refused("An amendment needs a reason.", remedy="Say why.")


def require_other(observation: Observation, countersigned: str) -> None:
    """Refuse a countersignature by the observer."""
    if countersigned == observation.observer:
        raise Refused(
            "Nobody countersigns for themselves.", remedy="Ask the director to countersign."
        )
    if countersigned and countersigned == observation.learner:
        raise Refused(
            "A learner does not countersign their own attempt.",
            remedy="Ask the director to countersign.",
        )
    if countersigned in observation.typists:
        raise Refused(
            "Who typed it does not countersign it.", remedy="Ask the director to countersign."
        )


def require_grade(value: int, allowed: Iterable[int]) -> None:
    """Refuse a value that is not among those of a scale."""
    values = list(allowed)
    if value not in values:
        raise Refused(f"{value} is not on the scale.", remedy=f"Choose one of {values}.")


def step_in_play(observation: Observation, step_id: str) -> Step:
    """The step of this id. Raises Refused if the attempt has none such."""
    step = next((one for one in observation.steps if one.id == step_id), None)
    if step is None:
        raise Refused(
            "This attempt has no such step.",
            where=step_id,
            remedy="Choose a step of the variant and of today's profile.",
        )
    return step


def occurrence_known(observation: Observation, occurrence: str) -> Occurrence:
    """The occurrence of this id. Raises Refused if none such is recorded."""
    found = next((one for one in observation.occurrences if one.id == occurrence), None)
    if found is None:
        raise Refused(
            "No such critical event is recorded.",
            where=occurrence,
            remedy="Choose one of those recorded, or record it.",
        )
    return found


def require_item(observation: Observation, item: str) -> None:
    """Refuse what is no critical item of the form."""
    if item not in observation.ground.form.critical:
        raise Refused(
            "The form has no such critical item.",
            where=item,
            remedy="Choose one of the form's critical items.",
        )


def seen_at(observed_ns: int | None) -> dict[str, int]:
    """What an entry says of the clock when it was seen; nothing if it was seen as entered."""
    if observed_ns is None:
        return {}
    if observed_ns < 0:
        raise Refused(
            "Nothing was seen before the clock started.",
            remedy="Give a time on the attempt's clock.",
        )
    return {"observed_ns": observed_ns}


def clock_if_needed(observation: Observation) -> Drafts:
    """What starts the clock with the first mark; nothing once it was started or stopped.

    While a paper is typed in, no clock runs.
    """
    waits = observation.clock.started is None and observation.stopped is None
    return (Draft("clock-started"),) if waits and not observation.is_typed else ()


def require_live(observation: Observation) -> None:
    """Refuse while a paper is typed in: what it tells is over."""
    if observation.is_typed:
        raise Refused(
            "This attempt is over; it is typed in from paper.",
            remedy="Type the time it took, and what became of it.",
        )
