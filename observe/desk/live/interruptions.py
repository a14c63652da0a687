"""What is said after an interruption: how long it was, and the last three marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from observe.desk.live import reading
from observe.domain.board import Entry
from observe.domain.observation import Observation
from observe.domain.printing import clock

AWAY_S = 20
"""Longer than this without a look, a lock or a crash: the room says what was last."""
MOST_SHOWN = 3


@dataclass(frozen=True, slots=True)
class Last:
    """One of the last marks. seat: which learner, counted from 0; words: what it was and when."""

    seat: int
    words: str


@dataclass(frozen=True, slots=True)
class Away:
    """An interruption. lasts: the last marks, the newest first, at least one."""

    seconds: int
    lasts: tuple[Last, ...]

    @property
    def seat(self) -> int:
        """The learner of the last mark."""
        return self.lasts[0].seat


def newest_entries(states: Sequence[Observation]) -> tuple[tuple[int, Entry], ...]:
    """The newest entries in force with their seats, the newest first; sealed seats left out."""
    entries = [
        (seat, entry)
        for seat, state in enumerate(states)
        if not state.sealed
        for entry in state.entries[-MOST_SHOWN:]
        if reading.entry_words(state, entry)
    ]
    entries.reverse()
    entries.sort(key=lambda pair: pair[1].at, reverse=True)
    return tuple(entries[:MOST_SHOWN])


def away(states: Sequence[Observation], seconds: int) -> Away | None:
    """What to say after `seconds` without a look; None if nothing was marked before."""
    found = newest_entries(states)
    if not found:
        return None
    return Away(seconds, tuple(Last(seat, _words(states[seat], entry)) for seat, entry in found))


def _words(state: Observation, entry: Entry) -> str:
    """What an entry was, and when, unless its words say so."""
    said, at = reading.entry_words(state, entry), clock(entry.elapsed_ns)
    return said if at in said else f"{said}, at {at}"
