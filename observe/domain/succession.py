"""One watch that is handed on: who leaves, who goes on, and from where (rule T5)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from observe.domain.clock import between_ns
from observe.domain.events import Stamp


@dataclass(frozen=True, slots=True)
class HandedOver:
    """The end of one observer's part. last: the newest event before it. to: who goes on.

    spent_ns: the attempt's clock then. running: whether it ran.
    """

    event: str
    to: str
    last: str
    stamp: Stamp
    spent_ns: int
    running: bool

    def elapsed_ns(self, now: Stamp) -> int:
        """The attempt's clock at `now`: it goes on while nobody watches."""
        return self.spent_ns + (between_ns(self.stamp, now) if self.running else 0)


@dataclass(frozen=True, slots=True)
class Continuation:
    """Where a successor begins. It names what was watched, never how it was done (rule T3).

    observation, observer: the part that this one continues, and whose it is. front:
    the step the learner was at. seen: steps that were marked before, in the form's
    order. elapsed_ns: the attempt's clock; None if it never ran.
    """

    observation: str
    observer: str
    front: str
    seen: tuple[str, ...]
    elapsed_ns: int | None
    running: bool

    def as_record(self) -> dict[str, Any]:
        """As the event that opens the successor's observation holds it."""
        kept: dict[str, Any] = {
            "observation": self.observation,
            "observer": self.observer,
            "front": self.front,
            "seen": list(self.seen),
            "running": self.running,
        }
        return kept if self.elapsed_ns is None else {**kept, "elapsed_ns": self.elapsed_ns}


def from_record(kept: object, steps: Mapping[str, object]) -> Continuation:
    """The continuation that an event holds. steps: the form's, by id.

    Raises ValueError if it holds none.
    """
    body: Mapping[str, Any] = kept if isinstance(kept, Mapping) else {}
    names = [body.get("observation"), body.get("observer"), body.get("front")]
    seen, running, elapsed = body.get("seen"), body.get("running"), body.get("elapsed_ns")
    if not (isinstance(seen, list) and all(isinstance(one, str) for one in (*names, *seen))):
        raise ValueError("a continuation names an observation, its observer, and steps")
    if not {names[2], *seen} <= steps.keys():
        raise ValueError("the form has no such step")
    if type(running) is not bool or not (elapsed is None or (_is_time(elapsed))):
        raise ValueError("the clock's reading is a whole number of nanoseconds")
    return Continuation(
        str(names[0]), str(names[1]), str(names[2]), tuple(seen), elapsed, running=running
    )


def _is_time(value: object) -> bool:
    return type(value) is int and value >= 0
