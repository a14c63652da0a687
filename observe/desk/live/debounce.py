"""Which presses count: after an advance the same finger must not mark the next step."""

from __future__ import annotations

from collections.abc import Callable, Hashable

ADVANCE_S = 0.4
"""How long a learner's mark keys ignore input after the step in front changed."""
CRITICAL_S = 0.4
"""How long a second press on the same critical key counts as the same one."""
GLOVES_S = 0.25
"""With gloves on, how long a second press on the same key counts as the same one."""

SEAL_S = 0.8
"""How long the last part of a rating is in sight before it can be sealed."""


class Debounce:
    """Remembers, for each thing that was pressed, until when it ignores input.

    now: seconds of a clock that never goes back; handed in, so that tests need not wait.
    """

    def __init__(self, now: Callable[[], float]) -> None:
        self._now = now
        self._until: dict[Hashable, float] = {}

    def hold(self, what: Hashable, seconds: float) -> None:
        """Ignore presses on `what` for a while from now."""
        self._until[what] = self._now() + seconds

    def lets(self, what: Hashable) -> bool:
        """Whether a press on `what` counts now."""
        return self._now() >= self._until.get(what, 0.0)
