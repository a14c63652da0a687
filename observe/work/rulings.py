"""What third persons ruled and directors overruled, read from the logbook (rules T1, D4)."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress

from observe.domain.adjudication import Ruling, ruling_from
from observe.domain.choices import Answer, answer_in, standing
from observe.domain.events import lifted
from observe.domain.overruling import Overruling, overruling_from
from observe.domain.words import listed
from observe.domain.workshop import Seat, Workshop
from observe.work.logbooks import Logbook


def concerned(workshop: Workshop, seat: Seat) -> frozenset[str]:
    """Who may not rule on an attempt: who watched it, and every learner of the workshop."""
    learners = {one.learner for one in workshop.seats}
    aliases = {one for pair in workshop.aliases for one in pair}
    return frozenset({*seat.observers, *learners, *aliases})


def standing_rulings(
    logbook: Logbook, workshop: Workshop, seat: Seat, rests_on: str
) -> tuple[Ruling, ...]:
    """What third persons ruled on what both observers recorded, as it is now (rule T1).

    rests_on: digest of these facts. More than one where several ruled on machines that had not
    met; contrary ones rule nothing.
    """
    found: dict[str, Ruling] = {}
    said: list[Answer] = []
    for event in logbook.log.read(attempt=seat.attempt, kinds=("adjudicated",)):
        with suppress(ValueError):
            ruling = ruling_from(lifted(event), by=event.by, event=event.id)
            if ruling.rests_on == rests_on and ruling.by not in concerned(workshop, seat):
                found[event.id] = ruling
                said.append(answer_in(event, ruling.said))
    return tuple(found[one.event] for one in standing(said))


def standing_overrulings(
    logbook: Logbook, workshop: Workshop, seat: Seat, rests_on: str
) -> tuple[Overruling, ...]:
    """What directors overruled a decision to, as it is now (rule D4); several as with rulings.

    rests_on: digest of the decision and of all that it rests on.
    """
    found: dict[str, Overruling] = {}
    said: list[Answer] = []
    for event in logbook.log.read(attempt=seat.attempt, kinds=("overruled",)):
        with suppress(ValueError):
            one = overruling_from(lifted(event), by=event.by, event=event.id)
            if one.rests_on == rests_on and one.by not in concerned(workshop, seat):
                found[event.id] = one
                said.append(answer_in(event, one.outcome.value))
    return tuple(found[one.event] for one in standing(said))


def who(logbook: Logbook, found: Iterable[Ruling | Overruling]) -> str:
    """The names of who said something, as in a sentence."""
    names = logbook.names()
    return listed(list(dict.fromkeys(names.get(one.by, one.by) for one in found)))
