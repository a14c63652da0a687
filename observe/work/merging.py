"""Packets in: what one would bring, and taking it in (rules E2, E5, E7)."""

from __future__ import annotations

import secrets
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from observe.domain import formtext
from observe.domain.events import Draft
from observe.domain.troubles import Doubtful
from observe.domain.words import counted, listed
from observe.domain.workshop import Seat, Workshop
from observe.work.adjudicating import needs_adjudication
from observe.work.consequences import Consequence, Results, consequences, results
from observe.work.forks import Divided, divided
from observe.work.known import keep_lists, keys_of, known_here
from observe.work.logbooks import Logbook
from observe.work.packets import told_sealed

if TYPE_CHECKING:
    from observe.domain.forks import Fork
    from observe.store.merging import Intake, Taking
    from observe.store.packet.container import Packet
    from observe.store.packet.manifest import Manifest
    from observe.trust.signature import Signed
    from observe.trust.standing import Standing

_CLOCKS_S = 60.0
"""Seconds by which two machines' clocks may differ before it is said."""


@dataclass(frozen=True, slots=True)
class Clocks:
    """Two observers of one attempt whose clocks were started at times that do not agree."""

    attempt: str
    observers: tuple[str, str]
    seconds: float


@dataclass(frozen=True)
class Merge:
    """What a packet brings, or brought.

    signed, standing: whose signature it has, and what is known of the key. intake: what was
    new. workshops: those that are new here. added: attempts that are new in workshops that were
    known. forks, divided, clocks: those there are after it. consequences: attempts that come to
    something else now. waiting: those on which a third person has to decide. renewed: the
    device id under which this machine goes on, where its own was forked; empty otherwise.
    """

    path: Path
    manifest: Manifest
    digest: str
    signed: Signed
    standing: Standing
    intake: Intake
    workshops: tuple[Workshop, ...]
    added: tuple[Seat, ...]
    forks: tuple[Fork, ...]
    divided: tuple[Divided, ...]
    clocks: tuple[Clocks, ...]
    consequences: tuple[Consequence, ...]
    waiting: tuple[Seat, ...]
    renewed: str = ""

    @property
    def is_news(self) -> bool:
        """Whether it brings anything."""
        return self.intake.is_news

    @property
    def waits(self) -> bool:
        """Whether something of it waits for a person before it counts, or is to be looked at.

        That are undecided attempts, forks, marks made twice, and a key that was revoked.
        """
        from observe.trust.standing import Trust

        forked = any(not fork.adopted for fork in self.forks)
        revoked = self.standing.trust is Trust.REVOKED
        return bool(self.divided) or bool(self.waiting) or forked or revoked

    @property
    def sentences(self) -> tuple[str, ...]:
        """What it brings, in sentences, and what a person has to look at."""
        signer = f"Signed by {self.signed.name}; {self.standing.sentence}."
        return (signer, *self._brought(), *self._doubts())

    def _brought(self) -> Iterator[str]:
        intake = self.intake
        if not self.is_news:
            yield "Nothing in it is new here."
            return
        yield f"New: {counted(intake.events, 'event')}; {intake.known} were here already."
        for workshop in self.workshops:
            yield f"A workshop that is new here: {workshop.title}, {workshop.date}."
        if self.added:
            numbers = listed([str(seat.number) for seat in self.added])
            yield f"Attempts that were not in the plan here, at seat {numbers}."
        if self.manifest.withheld:
            yield (
                f"Marks of {counted(self.manifest.withheld, 'attempt')} stay with whoever wrote "
                "it until all who watched have sealed."
            )

    def _doubts(self) -> Iterator[str]:
        if self.intake.kinds:
            kinds = listed(sorted(self.intake.kinds))
            yield f"Written by a newer version, kept and not read here: {kinds}."
        for fork in self.forks:
            if fork.rivals:
                yield (
                    f"A fork of {fork.device} from event {fork.seq}: persons adopted its tails "
                    "against each other. None counts until a person chooses between them."
                )
            elif not fork.adopted:
                yield (
                    f"A fork: two machines wrote on as {fork.device} from event {fork.seq}. "
                    "Neither tail counts until a person adopts one."
                )
        for each in self.divided:
            if any(each.rivals):
                yield (
                    f"Persons chose against each other which marks of {each.observer} count at "
                    f"seat {each.seat.number}."
                )
            yield (
                f"{each.observer} marked seat {each.seat.number} on two machines at once. No "
                "decision is made until a person chooses which marks count."
            )
        for change in self.consequences:
            yield from change.sentences
        if self.waiting:
            numbers = listed([str(seat.number) for seat in self.waiting])
            yield f"A third person has to decide: the observers differ at seat {numbers}."
        for one in self.clocks:
            yield (
                f"The clocks of {one.observers[0]} and {one.observers[1]} differ by "
                f"{one.seconds:.0f} s in one attempt; times are shown, and order nothing."
            )
        if self.renewed:
            yield "This machine goes on under a new id, since another one used its old one."

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        intake = self.intake
        return {
            "file": str(self.path),
            "packet": self.digest,
            "kind": self.manifest.kind,
            "signer": self.signed.fingerprint,
            "signer_name": self.signed.name,
            "known": self.standing.trust.value,
            "known_as": self.standing.sentence,
            "new": dict(sorted(intake.new.items())),
            "already_here": intake.known,
            "stubs": intake.stubs,
            "texts": intake.texts,
            "newer_kinds": dict(sorted(intake.kinds.items())),
            "workshops": [one.id for one in self.workshops],
            "added_attempts": [seat.attempt for seat in self.added],
            "withheld": self.manifest.withheld,
            "forks": [
                {
                    "device": fork.device,
                    "seq": fork.seq,
                    "tails": list(fork.hashes),
                    "adopted": fork.adopted or None,
                    "rivals": list(fork.rivals),
                }
                for fork in self.forks
            ],
            "divided": [one.as_record() for one in self.divided],
            "consequences": [one.as_record() for one in self.consequences],
            "to_adjudicate": [seat.attempt for seat in self.waiting],
            "clocks": [
                {
                    "attempt": one.attempt,
                    "observers": list(one.observers),
                    "seconds": round(one.seconds),
                }
                for one in self.clocks
            ],
            "new_device": self.renewed or None,
        }


