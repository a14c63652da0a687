"""The order of events over several devices, without clocks (rule E2).

Each event has a turn, a number after Lamport (1978, CACM 21:558): on one device it counts
up by one; an event that takes in what other devices wrote says the greatest turn that it
took in, and comes after it. In the order (turn, device, seq) an event therefore stands
after everything that its writer knew, and the order is the same on every machine, whichever
packet came first. A turn follows from the events of its own device alone.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from observe.domain.events import Event

JUMPING = frozenset({"device-named", "packet-merged"})
"""Kinds of events that take in what other devices wrote."""


class Jump(NamedTuple):
    """From event `seq` of a device on, turns count from `turn`."""

    device: str
    seq: int
    turn: int


class Place(NamedTuple):
    """Where an event stands among those of all devices."""

    turn: int
    device: str
    seq: int


@dataclass(frozen=True, slots=True)
class Turns:
    """The turns of all devices whose events are known. starts: by device, where turns jump."""

    starts: Mapping[str, tuple[tuple[int, ...], tuple[int, ...]]]

    def turn(self, device: str, seq: int) -> int:
        """The turn of an event; its seq where its device never took anything in."""
        seqs, turns = self.starts.get(device, ((), ()))
        place = bisect_right(seqs, seq) - 1
        return seq if place < 0 else turns[place] + seq - seqs[place]

    def place(self, event: Event) -> Place:
        """Where an event stands."""
        return Place(self.turn(event.device, event.seq), event.device, event.seq)

    def ordered(self, events: Iterable[Event]) -> list[Event]:
        """Events in the order that is the same on every machine."""
        return sorted(events, key=self.place)


def turns(jumps: Iterable[Jump]) -> Turns:
    """The turns that some jumps lead to. A jump that would go back is no jump."""
    starts: dict[str, tuple[list[int], list[int]]] = {}
    for jump in sorted(jumps):
        seqs, counts = starts.setdefault(jump.device, ([], []))
        least = counts[-1] + jump.seq - seqs[-1] if seqs else jump.seq
        seqs.append(jump.seq)
        counts.append(max(jump.turn, least))
    return Turns({device: (tuple(seqs), tuple(all_)) for device, (seqs, all_) in starts.items()})


def jump_of(event: Event) -> Jump | None:
    """The jump that an event makes; None if it makes none or cannot be read."""
    known = event.body.get("turn")
    if event.kind not in JUMPING or not isinstance(known, int) or isinstance(known, bool):
        return None
    return Jump(event.device, event.seq, known + 1) if known >= 0 else None
