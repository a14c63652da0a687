"""One observer's record of one attempt: a fold of its events (rules M, C, E2, E3, D3)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from observe.domain.board import (
    REVOCABLE,
    Board,
    Entry,
    Ground,
    Occurrence,
    Verdict,
    advance,
    fits_occurrence,
    opening,
    replay,
)
from observe.domain.bodies import is_readable, is_variant
from observe.domain.clock import Clock
from observe.domain.events import Event, Stamp, lifted
from observe.domain.form import Mode, Step
from observe.domain.marks import NOT_SEEN, Mark, State, from_record
from observe.domain.standard import Bound, bound_from
from observe.domain.succession import Continuation, HandedOver
from observe.domain.succession import from_record as continuation_from
from observe.domain.transcript import Transcript
from observe.domain.transcript import from_record as from_paper


class Role(StrEnum):
    FACULTY = "faculty"
    PEER = "peer"
    SELF = "self"


_ROLES = tuple(Role)


class Slot(StrEnum):
    """Where free text belongs."""

    STRENGTH = "strength"
    CHANGE = "change"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Amendment:
    """A change after the seal; both values are kept (rule D3).

    target: step, occurrence, overall or dimension; id: which one. before and
    after are as the events hold them. countersigned: who, empty if nobody.
    """

    event: str
    at: str
    by: str
    target: str
    id: str
    before: Any
    after: Any
    countersigned: str


@dataclass(frozen=True, slots=True)
class Moved:
    """Entries that were moved to another observation, which alone can send them back (E3)."""

    to: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class Observation:
    """The state of one observation. Build it with `opened` and `step`, or `fold`.

    entries: what is in force, oldest first. undone: gestures taken back that can
    be put back, the latest last. moved: what went to other learners. entered: how
    many entries there ever were. looks: the clock at each look without a mark, in
    nanoseconds. countersigned: who countersigned the void. reasons: step to the
    event that gave a reason for "not applicable". texts: slot, or "step:ID", to the
    event whose text stands beside it. newer: events this program cannot read, written
    by a newer version or damaged; the observation is undecidable here (rule E1).
    continues: the part of another observer that it goes on from. handed: to whom it
    went (rule T5). transcript: the paper that was typed in. is_typed: it is being
    typed, so no clock runs. typists: who typed, in turn. time_typed: whether the paper
    told the time taken. standards: by variant, the approved standard that the attempt is bound
    to since it was opened (rule F7).
    """

    id: str
    attempt: str
    learner: str
    observer: str
    role: Role
    ground: Ground
    variant_at_opening: str
    opened_at: str
    board: Board
    entries: tuple[Entry, ...] = ()
    undone: tuple[tuple[Entry, ...], ...] = ()
    moved: tuple[Moved, ...] = ()
    entered: int = 0
    clock: Clock = field(default_factory=Clock)
    reasons: Mapping[str, str] = field(default_factory=dict)
    overall: int | None = None
    dimensions: Mapping[str, int | None] = field(default_factory=dict)
    independence: int | None = None
    attested: frozenset[str] = frozenset()
    texts: Mapping[str, str] = field(default_factory=dict)
    stopped: Stamp | None = None
    void: str = ""
    countersigned: str = ""
    looks: tuple[int, ...] = ()
    sealed: Stamp | None = None
    amended_marks: Mapping[str, Mark] = field(default_factory=dict)
    amended_occurrences: Mapping[str, Occurrence] = field(default_factory=dict)
    amendments: tuple[Amendment, ...] = ()
    newer: tuple[str, ...] = ()
    continues: Continuation | None = None
    handed: HandedOver | None = None
    transcript: Transcript | None = None
    is_typed: bool = False
    typists: tuple[str, ...] = ()
    time_typed: bool = False
    standards: Mapping[str, Bound] = field(default_factory=dict)

    @property
    def is_typed_in(self) -> bool:
        """Whether a paper is being typed, and something of it is kept already."""
        rated = (self.overall, self.independence) != (None, None) or bool(self.dimensions)
        kept = (self.entries, self.undone, self.moved, self.texts, self.attested, self.void)
        return self.is_typed and (rated or self.time_typed or any(kept))

    @property
    def elapsed_s(self) -> int | None:
        """The time taken in whole seconds; None if no clock ran and no paper told it."""
        known = self.clock.started is not None or self.time_typed
        return self.clock.spent_ns // 1_000_000_000 if known else None

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps in play, in order."""
        return self.ground.steps(self.board.variant)

    @property
    def numbers(self) -> Mapping[str, int]:
        """Step id to its number as people see it, from 1 among the variant's steps."""
        return self.ground.form.numbers_of(self.board.variant)

    def mark(self, step: str) -> Mark:
        """The mark that stands on a step, amendments included."""
        amended = self.amended_marks.get(step)
        return self.board.mark(step) if amended is None else amended

    @property
    def marks(self) -> Mapping[str, Mark]:
        """Every step in play with its mark."""
        return {step.id: self.mark(step.id) for step in self.steps}

    @property
    def occurrences(self) -> tuple[Occurrence, ...]:
        """Recorded occurrences of critical items, oldest first, amendments included."""
        return tuple({**self.board.occurrences, **self.amended_occurrences}.values())

    def is_passed(self, step: str) -> bool:
        """Whether the learner is past a step."""
        order = [one.id for one in self.steps]
        front = order.index(self.board.front) if self.board.front in order else len(order)
        return step in order and order.index(step) < front

    @property
    def last(self) -> Entry | None:
        """The newest entry in force, the one "take back" means."""
        return self.entries[-1] if self.entries else None

    def gesture_of(self, event: str) -> tuple[Entry, ...]:
        """All entries in force of the gesture that an event belongs to."""
        gesture = next((one.gesture for one in self.entries if one.id == event), None)
        return tuple(one for one in self.entries if one.gesture == gesture)


