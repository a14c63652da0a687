"""On which machine an observation was written, and whether on two at once (rules T5, E2).

A machine goes on under a new device id where its logbook was copied, restored or forked; the
first event under it names the head that it follows. What one machine wrote is therefore a
branch: a device, the one that it follows up to that head, and so on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from observe.domain.events import Event

MARKLESS = frozenset({"observation-opened", "looked", "look-suggested", "amended", "voided"})
"""What may stand in an observation without its writer: nothing of it is a mark that was set."""


class Follows(NamedTuple):
    """The head that a device goes on from."""

    device: str
    seq: int


class Branch(NamedTuple):
    """What one machine wrote. device: under which it ended. upto: by device, the last number."""

    device: str
    upto: Mapping[str, int | None]

    def holds(self, event: Event) -> bool:
        """Whether an event was written by this machine."""
        if event.device not in self.upto:
            return False
        last = self.upto[event.device]
        return last is None or event.seq <= last


def lineage(events: Iterable[Event]) -> Mapping[str, Follows]:
    """Which head each device goes on from, of those that follow any; from `device-named`."""
    found: dict[str, Follows] = {}
    for event in events:
        follows = event.body.get("follows")
        if event.kind == "device-named" and isinstance(follows, Mapping):
            device, seq = follows.get("device"), follows.get("seq")
            if isinstance(device, str) and isinstance(seq, int) and device != event.device:
                found.setdefault(event.device, Follows(device, seq))
    return found


def branch(device: str, known: Mapping[str, Follows]) -> Branch:
    """What the machine wrote that ended under a device id."""
    upto: dict[str, int | None] = {device: None}
    while (follows := known.get(device)) is not None and follows.device not in upto:
        upto[follows.device] = follows.seq
        device = follows.device
    return Branch(next(iter(upto)), upto)


def writers(events: Sequence[Event], known: Mapping[str, Follows]) -> tuple[Branch, ...]:
    """The machines that wrote an observation, by device id; more than one if it is divided.

    events: the observation's. Where no mark was set by any, those that opened it.
    """
    marked = [one for one in events if one.kind not in MARKLESS]
    counted = marked or [one for one in events if one.kind == "observation-opened"]
    found: list[tuple[Branch, frozenset[str]]] = []
    for device in sorted({one.device for one in counted}):
        one = branch(device, known)
        held = frozenset(event.id for event in counted if one.holds(event))
        if not any(held <= ids for _, ids in found):
            found = [(other, ids) for other, ids in found if not ids <= held]
            found.append((one, held))
    branches = tuple(one for one, _ in found)
    return branches if marked else branches[:1]
