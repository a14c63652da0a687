"""Packets out: a plan for another machine, or what was recorded, in a file (rules E6, T3)."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.events import Draft, Event
from observe.domain.planned import PLAN_KINDS
from observe.domain.standard import KIND as STANDARD
from observe.domain.standard import WITHDRAWN, Approved
from observe.domain.troubles import BadInput, Refused
from observe.domain.turns import JUMPING
from observe.domain.workshop import Seat, Workshop
from observe.work.approving import standards_in
from observe.work.known import chain_of
from observe.work.logbooks import Logbook
from observe.work.seals import is_sealed, tell_seals, told_sealed

if TYPE_CHECKING:
    from observe.store.packet.manifest import Manifest

SUFFIX = ".packet"
OF_MACHINES = JUMPING | {"fork-adopted"}
"""What every packet carries of the machines themselves; it names no person but who adopted."""
OF_KEYS = frozenset({"key-requested", "key-answered", "keys-revoked"})
"""What every packet but one learner's carries of the keys that sign."""
_DECIDING = (
    "adjudicated",
    "look-dropped",
    "overruled",
    "retest-agreed",
    "remediation-closed",
    "reattributed",
    "decision-signed",
    "same-attempt",
    "same-learner",
    "sheet-issued",
    "sheet-countersigned",
    "sheet-acknowledged",
    "sheet-handled",
)
_MARKLESS = frozenset({"observation-opened", "handed-over"})
"""What of an observation may leave before all have sealed. Its seal may not: without the marks
it would read as if nothing had been seen. That it is there tells `observe.work.seals`."""
WORKSHOP, OBSERVER, LEARNER = "workshop", "observer", "learner"


@dataclass(frozen=True, slots=True)
class Scope:
    """What a packet is about. kind: "workshop", "observer" or "learner"; of: the person's id."""

    kind: str = WORKSHOP
    of: str = ""


@dataclass(frozen=True, slots=True)
class Sent:
    """A packet that was written. withheld: attempts whose marks stay until all have sealed."""

    path: Path
    digest: str
    manifest: Manifest
    withheld: tuple[Seat, ...]


def send_plan(
    logbook: Logbook, workshop: Workshop, path: Path, *, by: str, passphrase: str = ""
) -> Sent:
    """Write what makes another machine ready for a workshop.

    Roster, seats, forms, observers, and the standards approved for these forms. by: who
    writes it, one of the workshop's observers. Otherwise as `send_record`.
    """
    people = {*workshop.observers, *(seat.learner for seat in workshop.seats)}
    standards = _standards(logbook, workshop)
    ids = {one.id for one in standards}
    people |= {one.by for one in standards}
    people |= {one.withdrawn.by for one in standards if one.withdrawn}

    def carries(event: Event) -> bool:
        if event.kind == "person-named":
            return event.body.get("person") in people
        if event.kind == STANDARD:
            return event.id in ids
        if event.kind == WITHDRAWN:
            return event.body.get("standard") in ids
        planned = event.workshop == workshop.id and event.kind in PLAN_KINDS
        return event.kind in OF_MACHINES | OF_KEYS or (planned and not event.observation)

    return _send(logbook, workshop, path, by, ("plan", Scope()), carries, (), passphrase)


def _standards(logbook: Logbook, workshop: Workshop) -> tuple[Approved, ...]:
    """The standards approved for the workshop's forms."""
    scoring = {one.scoring for one in workshop.forms}
    return tuple(one for one in standards_in(logbook) if one.standard.scoring in scoring)


def send_record(
    logbook: Logbook,
    workshop: Workshop,
    path: Path,
    *,
    by: str,
    scope: Scope | None = None,
    passphrase: str = "",
) -> Sent:
    """Write what was recorded in a workshop, or one observer's or one learner's part of it.

    Marks of an attempt with a second look stay behind until all who watched have sealed here
    (rule T3); what was withheld goes as stubs. Tails of forks go with the whole alone. by: who
    writes it. passphrase: with which the packet is closed; empty leaves it open to anybody. Raises
    Refused for somebody who does not observe in the workshop, BadInput for a scope that is not of
    it, Surroundings where the file cannot be written.
    """
    asked = scope or Scope()
    _require_scope(workshop, asked)
    blind = tuple(_blind_seats(logbook, workshop))
    withheld = {seat.observation_of(one) for seat in blind for one in seat.observers}
    in_scope = _in_scope(logbook, workshop, asked)
    moved = _moved_into(logbook, workshop, withheld)

    def carries(event: Event) -> bool:
        if event.kind in OF_MACHINES:
            return True
        if event.kind in OF_KEYS | {"packet-sent", "writer-chosen"}:
            return asked.kind != LEARNER
        if event.observation in withheld and event.kind not in _MARKLESS:
            return False
        if event.id in moved:
            return False
        return in_scope(event)

    return _send(logbook, workshop, path, by, ("record", asked), carries, blind, passphrase)


def _moved_into(logbook: Logbook, workshop: Workshop, blind: Collection[str]) -> frozenset[str]:
    """Marks that were moved to a blind attempt, and the events that took them from where they were.

    Where they stood at first they would tell what was seen of the other learner (rule T3).
    """
    found: set[str] = set()
    for event in logbook.log.read(workshop=workshop.id, kinds=("taken-back",)):
        if event.body.get("to") in blind:
            found |= {event.id, *(str(one) for one in event.body.get("events", ()))}
    return frozenset(found)


