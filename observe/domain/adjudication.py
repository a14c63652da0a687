"""A third person decides where two observers do not come to one decision (rule T1).

The adjudicator is neither observer and declares that no interest of theirs is in the way. A
ruling names what it rests on; when that is otherwise, it no longer holds and is asked for anew.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from observe.domain.canonical import digest
from observe.domain.decision import Outcome
from observe.domain.events import Body
from observe.domain.pairing import Joint, Pairing, pair
from observe.domain.scoring import Evidence
from observe.domain.troubles import Refused
from observe.domain.words import listed

OUTCOMES = (Outcome.PASS, Outcome.REMEDIATE)


@dataclass(frozen=True, slots=True)
class Ruling:
    """What a third person ruled. outcome: None where the findings alone decide.

    stands: critical items that are fatal; falls: those that are not. rests_on: digest of
    the facts of both observers. by: who ruled; event: which event holds it.
    """

    outcome: Outcome | None
    stands: frozenset[str]
    falls: frozenset[str]
    rests_on: str
    by: str = ""
    event: str = ""

    @property
    def said(self) -> str:
        """What was ruled, to compare with what another person ruled."""
        return digest([self.outcome, sorted(self.stands), sorted(self.falls)])

    def as_record(self) -> dict[str, object]:
        """The body of the event that keeps it."""
        return {
            "outcome": None if self.outcome is None else self.outcome.value,
            "stands": sorted(self.stands),
            "falls": sorted(self.falls),
            "rests_on": self.rests_on,
            "no_conflict": True,
        }


def ruling_from(body: Body, *, by: str, event: str) -> Ruling:
    """A ruling from the body of its event. Raises ValueError where it is none."""
    outcome, rests_on = body.get("outcome"), body.get("rests_on")
    stands, falls = body.get("stands"), body.get("falls")
    if outcome not in (None, *(one.value for one in OUTCOMES)) or not isinstance(rests_on, str):
        raise ValueError("it names no outcome, or not what it rests on")
    if not (_all_text(stands) and _all_text(falls)) or body.get("no_conflict") is not True:
        raise ValueError("it names no findings, or leaves open whose interest is in the way")
    kept = None if outcome is None else Outcome(outcome)
    return Ruling(kept, frozenset(stands or ()), frozenset(falls or ()), rests_on, by, event)


def _all_text(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(one, str) for one in value)


def require_may_adjudicate(
    joint: Pairing | None, concerned: Collection[str], by: str, *, no_conflict: bool
) -> None:
    """Raise Refused for who may not adjudicate, or where there is nothing to adjudicate.

    concerned: who watched the attempt, and whose it is.
    """
    if joint is None or not joint.needs_adjudication:
        raise Refused(
            "The observers come to one decision here.",
            remedy="Only where they do not, a third person decides.",
        )
    if not by or by in concerned:
        raise Refused(
            "Whoever watched this attempt, or made it, does not adjudicate it.",
            where=by,
            remedy="Ask a person who watched it in neither look, and who is no learner in it.",
        )
    if not no_conflict:
        raise Refused(
            "An adjudicator declares that no interest of theirs is in the way.",
            where=by,
            remedy="Declare it, or ask another person.",
        )


def require_complete(joint: Pairing, first: Evidence, second: Evidence, ruling: Ruling) -> None:
    """Raise Refused for a ruling that leaves open what it has to decide, or contradicts itself."""
    left = set(joint.contested) - ruling.stands - ruling.falls
    if left or ruling.stands & ruling.falls:
        labels = {item.id: item.label for item in first.form.criticals}
        named = listed(sorted(labels[one] for one in left or ruling.stands & ruling.falls))
        raise Refused(
            f"It is not said whether this stands: {named}.",
            remedy="Say of each contested critical item whether it was fatal.",
        )
    if {*ruling.stands, *ruling.falls} - {*joint.contested}:
        raise Refused(
            "Only what the observers contest is ruled on.", remedy="Leave the other items as seen."
        )
    if ruling.stands and ruling.outcome is Outcome.PASS:
        raise Refused(
            "A critical item that stands means remediation.",
            remedy="Rule that it was not fatal, or for remediation.",
        )
    if ruled(joint, first, second, ruling).needs_adjudication:
        raise Refused(
            "The two observers still decide opposite ways.",
            remedy="Rule for pass or for remediation as well.",
        )


def ruled(joint: Pairing, first: Evidence, second: Evidence, ruling: Ruling) -> Pairing:
    """What two looks come to with a ruling.

    A contested item that stands is fatal. With those that fall the two are put side by side
    again; the ruling's outcome counts only where they still need a third person.
    """
    labels = {item.id: item.label for item in first.form.criticals}
    if ruling.stands:
        named = listed(sorted(labels[one] for one in ruling.stands))
        sentence = f"A third person ruled: {named} was fatal."
        return replace(joint, outcome=Outcome.REMEDIATE, joint=Joint.RULED, sentence=sentence)
    again = joint
    if ruling.falls:
        again = pair(_without(first, ruling.falls), _without(second, ruling.falls))
        named = listed(sorted(labels[one] for one in ruling.falls))
        said = f"A third person ruled: {named} was not fatal. {again.sentence}"
        again = replace(again, sentence=said, contested=joint.contested)
        if not again.needs_adjudication:
            return replace(again, joint=Joint.RULED)
    if ruling.outcome is None:
        return again
    sentence = f"A third person ruled: {ruling.outcome}."
    return replace(again, outcome=ruling.outcome, joint=Joint.RULED, sentence=sentence)


def _without(evidence: Evidence, items: Collection[str]) -> Evidence:
    """Evidence without what was recorded of some critical items, on which was ruled."""
    verdicts = {item: found for item, found in evidence.verdicts.items() if item not in items}
    return replace(evidence, verdicts=verdicts, attested=evidence.attested | {*items})