def opened(event: Event, ground: Ground) -> Observation:
    """The observation that an `observation-opened` event begins.

    One that cannot be read opens an observation without learner, undecidable here.
    """
    readable = _opening_is_readable(event, ground)
    body: Mapping[str, Any] = lifted(event) if readable else {}
    variant = str(body.get("variant", ""))
    continues, paper = _continues(body, ground), from_paper(body)
    return Observation(
        id=event.observation,
        attempt=event.attempt,
        learner=str(body.get("learner", "")),
        observer=paper.watched_by if paper else event.by,
        role=Role(body.get("role", Role.FACULTY)),
        ground=ground,
        variant_at_opening=variant,
        opened_at=event.stamp.at,
        board=opening(ground, variant, continues.front if continues else ""),
        clock=_clock_of(continues, event.stamp),
        newer=() if readable else (event.id,),
        continues=continues,
        transcript=paper,
        is_typed=paper is not None,
        typists=(event.by,) if paper else (),
        standards=_standards(body, ground),
    )


def _continues(body: Mapping[str, Any], ground: Ground) -> Continuation | None:
    kept = body.get("continues")
    return None if kept is None else continuation_from(kept, ground.form.step)


def _standards(body: Mapping[str, Any], ground: Ground) -> dict[str, Bound]:
    return bound_from(body.get("standards"), [one.id for one in ground.form.variants])


def _clock_of(continues: Continuation | None, now: Stamp) -> Clock:
    """The clock a successor begins with: it goes on from where it was."""
    if continues is None or continues.elapsed_ns is None:
        return Clock()
    return Clock(now, now if continues.running else None, continues.elapsed_ns)


def _opening_is_readable(event: Event, ground: Ground) -> bool:
    if not is_readable(event, ground):
        return False
    body = lifted(event)
    variant = body.get("variant", "")
    known = variant == "" or is_variant(ground, variant)
    try:
        _continues(body, ground)
        from_paper(body)
        _standards(body, ground)
    except ValueError:
        return False
    return known and isinstance(body.get("learner"), str) and body.get("role", "faculty") in _ROLES


def fold(events: Iterable[Event], ground: Ground) -> Observation:
    """The state that the events of one observation add up to, in their writer's sequence.

    The first must be `observation-opened`; raises ValueError otherwise.
    """
    ordered = iter(events)
    first = next(ordered, None)
    if first is None or first.kind != "observation-opened":
        raise ValueError("an observation begins with the event that opens it")
    state = opened(first, ground)
    for event in ordered:
        state = step(state, event)
    return state


def step(state: Observation, event: Event) -> Observation:
    """The state after one more event.

    One that cannot be read is noted in `newer`; one that cannot apply changes nothing.
    """
    if event.observation != state.id:
        return state
    if not is_readable(event, state.ground):
        return replace(state, newer=(*state.newer, event.id))
    if state.handed and event.kind not in AFTER_HANDOVER:
        return state
    if event.kind in REVOCABLE:
        return state if state.sealed else _entered(_typed_by(state, event), event)
    change = _CHANGES.get(event.kind)
    if change is None or (state.sealed and event.kind not in _AFTER_SEAL):
        return state
    return change(_typed_by(state, event), event, lifted(event))


