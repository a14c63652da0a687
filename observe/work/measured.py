"""How far a score may lie from what another observer would have given: for the sheet (rule A1).

From second looks that were planned before the day, at attempts of the same scoring and
profile (rules A4, T4), on the steps that both observers saw (rule A5).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from observe.domain.words import counted
from observe.domain.workshop import Seat, Workshop
from observe.work.debrief import attempt_result
from observe.work.logbooks import Logbook
from observe.work.reviewing import (
    ENOUGH_FIRST,
    FIRST,
    SECOND,
    Condition,
    Pair,
    common_scores,
    conditions,
)

_PLACES = 10**6
_TELLING = ("sealed", "amended", "voided", "workshop-planned", "attempt-planned")
"""Kinds of events that a standard error can change with."""


@dataclass(frozen=True, slots=True)
class Measured:
    """error: absolute standard error of one observer's score, a share; None if not estimable.

    said: what it rests on, or why there is none, a sentence. pairs: attempts seen by two.
    """

    error: Fraction | None
    said: str
    pairs: int


class Measuring:
    """Standard errors of a logbook, each found once and again only when it can have changed."""

    def __init__(self, logbook: Logbook) -> None:
        self._logbook = logbook
        self._known: dict[tuple[str, str], Measured] = {}
        self._told = -1

    def of(self, workshop: Workshop, seat: Seat) -> Measured:
        """The standard error that a score at a seat has."""
        told = sum(1 for _ in self._logbook.log.read(kinds=_TELLING))
        if told != self._told:
            self._known.clear()
            self._told = told
        used = workshop.in_use(seat)
        key = (used.form, workshop.id)
        if key not in self._known:
            found = (
                one
                for one in conditions(self._logbook)
                if (one.scoring, one.departures) == (used.scoring, used.profile.departures)
            )
            condition = next(found, None)
            pairs = tuple(_pairs(self._logbook, condition)) if condition else ()
            self._known[key] = measured(pairs)
        return self._known[key]


def _pairs(logbook: Logbook, condition: Condition) -> Iterator[Pair]:
    """Planned second looks that both observers watched whole and sealed."""
    for workshop, forms in condition.workshops:
        for seat in workshop.seats:
            if not seat.is_second_planned or seat.absent or workshop.form_of(seat) not in forms:
                continue
            result = attempt_result(logbook, workshop, seat)
            whole = len(result.reveals) == 2 and all(len(one.parts) == 1 for one in result.reveals)
            if whole and not result.is_void:
                yield Pair(seat.attempt, seat, seat.learner, (FIRST, SECOND), result)


def measured(pairs: tuple[Pair, ...]) -> Measured:
    """The standard error from attempts that two observers saw."""
    from observe.agreement.ratings import Ratings
    from observe.agreement.sem import ONE_WAY, sem_of_observers

    shares = [found for pair in pairs if (found := common_scores(pair)) is not None]
    count = len(shares)
    seen = counted(count, "attempt")
    if count < ENOUGH_FIRST:
        was = "was" if count == 1 else "were"
        return Measured(
            None,
            f"Standard error between observers: not estimable, since {seen} {was} seen by two as"
            f" planned; {ENOUGH_FIRST} are needed.",
            count,
        )
    rows = [tuple(float(share) for share in both) for both in shares]
    ratings = Ratings.from_table(rows, scale="interval", observers=(FIRST, SECOND))
    estimate = sem_of_observers(ratings, form=ONE_WAY)
    if estimate.value is None:
        return Measured(
            None, f"Standard error between observers: not estimable: {estimate.undefined}", count
        )
    error = Fraction(round(estimate.value * _PLACES), _PLACES)
    return Measured(error, f"from {seen} that two observers saw", count)
