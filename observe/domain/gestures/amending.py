"""Changes after the seal, with reason (rules D2, D3)."""

from __future__ import annotations

from typing import Any

from observe.domain.board import Occurrence, Verdict
from observe.domain.events import Draft
from observe.domain.gestures.criticals import require_verdict
from observe.domain.gestures.guards import (
    Drafts,
    occurrence_known,
    require_grade,
    require_item,
    require_other,
    require_sealed,
    step_in_play,
)
from observe.domain.gestures.marking import require_allowed
from observe.domain.gestures.rating import require_rating
from observe.domain.marks import NOT_SEEN, Mark, record
from observe.domain.observation import Observation
from observe.domain.troubles import Refused


def amend_step(
    observation: Observation, step_id: str, after: Mark, *, reason: str, countersigned: str = ""
) -> Drafts:
    """Change a mark after the seal; from not seen a director must countersign (rule D2)."""
    require_sealed(observation, reason)
    step = step_in_play(observation, step_id)
    before = observation.mark(step.id)
    if before == after:
        raise Refused("That is the mark that stands.", where=step.id, remedy="Choose another mark.")
    require_other(observation, countersigned)
    if before == NOT_SEEN and not countersigned:
        raise Refused(
            "A step that was not seen cannot be marked from memory after the seal.",
            where=step.id,
            remedy="A director must countersign, or the steps are tried again.",
        )
    if after != NOT_SEEN:
        require_allowed(observation, step, after)
    body = _amendment("step", step.id, record(before), record(after), countersigned)
    return (Draft("amended", body, texts={"reason": reason.strip()}),)


def amend_occurrence(
    observation: Observation,
    occurrence: str,
    verdict: Verdict,
    *,
    reason: str,
    item: str = "",
    countersigned: str = "",
) -> Drafts:
    """Change what became of a critical event, or add one (empty `occurrence`) after the seal."""
    require_sealed(observation, reason)
    require_other(observation, countersigned)
    after: dict[str, Any] = {"verdict": verdict.value}
    before: dict[str, Any] | None = None
    if occurrence:
        known = occurrence_known(observation, occurrence)
        require_verdict(observation, known, verdict)
        before = {"verdict": known.verdict.value if known.verdict else None}
    else:
        require_item(observation, item)
        require_verdict(observation, Occurrence("", item, "", 0), verdict)
        after["item"] = item
    body = _amendment("occurrence", occurrence, before, after, countersigned)
    return (Draft("amended", body, texts={"reason": reason.strip()}),)


def amend_overall(observation: Observation, value: int, *, reason: str) -> Drafts:
    """Change the overall grade after the seal."""
    require_sealed(observation, reason)
    require_grade(value, (grade.value for grade in observation.ground.form.overall.grades))
    body = _amendment("overall", "", observation.overall, value, "")
    return (Draft("amended", body, texts={"reason": reason.strip()}),)


def amend_dimension(
    observation: Observation, dimension: str, value: int | None, *, reason: str
) -> Drafts:
    """Change the rating of one dimension after the seal."""
    require_sealed(observation, reason)
    require_rating(observation, dimension, value)
    body = _amendment("dimension", dimension, observation.dimensions.get(dimension), value, "")
    return (Draft("amended", body, texts={"reason": reason.strip()}),)


def _amendment(
    target: str, id: str, before: object, after: object, countersigned: str
) -> dict[str, Any]:
    body: dict[str, Any] = {"target": target, "id": id, "from": before, "to": after}
    if countersigned:
        body["countersigned"] = countersigned
    return body
