"""That an observation is sealed, told to other machines while its marks stay behind (rule T3)."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from observe.domain.events import Draft, Event
from observe.domain.workshop import Seat, Workshop
from observe.domain.writers import branch, lineage
from observe.work.logbooks import Logbook

KIND = "seal-told"


def is_sealed(logbook: Logbook, observation: str) -> bool:
    """Whether an observation is sealed here, in a part or whole, with its marks."""
    return any(one.kind == "sealed" for one in logbook.observation(observation))


def tell_seals(logbook: Logbook, workshop: Workshop, seats: Iterable[Seat]) -> None:
    """Keep, for the packets that follow, which observations of these seats were sealed here.

    Each with the hash of its seal, which binds whoever tells it to the marks before it. What
    another machine opened is opened here too, for only who opened it is believed.
    """
    told = {(one.body.get("observation"), one.body.get("seal")) for one in _told(logbook)}
    own = logbook.log.devices()
    drafts: list[Draft] = []
    for seat in seats:
        for one in seat.observers:
            events = logbook.observation(id_ := seat.observation_of(one))
            for event in events:
                if event.kind != "sealed" or event.device not in own or (id_, event.hash) in told:
                    continue
                drafts += _opened_here(logbook, events, own)
                body = {"observation": id_, "seal": event.hash}
                drafts.append(Draft(KIND, body, workshop.id, seat.attempt, by=one))
    if drafts:
        logbook.append(drafts)


def _opened_here(
    logbook: Logbook, events: Sequence[Event], own: Collection[str]
) -> Iterator[Draft]:
    """The opening of an observation under this machine's name; nothing where it opened it."""
    first = events[0]
    opened = logbook.log.read(observation=first.observation)
    if not any(one.kind == first.kind and one.device in own for one in opened):
        yield Draft(
            first.kind,
            first.body,
            first.workshop,
            first.attempt,
            first.observation,
            first.by,
        )


def told_sealed(logbook: Logbook) -> frozenset[str]:
    """The observations that are told to be sealed by the machine that wrote them."""
    return frozenset(str(one.body.get("observation")) for one in _believed(logbook))


@dataclass(frozen=True, slots=True)
class OtherSeal:
    """Marks that came with another seal than the one that was told before anybody saw others'."""

    observation: str
    attempt: str
    observer: str


def other_seals(logbook: Logbook, workshop: Workshop) -> Iterator[OtherSeal]:
    """The observations of a workshop whose seal is not the one that was told."""
    for event in _believed(logbook):
        id_ = str(event.body.get("observation"))
        came = [one.hash for one in logbook.observation(id_) if one.kind == "sealed"]
        if event.workshop == workshop.id and came and event.body.get("seal") not in came:
            yield OtherSeal(id_, event.attempt, event.by)


def _told(logbook: Logbook) -> list[Event]:
    return logbook.log.read(kinds=(KIND,))


def _believed(logbook: Logbook) -> list[Event]:
    """What was told of an observation by the machine that opened it."""
    told = _told(logbook)
    if not told:
        return []
    known = lineage(logbook.log.read(kinds=("device-named",)))
    opened: dict[str, list[Event]] = {}
    for event in logbook.log.read(kinds=("observation-opened",)):
        opened.setdefault(event.observation, []).append(event)
    return [
        one
        for one in told
        if any(
            branch(one.device, known).holds(begun)
            for begun in opened.get(str(one.body.get("observation")), ())
        )
    ]
