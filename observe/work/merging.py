"""Packets in: what one would bring, and taking it in (rules E2, E5, E7)."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain import formtext
from observe.domain.events import Draft
from observe.domain.troubles import Doubtful
from observe.domain.workshop import Seat, Workshop
from observe.work.consequences import Results, consequences, results
from observe.work.known import keep_lists, keys_of, known_here
from observe.work.logbooks import Logbook, open_logbook, open_trial
from observe.work.machine import Machine
from observe.work.merged import Merge, Starts
from observe.work.records import lacks
from observe.work.wanted import wanted

if TYPE_CHECKING:
    from observe.store.merging import Intake, Taking
    from observe.store.packet.container import Packet
    from observe.trust.signature import Signed

_APART_S = 60.0
"""Seconds by which two machines' clocks may differ before it is said."""
_AT_ONCE = 500
"""Lines of a packet between two words of how far it is."""
Tick = Callable[[int, int], None]


def merge_beside(
    place: Path,
    path: Path,
    tick: Tick,
    *,
    machine: Machine,
    by: str = "",
    dry: bool = False,
    passphrase: str = "",
) -> Merge:
    """As `merge`, into the logbook at `place`, opened anew for it: for a thread beside a window.

    A dry run is made on a copy in memory, so that marks are written meanwhile without waiting.
    """
    opened_anew = open_trial if dry else partial(open_logbook, passing=True)
    with opened_anew(place, machine=machine) as logbook:
        return merge(logbook, path, by=by, passphrase=passphrase, tick=tick)


def _untold(_done: int, _total: int) -> None:
    pass


def merge(
    logbook: Logbook,
    path: Path,
    *,
    by: str = "",
    passphrase: str = "",
    tick: Tick = _untold,
) -> Merge:
    """Take a packet in, whole or not at all; doing so again changes nothing.

    In a trial it is found out what it would bring, after what was tried before it. by: who does
    it. passphrase: for a closed one. tick: is told how many bytes of the log in it are done, and
    of how many; where it raises Stopped, nothing was taken in. Raises BadInput for what is no
    packet, Doubtful for one that is not what was signed, Refused for one that the passphrase does
    not open, Surroundings where the logbook cannot be written.
    """
    from observe.store.merging import taking_in
    from observe.store.packet.container import opened
    from observe.trust.signature import verified

    with opened(path, passphrase) as packet:
        signed = verified(packet.manifest_bytes, packet.signature, where=str(path))
        before = _before(logbook, packet)
        whole = sum(one.bytes for one in packet.manifest.members.values())
        tick(0, whole)
        with taking_in(logbook.log) as taking:
            _take_forms(taking, packet)
            intake = taking.take_in(_counted(packet.lines(), whole, tick))
            trial = logbook.is_trial
            renewed = "" if trial else _keep_note(logbook, taking, packet, signed, intake, by)
            told = _told(logbook, packet, signed, intake, before, renewed)
            tick(whole, whole)  # The last moment in which all of it can be taken back.
        if not trial:
            keep_lists(logbook)
        return told


@dataclass(frozen=True)
class _Before:
    """What was known before a packet came."""

    workshops: Mapping[str, Workshop]
    results: Results
    names: Mapping[str, str]


def _before(logbook: Logbook, packet: Packet) -> _Before:
    known = logbook.workshops()
    concerned = [one for id_, one in known.items() if id_ in packet.manifest.workshops]
    return _Before(known, results(logbook, concerned), logbook.names())


def _counted(lines: Iterator[bytes], whole: int, tick: Tick) -> Iterator[bytes]:
    """The same lines; says now and then how many of all bytes have passed."""
    passed = 0
    for number, line in enumerate(lines, start=1):
        passed += len(line) + 1
        if number % _AT_ONCE == 0:
            tick(min(passed, whole), whole)
        yield line


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
    if not intake.is_news:
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
    drafts.append(Draft("packet-merged", body, by=by))
    taking.add(drafts, gesture=machine.gesture(), stamp=machine.stamp(), salts=machine.salt)
    return renewed


def _told(
    logbook: Logbook,
    packet: Packet,
    signed: Signed,
    intake: Intake,
    was: _Before,
    renewed: str,
) -> Merge:
    from observe.trust.standing import standing

    after = logbook.workshops()
    concerned = [after[id_] for id_ in packet.manifest.workshops if id_ in after]
    before, now = was.workshops, results(logbook, concerned)
    names = {**was.names, **logbook.names()}
    claimed = datetime.fromisoformat(packet.manifest.made_at)
    here = datetime.fromisoformat(logbook.machine.stamp().at)
    found = standing(
        signed.certificates, known_here(keys_of(logbook), logbook), claimed=claimed, now=here
    )
    ahead = (claimed - here).total_seconds()
    return Merge(
        path=packet.path,
        dry=logbook.is_trial,
        manifest=packet.manifest,
        digest=packet.digest,
        signed=signed,
        standing=found,
        intake=intake,
        workshops=tuple(one for id_, one in after.items() if id_ not in before),
        apart=tuple(one for id_, one in before.items() if id_ not in after),
        added=tuple(_added(before, after)),
        joined=tuple(_joined(before, after)),
        waiting=wanted(logbook, concerned, now),
        starts=tuple(one for each in concerned for one in _starts(logbook, each)),
        ahead_s=ahead if ahead > _APART_S else 0.0,
        consequences=consequences(logbook, was.results, now, names),
        lacks=tuple(said for each in concerned for said in lacks(logbook, each)),
        names=names,
        renewed=renewed,
    )


def _added(before: Mapping[str, Workshop], after: Mapping[str, Workshop]) -> Iterator[Seat]:
    """Attempts that no seat had before, under any of their ids."""
    for id_, workshop in before.items():
        there = {attempt for seat in workshop.seats for attempt in seat.attempts}
        for seat in after[id_].seats if id_ in after else ():
            if there.isdisjoint(seat.attempts):
                yield seat


def _joined(before: Mapping[str, Workshop], after: Mapping[str, Workshop]) -> Iterator[Seat]:
    """Attempts that two machines planned under one id, and which were not one before."""
    for id_, workshop in after.items():
        old = before[id_].seats if id_ in before else ()
        known = {seat.attempt for seat in old if seat.is_planned_twice}
        for seat in workshop.seats:
            if seat.is_planned_twice and seat.attempt not in known:
                yield seat


def _starts(logbook: Logbook, workshop: Workshop) -> Iterator[Starts]:
    """Attempts whose clock two machines started at times that lie apart (rule E2)."""
    started: dict[str, dict[str, tuple[str, datetime]]] = {}
    for event in logbook.log.read(workshop=workshop.id, kinds=("clock-started",)):
        at = datetime.fromisoformat(event.stamp.at)
        started.setdefault(event.attempt, {}).setdefault(event.by, (event.device, at))
    for seat in workshop.seats:
        by = {
            who: one for attempt in seat.attempts for who, one in started.get(attempt, {}).items()
        }
        watchers = [watch[0] for watch in seat.watches if watch[0] in by]
        if len(watchers) == 2:
            (one, first), (other, second) = (by[who] for who in watchers)
            apart = abs((first - second).total_seconds())
            if one != other and apart > _APART_S:
                yield Starts(seat, (watchers[0], watchers[1]), apart)
