"""What a packet brings, or brought, and what of it waits for a person: for people and programs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.domain.words import counted, listed
from observe.domain.workshop import Seat, Workshop
from observe.work.consequences import Consequence
from observe.work.wanted import Wanted
from observe.work.wanted_text import Telling, sentences

if TYPE_CHECKING:
    from observe.store.merging import Intake
    from observe.store.packet.manifest import Manifest
    from observe.trust.signature import Signed
    from observe.trust.standing import Standing


@dataclass(frozen=True, slots=True)
class Starts:
    """When two observers of one attempt started its clock, by the clocks of their machines.

    seconds: between the two. One may have begun later, or the machines' clocks differ: which of
    the two it was, nothing here can tell.
    """

    seat: Seat
    observers: tuple[str, str]
    seconds: float


@dataclass(frozen=True)
class Merge:
    """What a packet brings, or brought.

    dry: whether nothing of it was kept. signed, standing: whose signature it has, and what is
    known of the key. intake: what was new. workshops: those that are new here. apart: those that
    were here, and stand in a tail of a fork now. added: attempts
    that are new in workshops that were known. joined: those that two machines planned alike, and
    which are one now. waiting: what waits for a person after it. starts: clocks that were started
    apart. ahead_s: by how many seconds the clock of who wrote it is at least ahead of this one.
    consequences: attempts that come to something else now. lacks: what this machine lacks for
    these workshops. names: of everybody. renewed: the device id under which this machine goes
    on, where its own was forked; empty otherwise.
    """

    path: Path
    dry: bool
    manifest: Manifest
    digest: str
    signed: Signed
    standing: Standing
    intake: Intake
    workshops: tuple[Workshop, ...]
    apart: tuple[Workshop, ...]
    added: tuple[Seat, ...]
    joined: tuple[Seat, ...]
    waiting: Wanted
    starts: tuple[Starts, ...]
    ahead_s: float
    consequences: tuple[Consequence, ...]
    lacks: tuple[str, ...]
    names: Mapping[str, str] = field(default_factory=dict)
    renewed: str = ""

    @property
    def is_news(self) -> bool:
        """Whether it brings anything."""
        return self.intake.is_news

    @property
    def waits(self) -> bool:
        """Whether something waits for a person before it counts, or is to be looked at.

        That is also a packet whose key was revoked.
        """
        from observe.trust.standing import Trust

        return bool(self.waiting.count) or self.standing.trust is Trust.REVOKED

    @property
    def sentences(self) -> tuple[str, ...]:
        """What it brings, in sentences, and what a person has to look at."""
        signer = f"Signed by {self.signed.name}; {self.standing.sentence}."
        kept = ("Nothing was kept: this was a dry run.",) if self.dry else ()
        return (signer, *self._brought(), *self.changes, *self._doubts(), *self.lacks, *kept)

    def _brought(self) -> Iterator[str]:
        intake = self.intake
        if not self.is_news:
            yield "Nothing in it is new here."
            return
        yield f"New: {self.counted}; {intake.known} were here already."
        for workshop in self.workshops:
            yield f"A workshop that is new here: {workshop.title}, {workshop.date}."
        for seat in self.added:
            who = listed([self._name(one) for one in seat.observers])
            yield (
                f"An attempt that was not in the plan here: seat {seat.number}, "
                f"{self._name(seat.learner)}, watched by {who}."
            )
        for seat in self.joined:
            who = listed([self._name(one) for one in seat.observers])
            yield (
                f"{who} added {self._name(seat.learner)} on two machines: one attempt with two "
                f"looks now, at seat {seat.number}. The second was not drawn before the day."
            )
        if self.manifest.withheld:
            yield (
                f"Marks of {counted(self.manifest.withheld, 'attempt')} stay with whoever wrote "
                "it until all who watched have sealed."
            )

    @property
    def counted(self) -> str:
        """How many events are new, in words, with those that do not count yet."""
        aside = self.intake.aside
        apart = f", and {aside} kept apart in a tail of a fork" if aside else ""
        return f"{counted(self.intake.events, 'event')}{apart}"

    @property
    def changes(self) -> Iterator[str]:
        """What is otherwise now of what was known, in sentences."""
        for workshop in self.apart:
            yield (
                f"{workshop.title}, {workshop.date}, stands in a tail of a fork now: nothing of it "
                "counts, and it is not shown, until a person adopts that tail."
            )
        for change in self.consequences:
            yield from change.sentences

    def _doubts(self) -> Iterator[str]:
        if self.intake.kinds:
            kinds = listed(sorted(self.intake.kinds))
            yield f"Written by a newer version, kept and not read here: {kinds}."
        yield from sentences(self.waiting, Telling(self.names))
        for one in self.starts:
            first, second = (self._name(who) for who in one.observers)
            yield (
                f"{first} and {second} started the clock of seat {one.seat.number} "
                f"{one.seconds:.0f} s apart, by the clocks of their machines: one began later, or "
                "the clocks differ. Times are shown as they were told, and order nothing."
            )
        if self.ahead_s:
            yield (
                f"It says that it was written {self.ahead_s:.0f} s after now: the clock of that "
                "machine, or of this one, is wrong. Look at the clocks; the order of marks is sure."
            )
        if self.renewed:
            yield "This machine goes on under a new id, since another one used its old one."

    def _name(self, person: str) -> str:
        return self.names.get(person, person)

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        intake = self.intake
        return {
            "file": str(self.path),
            "kept": not self.dry,
            "packet": self.digest,
            "kind": self.manifest.kind,
            "signer": self.signed.fingerprint,
            "signer_name": self.signed.name,
            "known": self.standing.trust.value,
            "known_as": self.standing.sentence,
            "new": dict(sorted(intake.new.items())),
            "kept_apart": intake.aside,
            "already_here": intake.known,
            "stubs": intake.stubs,
            "texts": intake.texts,
            "newer_kinds": dict(sorted(intake.kinds.items())),
            "workshops": [one.id for one in self.workshops],
            "workshops_apart": [one.id for one in self.apart],
            "added_attempts": [seat.attempt for seat in self.added],
            "joined_attempts": [seat.attempt for seat in self.joined],
            "withheld": self.manifest.withheld,
            **self.waiting.as_record(),
            "consequences": [one.as_record() for one in self.consequences],
            "starts": [
                {
                    "attempt": one.seat.attempt,
                    "observers": list(one.observers),
                    "seconds": round(one.seconds),
                }
                for one in self.starts
            ],
            "clock_ahead_s": round(self.ahead_s) or None,
            "lacks": list(self.lacks),
            "new_device": self.renewed or None,
        }
