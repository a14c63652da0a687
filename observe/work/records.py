"""What the records are made of: machines, what has not come, packets, and what was handed out."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any

from observe.domain.events import Event
from observe.domain.observation import fold
from observe.domain.words import counted, listed
from observe.domain.workshop import Seat, Workshop
from observe.domain.writers import lineage
from observe.work.logbooks import Logbook
from observe.work.seals import told_sealed

NOTES = frozenset({"packet-sent", "packet-merged", "device-named"})
"""What a machine notes of packets and of itself: no news to another one."""


@dataclass(frozen=True, slots=True)
class Holder:
    """A machine whose events are here. device: its newest id.

    here: whether it is this machine. people: who wrote on it. seen: when its newest event that is
    here was written, by its own clock. missing: how many of its events, known to be there, did
    not come. lack: how many events of this machine it has not said that it took in.
    """

    device: str
    here: bool
    people: tuple[str, ...]
    events: int
    seen: str
    missing: int
    lack: int

    @property
    def told(self) -> bool:
        """Whether a packet from there says that it took in all that was written here."""
        return not self.lack

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is known of it."""
        said = [f"{counted(self.events, 'event')}, the newest of {_when(self.seen)} by its clock."]
        if self.missing:
            said.append(f"{counted(self.missing, 'event')} of it did not come, or stay withheld.")
        if not self.here:
            said.append(
                "It has taken in all that was written here."
                if self.told
                else f"As far as is known {counted(self.lack, 'event')} of this machine did not"
                " get there, or stay withheld."
            )
        return tuple(said)


class Coming(StrEnum):
    """How far an observer's record of an attempt has come."""

    NOTHING = "nothing has come"
    BEGUN = "begun, not sealed"
    WITHHELD = "sealed; the marks come once all who watch have sealed"


@dataclass(frozen=True, slots=True)
class Missing:
    """An observer's record of an attempt that is not here whole."""

    seat: Seat
    observer: str
    how: Coming


class Way(StrEnum):
    """What became of a record that left or came."""

    SENT = "sent"
    TAKEN_IN = "taken in"
    ISSUED = "issued"


@dataclass(frozen=True, slots=True)
class Disclosure:
    """That something left a machine or came in: a packet, or a sheet.

    about: a workshop's title, or a person's name. by: who did it; empty if nobody was named.
    digest: of the packet's manifest, or of the sheet. here: whether on this machine.
    """

    way: Way
    kind: str
    about: str
    by: str
    at: str
    digest: str
    here: bool

    @property
    def sentence(self) -> str:
        """What, about whom, by whom, at which time of its day."""
        who = f" by {self.by}" if self.by else ""
        where = "" if self.here else ", on another machine"
        about = f" of {self.about}" if self.about else ""
        said = f"{self.kind}{about}, {self.way.value}{who}{where}, at {self.at[11:16]} UTC"
        return f"{said[:1].upper()}{said[1:]}; {self.digest[:12]}."

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        return {
            "way": self.way.value,
            "kind": self.kind,
            "about": self.about,
            "by": self.by,
            "at": self.at,
            "digest": self.digest,
            "here": self.here,
        }


def holders(logbook: Logbook) -> tuple[Holder, ...]:
    """The machines whose events are here, this one first, then by their newest id."""
    log = logbook.log
    follows = lineage(log.read(kinds=("device-named",)))
    later = {one.device: device for device, one in follows.items()}
    own, names = log.devices(), logbook.names()
    gaps = log.gaps()
    mine: dict[str, list[int]] = {}
    found: dict[str, list[Event]] = {}
    for event in log.read():
        if event.device in own and event.kind not in NOTES:
            mine.setdefault(event.device, []).append(event.seq)
        found.setdefault(_newest_id(event.device, later), []).append(event)
    listed_ = [
        Holder(
            device=device,
            here=device in own,
            people=tuple(
                names.get(one, one) for one in dict.fromkeys(e.by for e in events if e.by)
            ),
            events=len(events),
            seen=max(event.stamp.at for event in events),
            missing=sum(
                last - first + 1
                for one in {event.device for event in events}
                for first, last in gaps.get(one, ())
            ),
            lack=0 if device in own else _not_taken_in(events, mine),
        )
        for device, events in found.items()
    ]
    return tuple(sorted(listed_, key=lambda one: (not one.here, one.device)))


def _newest_id(device: str, later: dict[str, str]) -> str:
    seen = {device}
    while device in later and later[device] not in seen:
        device = later[device]
        seen.add(device)
    return device


