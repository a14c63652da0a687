"""A director overrules a decision with a reason; what was decided stays beside it (rule D4)."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from observe.domain.decision import Outcome
from observe.domain.events import Body
from observe.domain.troubles import Refused

OUTCOMES = (Outcome.PASS, Outcome.REMEDIATE)


@dataclass(frozen=True, slots=True)
class Overruling:
    """What a decision was overruled to.

    rests_on: digest of the decision that was overruled, with all that it rests on; where that is
    otherwise, the overruling holds no more. by: who overruled it; event: which event holds it.
    """

    outcome: Outcome
    rests_on: str
    by: str = ""
    event: str = ""

    def as_record(self) -> dict[str, object]:
        """The body of the event that keeps it."""
        return {"outcome": self.outcome.value, "rests_on": self.rests_on}


def overruling_from(body: Body, *, by: str, event: str) -> Overruling:
    """An overruling from the body of its event. Raises ValueError where it is none."""
    outcome, rests_on = body.get("outcome"), body.get("rests_on")
    if outcome not in [one.value for one in OUTCOMES] or not isinstance(rests_on, str):
        raise ValueError("it names no outcome, or not what it rests on")
    return Overruling(Outcome(outcome), rests_on, by, event)


def is_overruling(body: Body) -> bool:
    """Whether a body holds an overruling that can be read."""
    try:
        overruling_from(body, by="", event="")
    except ValueError:
        return False
    return True


def require_may_overrule(
    decided: Outcome | None, to: Outcome, concerned: Collection[str], by: str
) -> None:
    """Raise Refused for who may not overrule, and for what cannot be overruled so.

    decided: what the observers' evidence comes to. concerned: who watched, and the learners.
    """
    if not by or by in concerned:
        raise Refused(
            "Whoever watched this attempt, or made it, does not overrule its decision.",
            where=by,
            remedy="A director who did neither does.",
        )
    if decided not in OUTCOMES:
        raise Refused(
            "Only a pass or a remediation is overruled; nothing of the kind was decided here.",
            remedy="What is undecided is settled by another observer who saw it, or by those "
            "steps done again; where observers differ, a third person rules.",
        )
    if to not in OUTCOMES or to is decided:
        raise Refused(
            "This is what was decided already.", remedy="Overrule a pass to remediation, or back."
        )