def _require_scope(workshop: Workshop, scope: Scope) -> None:
    known = {
        WORKSHOP: {""},
        OBSERVER: set(workshop.observers),
        LEARNER: {seat.learner for seat in workshop.seats},
    }
    if scope.of not in known.get(scope.kind, set()):
        raise BadInput(
            f"There is no such {scope.kind} in this workshop.",
            where=scope.of,
            remedy="Name somebody by their id or their name.",
        )


def _blind_seats(logbook: Logbook, workshop: Workshop) -> Iterator[Seat]:
    """Attempts with a second look of which not everybody has sealed, as far as is known here."""
    told = told_sealed(logbook)
    for seat in workshop.seats:
        observations = (seat.observation_of(one) for one in seat.observers)
        if len(seat.observers) > 1 and not all(
            one in told or is_sealed(logbook, one) for one in observations
        ):
            yield seat


def _in_scope(logbook: Logbook, workshop: Workshop, scope: Scope) -> Callable[[Event], bool]:
    seats = _seats_in(workshop, scope)
    apart = _planned_apart(logbook, workshop) if scope.kind == WORKSHOP else {}
    attempts = {attempt for seat in seats for attempt in seat.attempts} | apart.keys()
    learners = {*(seat.learner for seat in seats), *apart.values()}
    learners |= {one for one, other in workshop.aliases if other in learners}
    people = {*workshop.observers, *learners, *_deciders(logbook, workshop, attempts)}
    mine = {seat.observation_of(scope.of) for seat in seats}

    def fits(event: Event) -> bool:
        if event.kind == "person-named":
            return event.body.get("person") in people
        if event.workshop != workshop.id:
            return False
        if event.kind == "same-learner":
            return event.body.get("same_as") in learners
        if event.attempt and event.attempt not in attempts:
            return False
        if not event.attempt:
            return event.kind in ("workshop-planned", "form-added") or scope.kind != LEARNER
        return scope.kind != OBSERVER or not event.observation or event.observation in mine

    return fits


def _planned_apart(logbook: Logbook, workshop: Workshop) -> Mapping[str, str]:
    """Attempts that only tails of forks plan, with their learners: they are passed on too (E5)."""
    log = logbook.log
    found: dict[str, str] = {}
    for event in (
        one for fork in log.forks() for tail in fork.hashes for one in log.tail(fork, tail)
    ):
        if event.kind == "attempt-planned" and event.workshop == workshop.id:
            found[event.attempt] = str(event.body.get("learner"))
    return found


def _deciders(logbook: Logbook, workshop: Workshop, attempts: Collection[str]) -> set[str]:
    """Who decided anything about some attempts, whether they watched them or not."""
    read = logbook.log.read(workshop=workshop.id, kinds=_DECIDING)
    return {one.by for one in read if not one.attempt or one.attempt in attempts}


def _seats_in(workshop: Workshop, scope: Scope) -> Collection[Seat]:
    if scope.kind == OBSERVER:
        return [seat for seat in workshop.seats if scope.of in seat.observers]
    if scope.kind == LEARNER:
        return [seat for seat in workshop.seats if seat.learner == scope.of]
    return workshop.seats


def _send(
    logbook: Logbook,
    workshop: Workshop,
    path: Path,
    by: str,
    asked: tuple[str, Scope],
    carries: Callable[[Event], bool],
    blind: tuple[Seat, ...],
    passphrase: str,
) -> Sent:
    import hashlib

    from observe.store.outgoing import lines
    from observe.store.packet.container import write
    from observe.store.packet.manifest import Manifest
    from observe.trust.signature import sign

    if by not in workshop.observers:
        raise Refused(
            "Only who observes in a workshop writes a packet of it.",
            where=by,
            remedy="Name one of its observers.",
        )
    kind, scope = asked
    withheld = tuple(seat for seat in _seats_in(workshop, scope) if seat in blind)
    tell_seals(logbook, workshop, withheld)
    now = logbook.machine.stamp().at
    name = logbook.names().get(by, by)
    key = logbook.keys.key(by, name, datetime.fromisoformat(now))
    manifest = Manifest(
        kind=kind,
        workshops=(workshop.id,),
        scope=scope.kind,
        of=scope.of,
        made_at=now,
        by=by,
        name=name,
        device=logbook.log.device,
        withheld=len(withheld),
    )
    whole = write(
        path,
        manifest,
        lines(logbook.log, carries, workshops=(workshop.id,), tails=scope.kind == WORKSHOP),
        {one.form: logbook.log.form_source(one.form) for one in workshop.forms},
        lambda payload: sign(payload, key.private, chain_of(logbook, key)),
        passphrase=passphrase,
    )
    digest = hashlib.sha256(whole.as_bytes()).hexdigest()
    body = {"packet": digest, "kind": kind, "scope": scope.kind, "of": scope.of}
    logbook.append([Draft("packet-sent", body, workshop=workshop.id, by=by)])
    return Sent(path, digest, whole, withheld)
