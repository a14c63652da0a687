"""What one cell of the Grid says: a pure reading of one step in one observation."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from observe.desk.live import reading
from observe.domain.board import Occurrence
from observe.domain.marks import Mark, State
from observe.domain.markwords import PROMPTS, STATES, mark_words
from observe.domain.observation import Observation
from observe.domain.printing import clock
from observe.look.marks import MarkLook
from observe.look.signs import SignLook


class Place(StrEnum):
    """Where a cell stands to its learner."""

    USUAL = "usual"
    NOW = "now"
    """The step in front of the observer."""
    WAITS = "waits"
    """The step the learner is at, while another one is visited."""
    MISSING = "missing"
    """The learner's variant, or today's profile, lacks the step."""


@dataclass(frozen=True, slots=True)
class Cell:
    """All that a cell shows. word: one or two; time: observed, on the attempt's clock.

    flags: signs of the critical events that fell on this step; claimed: seen out of order.
    said: for the reader, without number and name. entered: when a late mark was entered,
    in words (rule E2).
    """

    look: MarkLook = MarkLook.AHEAD
    place: Place = Place.USUAL
    word: str = ""
    time: str = ""
    flags: tuple[SignLook, ...] = ()
    voiced: bool = False
    claimed: bool = False
    said: str = "ahead"
    entered: str = ""


MISSING = "not in this variant"
OTHER_FORM = "not in this form"
NOT_TODAY = "not done today"

_WORDS: Mapping[State, str] = MappingProxyType(
    {**STATES, State.NOT_APPLICABLE: "not appl.", State.DID_NOT_ARISE: "did not arise"}
)


def missing_cell(observation: Observation, form: str, step: str) -> Cell:
    """A step that this learner does not do, with the reason in words."""
    own = observation.ground.form
    if own.whole_digest != form:
        words = OTHER_FORM
    elif step in observation.numbers:
        words = NOT_TODAY
    else:
        words = MISSING
    return Cell(place=Place.MISSING, word=words, said=words)


@reading.once_for_a_state
def cells_of(observation: Observation) -> Mapping[str, Cell]:
    """Step id to its cell, for the steps in play."""
    board = observation.board
    front = reading.front_place(observation)
    events: dict[int, list[Occurrence]] = {}
    flags = reading.flags_of(observation)
    for (place, _), one in zip(flags, reading.recorded(observation), strict=True):
        events.setdefault(place, []).append(one)
    found: dict[str, Cell] = {}
    for place, step in enumerate(observation.steps):
        here = Place.USUAL
        if not observation.sealed and step.id == board.at:
            here = Place.NOW
        elif not observation.sealed and step.id == board.front:
            here = Place.WAITS
        recorded = tuple(events.get(place, ()))
        found[step.id] = _cell(observation, step.id, here, recorded, passed=place < front)
    return MappingProxyType(found)


def _cell(
    observation: Observation,
    step: str,
    here: Place,
    recorded: tuple[Occurrence, ...],
    *,
    passed: bool,
) -> Cell:
    mark = observation.mark(step)
    seen = mark.state is not State.NOT_SEEN
    placed = observation.board.placed.get(step, ())
    last = placed[-1] if placed else None
    look = reading.mark_look(mark) if seen or passed else MarkLook.AHEAD
    time = clock(last.observed_ns) if seen and last and last.is_timed else ""
    late = f"entered {clock(last.entered_ns)}" if time and last and last.is_late else ""
    word = short_word(mark) if seen or passed else ""
    claimed = step in observation.board.claims
    return Cell(
        look=look,
        place=here,
        word=word,
        time=time,
        entered=late,
        flags=tuple(reading.sign_of(one) for one in recorded),
        voiced=mark.voiced,
        claimed=claimed,
        said=_said(observation, step, here, recorded, passed=passed),
    )


def short_word(mark: Mark) -> str:
    """The word of a mark in a cell: done with help is said by the help."""
    word = _WORDS[mark.state]
    if mark.state is State.DONE and mark.prompt:
        word = PROMPTS[mark.prompt]
    if mark.voiced:
        return "voiced" if mark == Mark(State.DONE, voiced=True) else f"{word}, voiced"
    return word


def _said(
    observation: Observation,
    step: str,
    here: Place,
    recorded: tuple[Occurrence, ...],
    *,
    passed: bool,
) -> str:
    mark = observation.mark(step)
    placed = observation.board.placed.get(step, ())
    seen = mark.state is not State.NOT_SEEN
    parts = ["now" if here is Place.NOW else "waits here" if here is Place.WAITS else ""]
    if seen or passed:
        parts.append(mark_words(mark))
    elif here is Place.USUAL:
        parts.append("ahead")
    if seen and placed:
        parts.append(spoken(placed[-1].observed_ns))
        if placed[-1].is_late:
            parts.append(f"entered {spoken(placed[-1].entered_ns)}")
    if step in observation.board.claims:
        parts.append("out of order")
    parts.extend(
        f"critical {reading.occurrence_words(observation, one)} at {spoken(one.elapsed_ns)}"
        for one in recorded
    )
    return ", ".join(part for part in parts if part)


def spoken(nanoseconds: int) -> str:
    """A time in a cell as it is read aloud: "9 21"."""
    return reading.ago(nanoseconds).replace(":", " ")
