"""The clock of one attempt: monotonic within one boot, wall time across boots (rule E2)."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from observe.domain.events import Stamp

NS_PER_MICROSECOND = 1_000


@dataclass(frozen=True, slots=True)
class Run:
    """One stretch without a pause. before_ns: the time that was spent before it."""

    begin: Stamp
    end: Stamp
    before_ns: int


@dataclass(frozen=True, slots=True)
class Clock:
    """Time spent, in nanoseconds, with the stamp it has been running from.

    across_boots: part of the time was read off the wall clock, because the
    machine was started again in between. runs: the stretches that ended.
    """

    started: Stamp | None = None
    running_from: Stamp | None = None
    spent_ns: int = 0
    across_boots: bool = False
    runs: tuple[Run, ...] = ()

    @property
    def is_running(self) -> bool:
        return self.running_from is not None

    def elapsed_ns(self, now: Stamp) -> int:
        """Time on the clock at `now`, never negative."""
        if self.running_from is None:
            return self.spent_ns
        return self.spent_ns + between_ns(self.running_from, now)

    def reading_at(self, then: Stamp) -> int:
        """What the clock showed at a moment that is past; 0 before it was started."""
        for run in self.runs:
            if not is_after(then, run.begin):
                return run.before_ns
            if not is_after(then, run.end):
                return run.before_ns + between_ns(run.begin, then)
        if self.running_from is None or not is_after(then, self.running_from):
            return self.spent_ns
        return self.elapsed_ns(then)

    def start(self, now: Stamp) -> Clock:
        if self.running_from is not None:
            return self
        return replace(self, started=self.started or now, running_from=now)

    def pause(self, now: Stamp) -> Clock:
        if self.running_from is None:
            return self
        crossed = self.across_boots or self.running_from.boot != now.boot
        run = Run(self.running_from, now, self.spent_ns)
        return Clock(self.started, None, self.elapsed_ns(now), crossed, (*self.runs, run))


def is_after(later: Stamp, earlier: Stamp) -> bool:
    """Whether one stamp was made after another, by what can be trusted of the two."""
    if earlier.boot == later.boot:
        return later.monotonic_ns > earlier.monotonic_ns
    return datetime.fromisoformat(later.at) > datetime.fromisoformat(earlier.at)


def between_ns(earlier: Stamp, later: Stamp) -> int:
    """Nanoseconds from one stamp to a later one; 0 if a clock was set back."""
    if earlier.boot == later.boot:
        return max(0, later.monotonic_ns - earlier.monotonic_ns)
    wall = datetime.fromisoformat(later.at) - datetime.fromisoformat(earlier.at)
    return max(0, wall // timedelta(microseconds=1) * NS_PER_MICROSECOND)
