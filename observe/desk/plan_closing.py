"""The question about a plan after remediation: what became of it."""

from __future__ import annotations

from observe.desk.asking import Answers, Choice, Field
from observe.domain.troubles import Refused
from observe.work.retest import Ending

WORD = "Close the plan …"
CONFIRM = "Close the plan"
SAID = "It stands in the logbook and in Progress, and on no sheet."
REASON = Field("reason", "Why, or what was seen (needed where it was not held)")
ENDINGS = Choice("ending", "It was", tuple((one.value, one.value) for one in Ending))


def title(name: str) -> str:
    """What is asked of a learner's plan."""
    return f"What became of the plan of {name}?"


def ending_in(answers: Answers) -> Ending:
    """What was answered. Raises Refused if nothing was chosen."""
    if not answers[ENDINGS.name]:
        raise Refused("What became of it is not said.", remedy="Choose one.")
    return Ending(answers[ENDINGS.name])
