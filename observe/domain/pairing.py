"""Two observers of one attempt: what follows from both (rules T1, C2)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from observe.domain.criticals import CriticalStanding, Finding
from observe.domain.decision import Decision, Outcome, decide
from observe.domain.pooling import can_pool, pooled
from observe.domain.scoring import Evidence


class Joint(StrEnum):
    """How two observers of one attempt stand to each other."""

    AGREED = "agreed"
    POOLED = "decided by what both saw together"
    UNSETTLED = "both together saw too little, or differ on what decides"
    CONTESTED = "contested critical item"
    OPPOSITE = "opposite decisions"
    CONTRADICTED = "both together contradict the one who decided"
    APART = "assessed as two variants"
    RULED = "decided by a third person"


ADJUDICATED = frozenset({Joint.CONTESTED, Joint.OPPOSITE, Joint.CONTRADICTED, Joint.APART})
"""Where a third person decides, neither of the two observers."""


@dataclass(frozen=True)
class Pairing:
    """What two sealed observations of one attempt come to.

    outcome: None in practice mode and for a void attempt. contested: critical items
    fatal to one observer, while the other watched their steps and saw it otherwise.
    evidence, decision: of both together, where their evidence was pooled.
    """

    outcome: Outcome | None
    joint: Joint
    contested: tuple[str, ...]
    sentence: str
    evidence: Evidence | None = None
    decision: Decision | None = None

    @property
    def is_settled(self) -> bool:
        """Whether the two come to one decision."""
        return self.outcome is not Outcome.UNDECIDED and not self.needs_adjudication

    @property
    def needs_adjudication(self) -> bool:
        """Whether a third person, who is neither observer, must decide."""
        return self.joint in ADJUDICATED


def pair(first: Evidence, second: Evidence) -> Pairing:
    """Two observers of one attempt, side by side, then together (rule T1).

    Both pass or both remediate: that. Opposite: adjudication. A fatal item recorded
    by one stands, unless the other watched its steps and saw it otherwise: then it
    is contested, and undecided until adjudicated. Where one is undecided the
    evidence is pooled and decided again; if that contradicts the one who could
    decide: adjudication. Symmetric in outcome and kind.
    """
    one, other = decide(first), decide(second)
    if one.outcome is None or other.outcome is None:
        return Pairing(None, Joint.AGREED, _fatal(one, other)[1], "No decision is made.")
    by_fatal = _by_fatal(one, other)
    if by_fatal is not None:
        return by_fatal
    outcomes = {one.outcome, other.outcome}
    if outcomes == {Outcome.PASS, Outcome.REMEDIATE}:
        sentence = "The two observers decide opposite ways. Undecided until a third person decides."
        return Pairing(Outcome.UNDECIDED, Joint.OPPOSITE, (), sentence)
    if Outcome.UNDECIDED not in outcomes:
        return Pairing(one.outcome, Joint.AGREED, (), f"Both observers: {one.outcome}.")
    return _together(first, second, outcomes)


def _fatal(first: Decision, second: Decision) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Ids of the items fatal to an observer: those that stand, and the contested ones."""
    both = list(zip(first.criticals, second.criticals, strict=True))
    fatal = [pair for pair in both if Finding.FATAL in {one.finding for one in pair}]
    contested = tuple(one.item.id for one, other in fatal if _is_contested(one, other))
    return tuple(one.item.id for one, _ in fatal if one.item.id not in contested), contested


def _is_contested(one: CriticalStanding, other: CriticalStanding) -> bool:
    """Fatal to one observer, watched by the other and seen otherwise."""
    return not {one.finding, other.finding} <= {
        Finding.FATAL,
        Finding.NOT_WATCHED,
        Finding.NOT_IN_PLAY,
    }


def _by_fatal(first: Decision, second: Decision) -> Pairing | None:
    standing, contested = _fatal(first, second)
    labels = {one.item.id: one.item.label for one in first.criticals}
    if standing:
        named = "; ".join(labels[id] for id in standing)
        sentence = f"{named}: fatal, and not contested by the other observer."
        return Pairing(Outcome.REMEDIATE, Joint.AGREED, contested, sentence)
    if contested:
        named = "; ".join(labels[id] for id in contested)
        sentence = (
            f"{named}: fatal to one observer; the other watched and saw it otherwise. "
            "Undecided until a third person has decided."
        )
        return Pairing(Outcome.UNDECIDED, Joint.CONTESTED, contested, sentence)
    return None


def _together(first: Evidence, second: Evidence, outcomes: set[Outcome]) -> Pairing:
    """What the pooled evidence comes to, where at least one observer could not decide."""
    if not can_pool(first, second):
        sentence = (
            "The two observers assessed different variants, so what they saw cannot be put "
            "together. Undecided until a third person decides."
        )
        return Pairing(Outcome.UNDECIDED, Joint.APART, (), sentence)
    evidence = pooled(first, second)
    decision = decide(evidence)
    alone = next((one for one in outcomes if one is not Outcome.UNDECIDED), None)
    who = "Neither could decide alone" if alone is None else "One could decide, the other could not"
    found = decision.outcome
    if found is Outcome.UNDECIDED:
        joint, then = Joint.UNSETTLED, "what both saw together cannot decide it either."
    elif alone is not None and found is not alone:
        joint = Joint.CONTRADICTED
        then = f"one says {alone}, both together say {found}. A third person decides."
        found = Outcome.UNDECIDED
    else:
        joint, then = Joint.POOLED, f"what both saw together: {found}."
    return Pairing(found, joint, (), f"{who}; {then}", evidence, decision)
