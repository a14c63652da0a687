"""What the marks in force add up to: a fold of the entries that were not taken back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from observe.domain.events import Stamp
from observe.domain.form import Critical, CriticalKind, Form, Mode, Step
from observe.domain.marks import NOT_DONE, NOT_SEEN, Mark, from_record, standing
from observe.domain.profile import Profile


@dataclass(frozen=True)
class Ground:
    """What an observation stands on: the form, what is done today, what it counts for."""

    form: Form
    profile: Profile
    mode: Mode
    in_play: dict[str, tuple[Step, ...]] = field(
        default_factory=dict, init=False, compare=False, repr=False
    )

    def steps(self, variant: str) -> tuple[Step, ...]:
        """The steps in play, in order; worked out once for each variant."""
        if variant not in self.in_play:
            self.in_play[variant] = self.profile.steps(self.form, variant)
        return self.in_play[variant]


class Verdict(StrEnum):
    """What became of one recorded occurrence of a critical item (rule C2)."""

    FATAL = "fatal"
    RECOVERED = "recovered"
    AVERTED = "averted"
    COUNTED = "counted"
    WITHDRAWN = "withdrawn"


def verdicts_for(item: Critical) -> tuple[Verdict, ...]:
    """The verdicts that fit a critical item, in the order in which they are offered."""
    if item.kind is CriticalKind.TALLY:
        return (Verdict.COUNTED, Verdict.AVERTED, Verdict.WITHDRAWN)
    if item.kind is CriticalKind.RECOVERABLE:
        return (Verdict.FATAL, Verdict.RECOVERED, Verdict.AVERTED, Verdict.WITHDRAWN)
    return (Verdict.FATAL, Verdict.AVERTED, Verdict.WITHDRAWN)


@dataclass(frozen=True, slots=True)
class Occurrence:
    """One recorded occurrence. item: empty until it is named. verdict: None until classified.

    is_timed: whether `elapsed_ns` is known; not so from a paper that does not say.
    """

    id: str
    item: str
    at: str
    elapsed_ns: int
    verdict: Verdict | None = None
    is_timed: bool = True


@dataclass(frozen=True, slots=True)
class Entry:
    """One event in force that can be taken back.

    place: its place among all that were ever entered into its observation, from 0; seq
    is its device's. stamp: when it was entered. elapsed_ns: the attempt's clock then.
    """

    id: str
    seq: int
    place: int
    gesture: str
    kind: str
    body: Mapping[str, Any]
    stamp: Stamp
    elapsed_ns: int
    is_typed: bool = False

    @property
    def is_timed(self) -> bool:
        """Whether it is known when it was seen; typed from paper, only if the paper says."""
        return not self.is_typed or "observed_ns" in self.body

    @property
    def at(self) -> str:
        """When it was entered, ISO 8601."""
        return self.stamp.at

    @property
    def observed_ns(self) -> int:
        """The attempt's clock when it was seen; earlier than `elapsed_ns` if entered late."""
        return int(self.body.get("observed_ns", self.elapsed_ns))

    @property
    def source(self) -> str:
        """The observation that it was moved from; empty if it was entered here (rule E3)."""
        return str(self.body.get("source", ""))


@dataclass(frozen=True, slots=True)
class Placed:
    """A mark in its place. observed: the clock when it was seen; entered: when it was entered.

    is_typed: from paper. is_timed: whether `observed_ns` is known.
    """

    mark: Mark
    entry: str
    at: str
    observed_ns: int
    entered_ns: int
    is_typed: bool = False
    is_timed: bool = True

    @property
    def is_late(self) -> bool:
        """Whether it was not entered as it happened."""
        return self.is_typed or self.observed_ns != self.entered_ns


@dataclass(frozen=True)
class Board:
    """Marks by step, where the learner is, and what critical items were recorded.

    front: the step the learner is at; empty when past the last one.
    at: the step in front of the observer, `front` unless an earlier one is visited.
    """

    variant: str = ""
    placed: Mapping[str, tuple[Placed, ...]] = field(default_factory=dict)
    front: str = ""
    at: str = ""
    occurrences: Mapping[str, Occurrence] = field(default_factory=dict)
    claims: frozenset[str] = frozenset()

    def mark(self, step: str) -> Mark:
        """The mark that stands on a step; not seen if none was set."""
        return standing(one.mark for one in self.placed.get(step, ()))


def opening(ground: Ground, variant: str, front: str = "") -> Board:
    """The board before the first mark. front: the step the learner is at, if not the first."""
    steps = [step.id for step in ground.steps(variant)]
    first = front if front in steps else next(iter(steps), "")
    return Board(variant=variant, front=first, at=first)


def replay(ground: Ground, variant: str, entries: Iterable[Entry], front: str = "") -> Board:
    """The board that entries in force add up to, oldest first. front: as in `opening`."""
    board = opening(ground, variant, front)
    for entry in entries:
        board = advance(ground, board, entry)
    return board


def advance(ground: Ground, board: Board, entry: Entry) -> Board:
    """The board after one more entry. What cannot apply is ignored, never raised."""
    move = _MOVES.get(entry.kind)
    return board if move is None else move(ground, board, entry)


def _steps(ground: Ground, board: Board) -> tuple[Step, ...]:
    return ground.steps(board.variant)


def _place(ground: Ground, board: Board, step: str) -> int:
    """Index of a step among those in play; their number if it is empty or not among them."""
    steps = _steps(ground, board)
    return next((index for index, one in enumerate(steps) if one.id == step), len(steps))


