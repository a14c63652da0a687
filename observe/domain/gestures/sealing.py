"""The end of an observation: void, or sealed once nothing is missing (rules M6, C3, D3)."""

from __future__ import annotations

from collections.abc import Iterable

from observe.domain.board import Verdict
from observe.domain.criticals import Finding, standings
from observe.domain.events import Draft
from observe.domain.form import Mode
from observe.domain.gestures.guards import Drafts, require_open, require_other
from observe.domain.observation import Observation, Role, Slot, open_reasons
from observe.domain.scoring import evidence
from observe.domain.troubles import Refused


def void(observation: Observation, reason: str, *, countersigned: str = "") -> Drafts:
    """End an attempt that was not ended by the learner's act (rule M6).

    It has no decision and does not count as an attempt. countersigned: who
    countersigned it, needed in summative mode.
    """
    require_open(observation)
    if not reason.strip():
        raise Refused("A void needs a reason.", remedy="Say what happened.")
    require_other(observation, countersigned)
    if observation.ground.mode is Mode.SUMMATIVE and not countersigned:
        raise Refused(
            "In summative mode a void needs a second signature.",
            remedy="Ask the director to countersign.",
        )
    body = {"countersigned": countersigned} if countersigned else {}
    return (Draft("voided", body, texts={"reason": reason.strip()}),)


def missing(observation: Observation) -> tuple[str, ...]:
    """What must still be said before the observation can be sealed, in sentences (rules C3, D3).

    Of a part that was handed over only what nobody else can say (rule T5).
    A peer gives remarks and no grade.
    """
    if observation.void:
        return ()
    if observation.handed:
        return (*_asked_of_criticals(observation), *_asked_of_reasons(observation))
    form = observation.ground.form
    asked: list[str] = []
    if form.variants and not observation.board.variant:
        asked.append("Choose the variant.")
    if observation.overall is None and observation.role is not Role.PEER:
        asked.append("Give the overall grade.")
    asked.extend(_asked_of_criticals(observation))
    asked.extend(_asked_of_reasons(observation))
    if observation.ground.mode is not Mode.PRACTICE:
        if Slot.STRENGTH not in observation.texts:
            asked.append("Name one strength.")
        if Slot.CHANGE not in observation.texts:
            asked.append("Name one change.")
    return tuple(asked)


def _asked_of_reasons(observation: Observation) -> Iterable[str]:
    for step in open_reasons(observation):
        yield f"Say why step {observation.numbers[step]} is not applicable."


def _asked_of_criticals(observation: Observation) -> Iterable[str]:
    for occurrence in observation.occurrences:
        if not occurrence.item and occurrence.verdict is not Verdict.WITHDRAWN:
            yield "Say which critical item was recorded."
        elif occurrence.verdict is None:
            label = observation.ground.form.critical[occurrence.item].label
            yield f"Say what became of the critical event “{label}”."
    if observation.stopped and not _shows_harm(observation):
        yield "Say which critical item, fatal or averted, made you stop; or go on, or void it."


def _shows_harm(observation: Observation) -> bool:
    found = {one.finding for one in standings(evidence(observation)).values()}
    return not found.isdisjoint({Finding.FATAL, Finding.AVERTED})


def seal(observation: Observation) -> Drafts:
    """End the observation, or one's part of it; after it there are only amendments."""
    require_open(observation, void_allowed=True, handed_allowed=True)
    asked = missing(observation)
    if asked:
        raise Refused("It cannot be sealed yet.", remedy=" ".join(asked))
    return (Draft("sealed", {"part": True} if observation.handed else {}),)
