"""The patient-safety standard: essential steps all done, and a cut on the rest."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from observe.domain.troubles import BadInput
from observe.standards.angoff import Angoff, Judgement, angoff
from observe.standards.cut import PLAIN, Asking


@dataclass(frozen=True, slots=True)
class Vote:
    """Whether one judge holds that an item is essential; None if they did not say."""

    judge: str
    item: str
    essential: bool | None


@dataclass(frozen=True, slots=True)
class Tally:
    """How many judges hold an item to be essential, of those who said."""

    item: str
    votes: int
    judges: int
    essential: bool


@dataclass(frozen=True, slots=True)
class SafetyStandard:
    """What must be done, and what must be reached.

    essential: items that must all be done. tallies: how each was voted on. majority: the
    share of votes that it took. rest: the cut on the other items; None if there is none.
    """

    essential: tuple[str, ...]
    tallies: tuple[Tally, ...]
    majority: float
    rest: Angoff | None


def patient_safety(
    judgements: Iterable[Judgement],
    votes: Iterable[Vote],
    *,
    majority: float = 0.5,
    points: Mapping[str, float] | None = None,
    asking: Asking = PLAIN,
) -> SafetyStandard:
    """Essential by more than `majority` of the votes; the rest by Angoff.

    Essential items cannot be bought back with others, so they are no part of the cut.
    Raises BadInput for a majority outside 0 to 1, an item without any vote, and as
    `angoff` does. Source: Yudkowsky R, Tumuluru S, Casey P, Herlich N, Ledonne C (2014),
    Simulation in Healthcare 9:277-282, from memory.
    """
    if not 0 <= majority < 1:
        raise BadInput(
            f"A majority of {majority:g} is not between 0 and 1.",
            where="majority",
            remedy="Write 0.5 for more than half of the judges.",
        )
    judged = list(judgements)
    tallies = _tallies(list(votes), list(dict.fromkeys(one.item for one in judged)), majority)
    essential = frozenset(one.item for one in tallies if one.essential)
    others = [one for one in judged if one.item not in essential]
    rest = angoff(others, points=points, asking=asking) if others else None
    return SafetyStandard(
        tuple(one.item for one in tallies if one.essential), tallies, majority, rest
    )


def passes(standard: SafetyStandard, earned: Mapping[str, float]) -> bool:
    """Whether shares earned by item (0 to 1) meet the standard: essentials whole, rest ≥ cut.

    An item that is not named earned nothing. Raises BadInput where the cut on the rest is
    not estimable.
    """
    if any(earned.get(item, 0.0) < 1 for item in standard.essential):
        return False
    if standard.rest is None:
        return True
    last = standard.rest.rounds[-1]
    if last.cut.value is None:
        raise BadInput(
            last.cut.undefined, where="cut", remedy="Have every item judged, then ask again."
        )
    total = sum(one.points * earned.get(one.item, 0.0) for one in last.items)
    return total >= last.cut.value - 1e-9 * max(1.0, last.cut.value)


def _tallies(votes: Sequence[Vote], items: Sequence[str], majority: float) -> tuple[Tally, ...]:
    found = []
    names = list(dict.fromkeys([*items, *(one.item for one in votes)]))
    for item in names:
        said = {one.judge: one.essential for one in votes if one.item == item}
        known = [vote for vote in said.values() if vote is not None]
        if not known:
            raise BadInput(
                f"Nobody said whether {item} is essential.",
                where=item,
                remedy="Have at least one judge say yes or no.",
            )
        yes = sum(known)
        found.append(Tally(item, yes, len(known), yes > majority * len(known) + 1e-12))
    return tuple(found)
