"""Forks: two events with the same device and number, and which of them is in force (rule E5).

What comes before a fork is in force on every machine. Of its tails none is, until a named
person adopts one; it then counts as a chain of its own, with the ids and hashes that it was
written with, so that what refers to its events, and what was signed, stays as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from observe.domain.choices import Answer, contrary, settled


class Link(NamedTuple):
    """An event in its chain, as far as forks go: its number, its hash and that of the one before.

    prev: None where it is not known, as with an event that was withheld from a packet.
    """

    seq: int
    hash: str
    prev: str | None


class Fork(NamedTuple):
    """A place where a device's chain divides. hashes: of the first events of its tails, sorted.

    adopted: the one that is in force; empty before a person adopted one. rivals: the hashes that
    several persons adopted against each other; none of them is in force then.
    """

    device: str
    seq: int
    hashes: tuple[str, ...]
    adopted: str = ""
    rivals: tuple[str, ...] = ()


class Adoption(NamedTuple):
    """That a person put a tail into force: the device, and number and hash of its first event.

    event, by: which event says so, and who. over: the adoptions that it takes the place of.
    """

    device: str
    seq: int
    hash: str
    event: str = ""
    by: str = ""
    over: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class InForce:
    """What of a forked device is in force. upto: the last event before the first fork.

    chosen: hashes of what is in force after it. forks: those that were come to.
    """

    upto: int
    chosen: frozenset[str]
    forks: tuple[Fork, ...]

    def holds(self, seq: int, hash_: str) -> bool:
        """Whether an event of this device is in force."""
        return seq <= self.upto or hash_ in self.chosen


def in_force(device: str, links: Iterable[Link], adoptions: Iterable[Adoption]) -> InForce:
    """What of a device is in force, from the last event that all its tails have in common.

    links: every known event of the device from that one on, of all tails. adoptions: in
    the order of `observe.domain.turns`; contrary ones count for nothing until a person
    chooses between them. Raises ValueError without any link.
    """
    known = sorted(links, key=lambda one: (one.seq, one.hash))
    if not known:
        raise ValueError("a chain has at least the event before its fork")
    following = _following(known)
    taken = _answers(device, adoptions)
    start = known[0]
    upto, chosen, forks = start.seq, list[str](), list[Fork]()
    now = start
    while children := following.get((now.seq, now.hash), ()):
        if len(children) > 1:
            place = children[0].seq
            hashes = tuple(one.hash for one in children)
            asked = [one for one in taken.get(place, ()) if one.said in hashes]
            found = settled(asked)
            adopted = found.said if found else ""
            rivals = tuple(sorted({one.said for one in contrary(asked)}))
            forks.append(Fork(device, place, hashes, adopted, rivals))
            if not adopted:
                break
            children = [one for one in children if one.hash == adopted]
        now = children[0]
        if forks:
            chosen.append(now.hash)
        else:
            upto = now.seq
    return InForce(upto, frozenset(chosen), tuple(forks))


def _following(known: Sequence[Link]) -> Mapping[tuple[int, str], list[Link]]:
    """The links that follow each, by its number and hash."""
    at: dict[int, list[Link]] = {}
    for one in known:
        at.setdefault(one.seq, []).append(one)
    found: dict[tuple[int, str], list[Link]] = {}
    for one in known:
        before = at.get(one.seq - 1, [])
        if one.prev is None:  # Withheld: where two could come before it, nobody knows which.
            before = before if len(before) == 1 else []
        else:
            before = [link for link in before if link.hash == one.prev]
        for link in before:
            found.setdefault((link.seq, link.hash), []).append(one)
    return found


def _answers(device: str, adoptions: Iterable[Adoption]) -> Mapping[int, list[Answer]]:
    """Which tail was adopted at each place, in turn."""
    found: dict[int, list[Answer]] = {}
    for one in adoptions:
        if one.device == device:
            said = Answer(one.event, one.by, one.hash, one.over)
            found.setdefault(one.seq, []).append(said)
    return found
