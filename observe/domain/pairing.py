"""Two observers of one attempt: what follows from both (rules T1, C2; one decision each)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from observe.domain.criticals import CriticalStanding, Finding
from observe.domain.decision import Decision, Outcome


class Joint(StrEnum):
    """How two decisions stand to each other."""

    AGREED = "agreed"
    CONTESTED = "contested critical item"
    OPPOSITE = "opposite decisions"
    UNSETTLED = "one of the two is undecided"


@dataclass(frozen=True, slots=True)
class Pairing:
    """What two sealed observations of one attempt come to.

    outcome: None in practice mode. contested: critical items fatal to one
    observer, while the other watched their steps and saw it otherwise.
    """

    outcome: Outcome | None
    joint: Joint
    contested: tuple[str, ...]
    sentence: str


def pair(first: Decision, second: Decision) -> Pairing:
    """Two observers' decisions on one attempt, side by side (rule T1).

    An uncontested fatal item stands. A contested one, or opposite decisions,
    leave the attempt undecided until a person who is neither observer decides.
    Where one of the two is undecided the attempt stays undecided: evidence is
    not pooled here.
    """
    both = list(zip(first.criticals, second.criticals, strict=True))
    fatal = [pair for pair in both if Finding.FATAL in {one.finding for one in pair}]
    contested = tuple(one.item.id for one, other in fatal if _is_contested(one, other))
    if first.outcome is None or second.outcome is None:
        return Pairing(None, Joint.AGREED, contested, "No decision is made.")
    standing = [one.item.label for one, _ in fatal if one.item.id not in contested]
    if standing:
        sentence = f"{'; '.join(standing)}: fatal, and not contested by the other observer."
        return Pairing(Outcome.REMEDIATE, Joint.AGREED, contested, sentence)
    if contested:
        named = "; ".join(one.item.label for one, _ in fatal)
        sentence = (
            f"{named}: fatal to one observer; the other watched and saw it otherwise. "
            "Undecided until a third person has decided."
        )
        return Pairing(Outcome.UNDECIDED, Joint.CONTESTED, contested, sentence)
    if first.outcome is second.outcome and first.outcome is not Outcome.UNDECIDED:
        sentence = f"Both observers: {first.outcome}."
        return Pairing(first.outcome, Joint.AGREED, (), sentence)
    if {first.outcome, second.outcome} == {Outcome.PASS, Outcome.REMEDIATE}:
        sentence = "The two observers decide opposite ways. Undecided until a third person decides."
        return Pairing(Outcome.UNDECIDED, Joint.OPPOSITE, (), sentence)
    both_open = first.outcome is second.outcome
    who = "Neither could decide." if both_open else "One could decide, the other could not."
    return Pairing(Outcome.UNDECIDED, Joint.UNSETTLED, (), f"{who} {_APART}")


def _is_contested(one: CriticalStanding, other: CriticalStanding) -> bool:
    """Fatal to one observer, watched by the other and seen otherwise."""
    return not {one.finding, other.finding} <= {
        Finding.FATAL,
        Finding.NOT_WATCHED,
        Finding.NOT_IN_PLAY,
    }


_APART = "Undecided: their evidence is not put together in this version."