def _not_taken_in(events: Iterable[Event], mine: Mapping[str, Collection[int]]) -> int:
    """How many of our events a machine has not noted: past its heads of ours, or in their gaps.

    mine: by our device the numbers of what is to get there. A later note knows all of an earlier.
    """
    heads: dict[str, int] = {}
    gaps: dict[str, list[list[int]]] = {}
    for event in events:
        if event.kind == "packet-merged":
            for device, head in event.body.get("heads", {}).items():
                heads[device] = max(heads.get(device, 0), head[0])
                gaps[device] = event.body.get("gaps", {}).get(device, [])
    return sum(
        seq > heads.get(device, 0) or any(low <= seq <= high for low, high in gaps[device])
        for device, numbers in mine.items()
        for seq in numbers
    )


def missing(logbook: Logbook, workshop: Workshop) -> Iterator[Missing]:
    """The records of a workshop that are not here whole, in seat order."""
    told = told_sealed(logbook)
    for seat in workshop.seats:
        if seat.absent:
            continue
        ground = logbook.ground(workshop, seat)
        for observer in seat.observers:
            id_ = seat.observation_of(observer)
            events = logbook.observation(id_)
            if events and fold(events, ground).sealed:
                continue
            how = Coming.BEGUN if events else Coming.NOTHING
            yield Missing(seat, observer, Coming.WITHHELD if id_ in told else how)


_DISCLOSING = ("packet-sent", "packet-merged", "sheet-issued", "report-issued")


def disclosures(logbook: Logbook) -> tuple[Disclosure, ...]:
    """What left or came in, newest first: packets sent and taken in, sheets and reports issued."""
    names, own = logbook.names(), logbook.log.devices()
    workshops = logbook.workshops()
    found = []
    for event in logbook.log.read(kinds=_DISCLOSING):
        title = workshops[event.workshop].title if event.workshop in workshops else ""
        of = str(event.body.get("of", ""))
        kind = str(event.body.get("kind", "")) + " packet"
        way, digest = Way.SENT, str(event.body.get("packet", ""))
        about = names.get(of, of) or title
        if event.kind == "packet-merged":
            way = Way.TAKEN_IN
        elif event.kind == "sheet-issued":
            way, digest = Way.ISSUED, str(event.body.get("sha256", ""))
            kind, about = "sheet", _learner(workshops.get(event.workshop), event, names)
        elif event.kind == "report-issued":
            way, digest = Way.ISSUED, str(event.body.get("sha256", ""))
            kind, about = "director's report", str(event.body.get("form", ""))
        by = names.get(event.by, event.by)
        here = event.device in own
        found.append(Disclosure(way, kind, about, by, event.stamp.at, digest, here))
    return tuple(reversed(found))


def _learner(workshop: Workshop | None, event: Event, names: Any) -> str:  # noqa: ANN401 - a mapping
    seats = workshop.seats if workshop else ()
    found = (seat.learner for seat in seats if event.attempt in seat.attempts)
    learner = next(found, "")
    return str(names.get(learner, learner))


def lacks(logbook: Logbook, workshop: Workshop) -> tuple[str, ...]:
    """What this machine lacks to take part in a workshop, in sentences; empty if nothing.

    Every form that is used must be here, every learner and observer must have a name.
    """
    from observe.domain.troubles import Trouble

    found = []
    for used in workshop.forms:
        try:
            logbook.form(used.form)
        except Trouble as trouble:
            found.append(f"{trouble.what} {trouble.where[:12]}")
    names = logbook.names()
    people = {*workshop.observers, *(seat.learner for seat in workshop.seats)}
    if unnamed := sorted(people - names.keys()):
        found.append(f"The names of {listed(unnamed)} did not come.")
    if not workshop.seats:
        found.append(f"{workshop.title}: no attempt is planned in it. {_ASK}")
    if short := _unplanned(logbook, workshop):
        found.append(
            f"{workshop.title}: {counted(short, 'attempt')} of its plan did not come. {_ASK}"
        )
    return tuple(found)


_ASK = "Take the plan packet in."


def _unplanned(logbook: Logbook, workshop: Workshop) -> int:
    """How many attempts of the first plan are not here, as after a packet of one learner."""
    read = logbook.log.read(workshop=workshop.id, kinds=("workshop-planned", "attempt-planned"))
    first = next(one for one in read if one.kind == "workshop-planned")
    of = first.body.get("attempts")
    here = sum(one.kind == "attempt-planned" and one.gesture == first.gesture for one in read)
    return max(0, of - here) if type(of) is int and here else 0


def _when(at: str) -> str:
    moment = datetime.fromisoformat(at)
    return f"{moment:%d %B %Y, %H:%M}".lstrip("0")
