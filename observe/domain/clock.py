"""The clock of one attempt: monotonic within one boot, wall time across boots (rule E2)."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from observe.domain.events import Stamp

NS_PER_MICROSECOND = 1_000


@dataclass(frozen=True, slots=True)
class Clock:
    """Time spent, in nanoseconds, with the stamp it has been running from.

    across_boots: part of the time was read off the wall clock, because the
    machine was started again in between.
    """

    started: Stamp | None = None
    running_from: Stamp | None = None
    spent_ns: int = 0
    across_boots: bool = False

    @property
    def is_running(self) -> bool:
        return self.running_from is not None

    def elapsed_ns(self, now: Stamp) -> int:
        """Time on the clock at `now`, never negative."""
        if self.running_from is None:
            return self.spent_ns
        return self.spent_ns + between_ns(self.running_from, now)

    def start(self, now: Stamp) -> Clock:
        if self.running_from is not None:
            return self
        return replace(self, started=self.started or now, running_from=now)

    def pause(self, now: Stamp) -> Clock:
        if self.running_from is None:
            return self
        crossed = self.across_boots or self.running_from.boot != now.boot
        return Clock(self.started, None, self.elapsed_ns(now), crossed)


def between_ns(earlier: Stamp, later: Stamp) -> int:
    """Nanoseconds from one stamp to a later one; 0 if a clock was set back."""
    if earlier.boot == later.boot:
        return max(0, later.monotonic_ns - earlier.monotonic_ns)
    wall = datetime.fromisoformat(later.at) - datetime.fromisoformat(earlier.at)
    return max(0, wall // timedelta(microseconds=1) * NS_PER_MICROSECOND)
