"""Critical events: recorded, named, classified, watched (rules C1 to C3)."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from observe.domain.board import Occurrence, Verdict, fits_occurrence, verdicts_for
from observe.domain.events import Draft
from observe.domain.gestures.guards import (
    Drafts,
    clock_if_needed,
    occurrence_known,
    require_item,
    require_open,
    seen_at,
)
from observe.domain.observation import Observation
from observe.domain.troubles import Refused


def record_critical(
    observation: Observation, item: str = "", *, observed_ns: int | None = None
) -> Drafts:
    """Keep the time of a critical event; which one may be said later.

    observed_ns: the attempt's clock when it was seen, for one entered late.
    """
    require_open(observation)
    if item:
        require_item(observation, item)
    body: dict[str, Any] = {"item": item, **seen_at(observed_ns)}
    return (*clock_if_needed(observation), Draft("critical-recorded", body))


def name_critical(observation: Observation, occurrence: str, item: str) -> Drafts:
    """Say which critical item an occurrence was."""
    require_open(observation, handed_allowed=True)
    occurrence_known(observation, occurrence)
    require_item(observation, item)
    return (Draft("critical-named", {"occurrence": occurrence, "item": item}),)


def classify(
    observation: Observation, occurrence: str, verdict: Verdict, reason: str = ""
) -> Drafts:
    """Say what became of an occurrence (rule C2). Withdrawing needs a reason."""
    require_open(observation, handed_allowed=True)
    require_verdict(observation, occurrence_known(observation, occurrence), verdict)
    if verdict is Verdict.WITHDRAWN and not reason.strip():
        raise Refused("Withdrawing a critical event needs a reason.", remedy="Say why.")
    body = {"occurrence": occurrence, "verdict": verdict.value}
    texts = {"reason": reason.strip()} if reason.strip() else {}
    return (Draft("critical-classified", body, texts=texts),)


def require_verdict(observation: Observation, occurrence: Occurrence, verdict: Verdict) -> None:
    """Refuse a verdict that the form does not let stand on an occurrence (rule C2)."""
    if verdict is Verdict.WITHDRAWN:
        return
    if not occurrence.item:
        raise Refused("Say first which critical item it was.", remedy="Choose one of the items.")
    if not fits_occurrence(observation.ground, occurrence, verdict):
        offered = ", ".join(offered_verdicts(observation, occurrence.item))
        raise Refused(
            f"The form does not let this item be {verdict}.",
            where=occurrence.item,
            remedy=f"Choose one of: {offered}.",
        )


def offered_verdicts(observation: Observation, item: str) -> tuple[Verdict, ...]:
    """The verdicts that fit a critical item, in the order in which they are offered."""
    return verdicts_for(observation.ground.form.critical[item])


def attest_watched(observation: Observation, items: Iterable[str]) -> Drafts:
    """Attest that critical items were watched throughout (rule C1)."""
    require_open(observation, handed_allowed=True)
    named = sorted(set(items))
    for item in named:
        require_item(observation, item)
    return (Draft("watch-attested", {"items": named}),)
