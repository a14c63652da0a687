"""What waits for a person, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from observe.domain.forks import Fork
from observe.domain.words import listed
from observe.domain.workshop import Contrary, Seat, Unheard, Workshop
from observe.work.forks import SHORTEST, Divided
from observe.work.linking import Pair
from observe.work.wanted import Wanted


@dataclass(frozen=True, slots=True)
class Telling:
    """How people and seats are named. names: by the id of a person. ids: name ids as well."""

    names: Mapping[str, str]
    ids: bool = False

    def name(self, person: str) -> str:
        """Somebody's name, or the id of who has none here."""
        return self.names.get(person, person)

    def seat(self, workshop: Workshop, seat: Seat) -> str:
        """Where, in which workshop, and whose."""
        place = f"{workshop.title}, seat {seat.number}, {self.name(seat.learner)}"
        return place + self.id(seat.attempt)

    def id(self, id_: str) -> str:
        """An id in brackets; nothing where ids are not named."""
        return f" ({id_})" if self.ids else ""


def sentences(found: Wanted, telling: Telling) -> Iterator[str]:
    """All that waits, the gravest first."""
    for fork in found.forks:
        yield _fork(fork, telling)
    for workshop, each in found.divided:
        yield from _divided(workshop, each, telling)
    for workshop, result in found.disputes:
        yield f"{telling.seat(workshop, result.seat)}: a third person decides. {result.sentence}"
    for workshop, pair in found.attempts:
        yield f"{_pair(workshop, pair, telling)}: one attempt, seen by two? {_first(pair.why)}."
    for workshop, pair in found.learners:
        kept, other = (telling.id(one.learner) for one in (pair.kept, pair.other))
        yield (
            f"{_pair(workshop, pair, telling)}: one learner{kept}{other}? {_first(pair.why)}. "
            "Until a person says so each observer's marks are an attempt of their own, and neither "
            "observer is blind to the other's."
        )
    for workshop, stray in found.strays:
        yield f"{workshop.title}: {stray.sentence(telling.name(stray.observer))}"
    for workshop, one in found.seals:
        yield (
            f"{workshop.title}: {telling.name(one.observer)} told of another seal than came with "
            "the marks, so they are not those that were sealed when others' were given out."
        )
    for workshop, said in found.contrary:
        yield f"{workshop.title}: {not_applied(said, telling.name(said.by))}"


def further(found: Wanted, telling: Telling) -> Iterator[str]:
    """What stands signed otherwise, and what waits for a look that may still be taken."""
    for workshop, result, was in found.overtaken:
        now = result.outcome.value if result.outcome else "no decision"
        yield f"{telling.seat(workshop, result.seat)}: signed as {was.was}, now {now}."
    for workshop, seat, observer in found.held_up:
        yield (
            f"{telling.seat(workshop, seat)}: waits for nothing but the look of "
            f"{telling.name(observer)}. If it will not be sealed, a person gives it up."
        )


_NOT_APPLIED = {
    Unheard.LEARNER: (
        "{who} said that two learners are one, which does not fit what somebody said on another "
        "machine: it was not done. Look whether the other is right."
    ),
    Unheard.EXCHANGE: (
        "{who} gave two records to each other's learners, which does not fit what somebody did on "
        "another machine: it was not done. Look whether the other is right."
    ),
    Unheard.VARIANT: (
        "{who} added a learner with another variant than somebody did on another machine: one "
        "attempt has one variant, and the other look was made with other steps. Compare them."
    ),
}


def not_applied(said: Contrary, who: str) -> str:
    """What somebody said that did not apply, and what to do."""
    return _NOT_APPLIED[said.kind].format(who=who)


def _fork(fork: Fork, telling: Telling) -> str:
    place = f"{fork.device} from event {fork.seq}"
    tails = listed([one[:SHORTEST] for one in fork.hashes])
    named = f" Its tails: {tails}." if telling.ids else ""
    if fork.rivals:
        return (
            f"A fork of {place}: persons adopted its tails against each other. None counts until "
            f"a person chooses between them.{named}"
        )
    return (
        f"A fork: two machines wrote on as {place}. Neither tail counts until a person adopts "
        f"one.{named}"
    )


def _divided(workshop: Workshop, each: Divided, telling: Telling) -> Iterator[str]:
    place, who = telling.seat(workshop, each.seat), telling.name(each.observer)
    machines = f" Machines: {listed(each.devices)}." if telling.ids else ""
    if any(each.rivals):
        yield f"{place}: persons chose against each other which marks of {who} count."
    yield (
        f"{place}: {who} marked on two machines at once. No decision is made until a person "
        f"chooses which marks count.{machines}"
    )


def _pair(workshop: Workshop, pair: Pair, telling: Telling) -> str:
    kept, other = (f"{one.number}{telling.id(one.attempt)}" for one in (pair.kept, pair.other))
    return f"{workshop.title}, seats {kept} and {other}"


def _first(why: str) -> str:
    return why[:1].upper() + why[1:]