def merge(
    logbook: Logbook, path: Path, *, by: str = "", dry: bool = False, passphrase: str = ""
) -> Merge:
    """Take a packet in, whole or not at all; doing so again changes nothing.

    by: who does it. dry: only find out what it would bring; nothing is kept. passphrase: for a
    closed one. Raises BadInput for what is no packet, Doubtful for one that is not what was
    signed, Refused for one that the passphrase does not open, Surroundings where the logbook
    cannot be written.
    """
    from observe.store.merging import taking_in
    from observe.store.packet.container import opened
    from observe.trust.signature import verified

    with opened(path, passphrase) as packet:
        signed = verified(packet.manifest_bytes, packet.signature, where=str(path))
        before = logbook.workshops()
        concerned = [one for id_, one in before.items() if id_ in packet.manifest.workshops]
        was = results(logbook, concerned)
        with taking_in(logbook.log, dry=dry) as taking:
            _take_forms(taking, packet)
            intake = taking.take_in(packet.lines())
            renewed = "" if dry else _keep_note(logbook, taking, packet, signed, intake, by)
            told = _told(logbook, packet, signed, intake, before, was, renewed)
        if not dry:
            keep_lists(logbook)
        return told


def _take_forms(taking: Taking, packet: Packet) -> None:
    from observe.store.tap import StoredForm

    for digest, source in packet.forms():
        form = formtext.reread(source)
        if form is None or form.whole_digest != digest:
            raise Doubtful(
                "A form in this packet is not the one that it says it is.",
                where=str(packet.path),
                remedy="Ask for the packet anew. Nothing of it was taken in.",
            )
        taking.keep_form(StoredForm(digest, form.scoring_digest, f"{form.id}.toml"), source)


def _keep_note(
    logbook: Logbook, taking: Taking, packet: Packet, signed: Signed, intake: Intake, by: str
) -> str:
    """Write that a packet was taken in, if it brought anything; the new device id, if any."""
    sealed = sorted({*packet.manifest.sealed} - told_sealed(logbook))
    if not intake.is_news and not sealed:
        return ""
    log, machine = logbook.log, logbook.machine
    turn = taking.turn
    drafts = []
    renewed = ""
    if log.device in intake.forked:
        renewed = secrets.token_hex(8)
        left = taking.renew_device(renewed, at=machine.stamp().at)
        follows = {"device": left.device, "seq": left.seq, "hash": left.hash}
        drafts.append(Draft("device-named", {"follows": follows, "turn": turn}))
    body = {
        "packet": packet.digest,
        "kind": packet.manifest.kind,
        "signer": signed.fingerprint,
        "heads": {device: list(head) for device, head in sorted(intake.heads.items())},
        "gaps": {
            device: [list(run) for run in runs]
            for device, runs in sorted(taking.gaps(intake.heads).items())
        },
        "turn": turn,
    }
    told = {"sealed": sealed} if sealed else {}
    drafts.append(Draft("packet-merged", {**body, **told}, by=by))
    taking.add(drafts, gesture=machine.gesture(), stamp=machine.stamp(), salts=machine.salt)
    return renewed


def _told(
    logbook: Logbook,
    packet: Packet,
    signed: Signed,
    intake: Intake,
    before: Mapping[str, Workshop],
    was: Results,
    renewed: str,
) -> Merge:
    from observe.trust.standing import standing

    after = logbook.workshops()
    there = {seat.attempt for one in before.values() for seat in one.seats}
    added = (seat for id_ in before for seat in after[id_].seats if seat.attempt not in there)
    concerned = [after[id_] for id_ in packet.manifest.workshops if id_ in after]
    now = results(logbook, concerned)
    found = standing(
        signed.certificates,
        known_here(keys_of(logbook), logbook),
        claimed=datetime.fromisoformat(packet.manifest.made_at),
        now=datetime.fromisoformat(logbook.machine.stamp().at),
    )
    return Merge(
        path=packet.path,
        manifest=packet.manifest,
        digest=packet.digest,
        signed=signed,
        standing=found,
        intake=intake,
        workshops=tuple(one for id_, one in after.items() if id_ not in before),
        added=tuple(added),
        forks=logbook.log.forks(),
        divided=tuple(one for each in concerned for one in divided(logbook, each)),
        clocks=tuple(found for each in concerned for found in _clocks(logbook, each.id)),
        consequences=consequences(logbook, was, now),
        waiting=tuple(one.seat for _, one in now.values() if needs_adjudication(one)),
        renewed=renewed,
    )


def _clocks(logbook: Logbook, workshop: str) -> list[Clocks]:
    """Attempts that two machines began at times that do not agree (rule E2)."""
    started: dict[str, dict[str, tuple[str, datetime]]] = {}
    for event in logbook.log.read(workshop=workshop, kinds=("clock-started",)):
        at = datetime.fromisoformat(event.stamp.at)
        started.setdefault(event.attempt, {}).setdefault(event.by, (event.device, at))
    found = []
    for attempt, by in started.items():
        (first, *others) = sorted(by.items())
        for other in others:
            apart = abs((first[1][1] - other[1][1]).total_seconds())
            if first[1][0] != other[1][0] and apart > _CLOCKS_S:
                found.append(Clocks(attempt, (first[0], other[0]), apart))
    return found
