"""Cautions about the machine: said before it is too late, and not so often that they nag."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

REPEAT_S = {1: 900.0, 2: 300.0, 3: 120.0}
"""After how many seconds a caution is said again, by its level."""
ENOUGH_S = 300.0
"""A rate is told only from readings that lie at least so far apart."""


@dataclass(frozen=True, slots=True)
class Caution:
    """Something about the machine that a person should act on.

    about: "battery" or "disk". level: 1 in good time, 2 soon, 3 now. sentence:
    what it is and what to do.
    """

    about: str
    level: int
    sentence: str


@dataclass(frozen=True, slots=True)
class Reading:
    """One value at one time; seconds of a clock that never goes back."""

    at_s: float
    value: float


def falls_by(readings: Sequence[Reading]) -> float | None:
    """How much a value falls in a minute, from its readings in order of time.

    Only the last unbroken fall counts: a rise (plugged in, space freed) starts it
    anew. None while that is too short to tell, or nothing falls.
    """
    begin = 0
    for place in range(1, len(readings)):
        if readings[place].value > readings[place - 1].value:
            begin = place
    told = readings[begin:]
    if not told or told[-1].at_s - told[0].at_s < ENOUGH_S:
        return None
    fallen = told[0].value - told[-1].value
    minutes = (told[-1].at_s - told[0].at_s) / 60
    return fallen / minutes if fallen > 0 else None


class Reminder:
    """Remembers what was said, and says when it is time to say it again."""

    def __init__(self) -> None:
        self._said: dict[str, tuple[int, float]] = {}

    def due(self, cautions: Sequence[Caution], at_s: float) -> tuple[Caution, ...]:
        """Those to say now; they count as said.

        One that is new or got worse is due at once, one that stays after its time.
        One that is over is forgotten, so that it is news when it comes back.
        """
        standing = {one.about for one in cautions}
        self._said = {about: said for about, said in self._said.items() if about in standing}
        found = tuple(one for one in cautions if self._is_due(one, at_s))
        for one in found:
            self._said[one.about] = (one.level, at_s)
        return found

    def _is_due(self, one: Caution, at_s: float) -> bool:
        if one.about not in self._said:
            return True
        level, said_s = self._said[one.about]
        return one.level > level or at_s - said_s >= REPEAT_S[one.level]
