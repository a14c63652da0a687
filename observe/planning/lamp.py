"""How the lamp holds still: lit seldom, never under a finger, out when its seat is touched."""

from __future__ import annotations

from dataclasses import dataclass, replace

from observe.planning.looking import Suggestion

HOLDS_NS = 10_000_000_000
"""A lit seat stays lit this long, and the next is lit no sooner than this after it was."""
STILL_NS = 2_000_000_000
"""Nothing changes this soon after a touch, except that the touched seat goes out."""


@dataclass(frozen=True, slots=True)
class Lamp:
    """What is lit, and what keeps it from changing. Times are monotonic ns; None: never yet."""

    lit: Suggestion | None = None
    changed_ns: int | None = None
    touched_ns: int | None = None

    def may_change(self, now_ns: int) -> bool:
        """Whether it is long enough since the last change and the last touch."""
        return not (
            (self.changed_ns is not None and now_ns - self.changed_ns < HOLDS_NS)
            or (self.touched_ns is not None and now_ns - self.touched_ns < STILL_NS)
        )

    def touched(self, seat: int, now_ns: int) -> Lamp:
        """The lamp after a touch anywhere on a seat; it goes out if that seat was lit."""
        lit = None if self.lit is not None and self.lit.seat == seat else self.lit
        return replace(self, lit=lit, touched_ns=now_ns)

    def shown(self, found: Suggestion | None, now_ns: int) -> Lamp:
        """The lamp once a suggestion was asked for; the same where it may not change.

        A seat that stays lit may say another step; the light itself does not change.
        """
        if not self.may_change(now_ns):
            return self
        if found is None:
            return self if self.lit is None else replace(self, lit=None, changed_ns=now_ns)
        if self.lit is not None and self.lit.seat == found.seat:
            return self if self.lit.what == found.what else replace(self, lit=found)
        return replace(self, lit=found, changed_ns=now_ns)

    def out(self) -> Lamp:
        """The lamp switched off, or its seat no longer there to look at."""
        return replace(self, lit=None)
