"""How many learners one observer watches at once (rule W3). Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import chain

from observe.domain.form import Mode
from observe.domain.troubles import Refused
from observe.domain.words import counted, listed

STARTS = frozenset({"clock-started", "safety-lifted"})
"""The kinds of event that let a clock run."""
STOPS = frozenset({"clock-paused", "safety-stopped", "voided", "sealed"})
"""The kinds of event that let a clock stand."""


@dataclass(frozen=True, slots=True)
class Watched:
    """A learner on whom a clock runs, or is to run. limit: of their form, learners at once."""

    name: str
    number: int
    limit: int

    @property
    def said(self) -> str:
        return f"{self.name}, seat {self.number}"


def limit_of(watched: Iterable[Watched]) -> int:
    """The most learners at once: the smallest of their forms' limits holds."""
    return min(one.limit for one in watched)


def require_may_start(mode: Mode, starting: Sequence[Watched], running: Sequence[Watched]) -> None:
    """Raises Refused if clocks may not start in summative mode beside those that run (rule W3)."""
    if mode is not Mode.SUMMATIVE or not starting:
        return
    limit = limit_of(chain(starting, running))
    if len(starting) + len(running) <= limit:
        return
    now = f"{counted(len(running), 'clock')} {'runs' if len(running) == 1 else 'run'} already"
    if not running:
        now = f"{len(starting)} clocks cannot start at once"
    raise Refused(
        f"{now}; in a summative workshop one observer watches {limit} at most.",
        where=listed([f"seat {one.number}" for one in starting]),
        remedy=_remedy(running),
    )


def _remedy(running: Sequence[Watched]) -> str:
    if not running:
        return "Start them one after another."
    return f"Pause a clock first: that of {listed([one.said for one in running], 'or')}."


def greatest_overlap(spans: Iterable[tuple[int, int]]) -> int:
    """The most of some spans of time that run at once (rule W3).

    spans: begin and end of each, in one unit; one that ends as another begins does
    not overlap it.
    """
    turns = sorted(chain.from_iterable(((begin, 1), (end, -1)) for begin, end in spans))
    most = now = 0
    for _, turn in turns:
        now += turn
        most = max(most, now)
    return most
