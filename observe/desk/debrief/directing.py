"""Questions whose answers go over what observers recorded: overruling, and whose attempt it was."""

from __future__ import annotations

from collections.abc import Callable

from observe.desk.asking import Answers, Choice, Field, Question
from observe.domain.decision import Outcome
from observe.domain.troubles import Refused
from observe.domain.workshop import Seat
from observe.work.debrief import AttemptResult
from observe.work.naming import person_named
from observe.work.overruling import overrule
from observe.work.reattributing import reattribute
from observe.work.session import Room

REASON = Field("reason", "Why, in a sentence (it stands on the sheet)")
WHO = Field("who", "Your name")
_DIRECTORS = (
    "A director who watched nothing of it does this. What was decided stays beside it, and the "
    "decision has to be signed anew."
)
_EXCHANGED = (
    "The two learners are exchanged: what was recorded stays with the attempt. Both decisions "
    "have to be signed anew, and sheets that were issued are superseded."
)


def overruling(room: Room, result: AttemptResult, done: Callable[[], None]) -> Question:
    """To what a director overrules the decision of an attempt, and why (rule D4)."""

    def answer(answers: Answers) -> None:
        if not answers["outcome"]:
            raise Refused("It is open to what it is overruled.", remedy="Choose one.")
        by = person_named(room.logbook, answers["who"])
        outcome, reason = Outcome(answers["outcome"]), answers["reason"]
        overrule(room.logbook, room.workshop, result.seat, outcome, reason=reason, by=by)
        done()

    return Question(
        f"Overrule the decision on {room.name(result.seat.learner)}?",
        (result.sentence, _DIRECTORS),
        "Overrule it",
        answer,
        (WHO, REASON),
        (
            Choice(
                "outcome",
                "Overruled to",
                ((Outcome.PASS.value, "Pass"), (Outcome.REMEDIATE.value, "Remediate")),
            ),
        ),
    )


def exchanging(room: Room, seat: Seat, done: Callable[[], None]) -> Question:
    """With whose attempt this one was mistaken, and how it came to light (rule E3)."""
    others = [one for one in room.workshop.seats if one.learner != seat.learner]

    def answer(answers: Answers) -> None:
        other = next((one for one in others if one.attempt == answers["other"]), None)
        if other is None:
            raise Refused("It is open whose attempt it was.", remedy="Choose a learner.")
        by = person_named(room.logbook, answers["who"])
        reason = answers["reason"]
        reattribute(room.logbook, room.workshop, seat, other, reason=reason, by=by)
        done()

    options = tuple((one.attempt, f"{one.number} {room.name(one.learner)}") for one in others)
    return Question(
        f"Whose attempt was recorded for {room.name(seat.learner)}?",
        (_EXCHANGED,),
        "Exchange the two",
        answer,
        (WHO, REASON),
        (Choice("other", "It was made by", options),),
    )