def _with_mark(board: Board, step: str, mark: Mark, entry: Entry) -> Board:
    placed = Placed(
        mark,
        entry.id,
        entry.at,
        entry.observed_ns,
        entry.elapsed_ns,
        is_typed=entry.is_typed,
        is_timed=entry.is_timed,
    )
    marks = dict(board.placed)
    marks[step] = (*marks.get(step, ()), placed)
    return replace(board, placed=MappingProxyType(marks))


def _mark_set(ground: Ground, board: Board, entry: Entry) -> Board:
    step = str(entry.body.get("step", ""))
    if _place(ground, board, step) == len(_steps(ground, board)):
        return board
    board = _with_mark(board, step, from_record(entry.body["mark"]), entry)
    if step == board.front:
        front = _next_unmarked(ground, board, step)
        return replace(board, front=front, at=front)
    if step == board.at:
        return replace(board, at=board.front)
    return board


def _next_unmarked(ground: Ground, board: Board, step: str) -> str:
    steps = _steps(ground, board)
    for other in steps[_place(ground, board, step) + 1 :]:
        if other.id not in board.placed:
            return other.id
    return ""


def _moved_to(ground: Ground, board: Board, entry: Entry) -> Board:
    step = str(entry.body.get("step", ""))
    target = _place(ground, board, step)
    if step and target == len(_steps(ground, board)):
        return board
    if target >= _place(ground, board, board.front):
        return replace(board, front=step, at=step)
    return replace(board, at=step)


def _order_claimed(ground: Ground, board: Board, entry: Entry) -> Board:
    step = str(entry.body.get("step", ""))
    if _place(ground, board, step) == len(_steps(ground, board)):
        return board
    return replace(board, claims=board.claims | {step})


def _variant_chosen(ground: Ground, board: Board, entry: Entry) -> Board:
    variant = str(entry.body.get("variant", ""))
    if variant not in {one.id for one in ground.form.variants}:
        return board
    changed = replace(board, variant=variant)
    kept = {step.id for step in _steps(ground, changed)}
    placed = {step: marks for step, marks in board.placed.items() if step in kept}
    changed = replace(changed, placed=MappingProxyType(placed), claims=board.claims & kept)
    if board.front in kept:
        return replace(changed, at=board.at if board.at in kept else board.front)
    front = _first_in_play_from(ground, changed, board.front)
    return replace(changed, front=front, at=front)


def _first_in_play_from(ground: Ground, board: Board, step: str) -> str:
    order = [one.id for one in ground.form.steps]
    start = order.index(step) if step in order else len(order)
    kept = {one.id for one in _steps(ground, board)}
    later = (one for one in order[start:] if one in kept and one not in board.placed)
    return next(later, "")


def _critical_recorded(ground: Ground, board: Board, entry: Entry) -> Board:
    item = str(entry.body.get("item", ""))
    seen = Occurrence(entry.id, "", entry.at, entry.observed_ns, is_timed=entry.is_timed)
    occurrence = _named(ground, seen, item)
    if "verdict" in entry.body:
        verdict = Verdict(entry.body["verdict"])
        if fits_occurrence(ground, occurrence, verdict):
            occurrence = replace(occurrence, verdict=verdict)
    return _with_occurrence(board, occurrence)


def _critical_named(ground: Ground, board: Board, entry: Entry) -> Board:
    occurrence = board.occurrences.get(str(entry.body.get("occurrence", "")))
    if occurrence is None:
        return board
    return _with_occurrence(board, _named(ground, occurrence, str(entry.body.get("item", ""))))


def _named(ground: Ground, occurrence: Occurrence, item: str) -> Occurrence:
    known = ground.form.critical.get(item)
    if known is None:
        return occurrence
    verdict = Verdict.COUNTED if known.kind is CriticalKind.TALLY else None
    return replace(occurrence, item=item, verdict=verdict)


def _critical_classified(ground: Ground, board: Board, entry: Entry) -> Board:
    """Keep a verdict that fits the item; one that was for another item lapses with its name."""
    occurrence = board.occurrences.get(str(entry.body.get("occurrence", "")))
    verdict = Verdict(entry.body["verdict"])
    if occurrence is None or not fits_occurrence(ground, occurrence, verdict):
        return board
    return _with_occurrence(board, replace(occurrence, verdict=verdict))


def fits_occurrence(ground: Ground, occurrence: Occurrence, verdict: Verdict) -> bool:
    """Whether a verdict can stand on an occurrence; until it is named, only "withdrawn"."""
    item = ground.form.critical.get(occurrence.item)
    return verdict is Verdict.WITHDRAWN or (item is not None and verdict in verdicts_for(item))


def _with_occurrence(board: Board, occurrence: Occurrence) -> Board:
    occurrences = dict(board.occurrences)
    occurrences[occurrence.id] = occurrence
    return replace(board, occurrences=MappingProxyType(occurrences))


def _time_called(ground: Ground, board: Board, entry: Entry) -> Board:
    in_play = {step.id for step in _steps(ground, board)}
    for step in entry.body.get("steps", ()):
        if step in in_play and board.mark(step) == NOT_SEEN:
            board = _with_mark(board, step, NOT_DONE, entry)
    return replace(board, front="", at="")


_MOVES = {
    "mark-set": _mark_set,
    "moved-to": _moved_to,
    "order-claimed": _order_claimed,
    "variant-chosen": _variant_chosen,
    "critical-recorded": _critical_recorded,
    "critical-named": _critical_named,
    "critical-classified": _critical_classified,
    "time-called": _time_called,
}

REVOCABLE = frozenset(_MOVES)
"""Kinds of events that can be taken back before the seal."""