def _typed_by(state: Observation, event: Event) -> Observation:
    """With who wrote an event among the typists, while a paper is typed in."""
    if not state.is_typed or state.sealed or event.by in state.typists:
        return state
    return replace(state, typists=(*state.typists, event.by))


def _entered(state: Observation, event: Event) -> Observation:
    entry = Entry(
        id=event.id,
        seq=event.seq,
        place=state.entered,
        gesture=event.gesture,
        kind=event.kind,
        body=lifted(event),
        stamp=event.stamp,
        elapsed_ns=state.clock.elapsed_ns(event.stamp),
        is_typed=state.is_typed,
    )
    return replace(
        state,
        board=advance(state.ground, state.board, entry),
        entries=(*state.entries, entry),
        undone=(),
        entered=state.entered + 1,
    )


def _replayed(state: Observation, entries: tuple[Entry, ...]) -> Observation:
    front = state.continues.front if state.continues else ""
    board = replay(state.ground, state.variant_at_opening, entries, front)
    return replace(state, entries=entries, board=board)


def _taken_back(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    named = set(body.get("events", ()))
    if state.void in named:
        return replace(state, void="", countersigned="")
    taken = tuple(one for one in state.entries if one.id in named)
    if not taken:
        return state
    kept = tuple(one for one in state.entries if one.id not in named)
    changed = _replayed(state, kept)
    if "to" in body:
        return replace(changed, moved=(*state.moved, Moved(str(body["to"]), taken)))
    return replace(changed, undone=(*state.undone, taken))


def _put_back(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    named = set(body.get("events", ()))
    if "from" in body:
        return _come_back(state, str(body["from"]), named)
    group = next((one for one in state.undone if {entry.id for entry in one} == named), None)
    if group is None:
        return state
    entries = _in_order((*state.entries, *group))
    undone = tuple(one for one in state.undone if one is not group)
    return replace(_replayed(state, entries), undone=undone)


def _come_back(state: Observation, sender: str, named: set[str]) -> Observation:
    """What was moved to another observation, and is sent back from there, is in force again."""
    back: list[Entry] = []
    away: list[Moved] = []
    for one in state.moved:
        here = {entry.id for entry in one.entries if one.to == sender} & named
        back += [entry for entry in one.entries if entry.id in here]
        kept = tuple(entry for entry in one.entries if entry.id not in here)
        away += [replace(one, entries=kept)] if kept else []
    if not back:
        return state
    changed = _replayed(state, _in_order((*state.entries, *back)))
    return replace(changed, moved=tuple(away))


def _in_order(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    return tuple(sorted(entries, key=lambda entry: entry.place))


def _clock_started(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    return replace(state, clock=state.clock.start(event.stamp))


def _clock_paused(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    return replace(state, clock=state.clock.pause(event.stamp))


def _reason_given(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    return replace(state, reasons={**state.reasons, str(body["step"]): event.id})


def _overall_given(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    return replace(state, overall=int(body["value"]))


def _dimension_given(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    value = body["value"]
    rated = {**state.dimensions, str(body["dimension"]): None if value is None else int(value)}
    return replace(state, dimensions=MappingProxyType(rated))


def _independence_given(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    return replace(state, independence=int(body["level"]))


def _watch_attested(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    return replace(state, attested=frozenset(body["items"]))


def _text_written(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    slot = str(body["slot"])
    others = {one: written for one, written in state.texts.items() if one != slot}
    return replace(state, texts=others if body.get("cleared") else {**others, slot: event.id})


def _safety_stopped(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    return replace(state, stopped=event.stamp, clock=state.clock.pause(event.stamp))


def _safety_lifted(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    return replace(state, stopped=None, clock=state.clock.start(event.stamp))


def _voided(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    countersigned = str(body.get("countersigned", ""))
    if state.ground.mode is Mode.SUMMATIVE and countersigned in _nobody(state):
        return state
    clock = state.clock.pause(event.stamp)
    return replace(state, void=event.id, countersigned=countersigned, clock=clock)


def _nobody(state: Observation) -> tuple[str, ...]:
    """Whose countersignature is none: no one's, the observer's, a typist's, the learner's."""
    return ("", state.observer, *state.typists, state.learner)


def _looked(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    return replace(state, looks=(*state.looks, state.clock.elapsed_ns(event.stamp)))


def _handed_over(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    handed = HandedOver(
        event=event.id,
        to=str(body["to"]),
        last=str(body["last"]),
        stamp=event.stamp,
        spent_ns=state.clock.elapsed_ns(event.stamp),
        running=state.clock.is_running,
    )
    return replace(state, handed=handed, clock=state.clock.pause(event.stamp), undone=())


def _transcription_begun(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    """From here on a paper is typed in; not into what was marked live."""
    paper = from_paper(body)
    fits = paper is not None and paper.watched_by == state.observer
    if not fits or state.entries or state.clock.started:
        return state
    return _typed_by(replace(state, transcript=paper, is_typed=True), event)


def _transcription_ended(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    """Marked live from here on; a paper of which nothing was typed is as if it had never been."""
    if state.is_typed and not state.is_typed_in:
        return replace(state, is_typed=False, transcript=None, typists=())
    return replace(state, is_typed=False)


def _time_typed(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    if not state.is_typed:
        return state
    clock = replace(state.clock, spent_ns=int(body["spent_ns"]))
    return replace(state, clock=clock, time_typed=True)


def _sealed(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    clock = state.clock.pause(event.stamp)
    return replace(state, sealed=event.stamp, clock=clock, undone=())


def _amended(state: Observation, event: Event, body: Mapping[str, Any]) -> Observation:
    if not state.sealed:
        return state
    note = Amendment(
        event=event.id,
        at=event.stamp.at,
        by=event.by,
        target=str(body["target"]),
        id=str(body["id"]),
        before=body.get("from"),
        after=body["to"],
        countersigned=str(body.get("countersigned", "")),
    )
    changed = _with_amendment(state, event, note)
    return replace(changed, amendments=(*state.amendments, note)) if changed else state


def _with_amendment(state: Observation, event: Event, note: Amendment) -> Observation | None:
    """The state with an amendment applied; None if it may not be (rule D2)."""
    if note.target == "step":
        unseen = state.mark(note.id) == NOT_SEEN
        if note.id not in state.marks or (unseen and note.countersigned in _nobody(state)):
            return None
        mark = from_record(note.after)
        return replace(state, amended_marks={**state.amended_marks, note.id: mark})
    if note.target == "occurrence":
        return _with_amended_occurrence(state, event, note)
    if note.target == "overall":
        return replace(state, overall=int(note.after))
    return replace(state, dimensions={**state.dimensions, note.id: note.after})


def _with_amended_occurrence(
    state: Observation, event: Event, note: Amendment
) -> Observation | None:
    known = {one.id: one for one in state.occurrences}
    verdict = Verdict(note.after["verdict"])
    if note.id:
        if note.id not in known:
            return None
        occurrence = replace(known[note.id], verdict=verdict)
    else:
        elapsed = state.clock.spent_ns
        occurrence = Occurrence(event.id, note.after["item"], event.stamp.at, elapsed, verdict)
    if not fits_occurrence(state.ground, occurrence, verdict):
        return None
    changed = {**state.amended_occurrences, occurrence.id: occurrence}
    return replace(state, amended_occurrences=changed)


_CHANGES = {
    "taken-back": _taken_back,
    "put-back": _put_back,
    "clock-started": _clock_started,
    "clock-paused": _clock_paused,
    "reason-given": _reason_given,
    "overall-given": _overall_given,
    "dimension-given": _dimension_given,
    "independence-given": _independence_given,
    "watch-attested": _watch_attested,
    "text-written": _text_written,
    "safety-stopped": _safety_stopped,
    "safety-lifted": _safety_lifted,
    "voided": _voided,
    "handed-over": _handed_over,
    "looked": _looked,
    "transcription-begun": _transcription_begun,
    "transcription-ended": _transcription_ended,
    "time-typed": _time_typed,
    "sealed": _sealed,
    "amended": _amended,
}

_AFTER_SEAL = frozenset({"amended"})

AFTER_HANDOVER = frozenset(
    {
        "critical-named",
        "critical-classified",
        "reason-given",
        "text-written",
        "watch-attested",
        "sealed",
        "amended",
    }
)
"""What the one who handed over may still say of their own part (rule T5)."""


def open_reasons(state: Observation) -> tuple[str, ...]:
    """Steps marked not applicable whose reason is still open."""
    return tuple(
        step_id
        for step_id, mark in state.marks.items()
        if mark.state is State.NOT_APPLICABLE and step_id not in state.reasons
    )
