"""Readings of how an observation was entered, for its observer, after the seal (rule D3).

They are no findings: they stand beside a decision, change nothing in it, and are no part of a
score. A person who reads one knows best whether it means anything.

Why they are worth a sentence: of paper forms completed at once 2 in 100 had the same value
on every item, of those completed within a day 42 in 100 (Williams et al. 2014).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from observe.domain.board import Entry
from observe.domain.observation import Observation

SECOND_NS = 1_000_000_000
MINUTE_NS = 60 * SECOND_NS
LEAST_RATED = 4
"""So many dimensions with one value are a straight line; fewer are alike by chance."""
MANY = 5
"""So many steps at once are more than a person does while they are marked."""


class Kind(StrEnum):
    STRAIGHT_LINE = "straight line"
    FROM_MEMORY = "from memory"
    NOT_LOOKED = "not looked"


@dataclass(frozen=True, slots=True)
class Note:
    """One reading. steps: those it speaks of, in the order of entering; none for ratings."""

    kind: Kind
    sentence: str
    steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Measure:
    """When marks are many at once. within: their span; silence: least time before them; ns."""

    within: int
    silence: int


_MEMORY = _Measure(20 * SECOND_NS, 3 * MINUTE_NS)
_UNSEEN = _Measure(MINUTE_NS, 5 * MINUTE_NS)


def notes(observation: Observation) -> tuple[Note, ...]:
    """What there is to say; nothing before the seal, nor of a void attempt."""
    if not observation.sealed or observation.void:
        return ()
    memory = list(_bursts(observation, _MEMORY, looks=()))
    told = {entry.id for burst in memory for entry in burst.entries}
    unseen = [
        burst
        for burst in _bursts(observation, _UNSEEN, looks=observation.looks)
        if told.isdisjoint(entry.id for entry in burst.entries)
    ]
    return (
        *_straight_line(observation),
        *(_from_memory(one) for one in memory),
        *(_not_looked(one) for one in unseen),
    )


def _straight_line(observation: Observation) -> Iterator[Note]:
    rated = [value for value in observation.dimensions.values() if value is not None]
    if len(rated) >= LEAST_RATED and len(set(rated)) == 1:
        yield Note(
            Kind.STRAIGHT_LINE,
            f"All {_counted(len(rated))} dimensions that were rated were given {rated[0]}; "
            "ratings all alike say little of each.",
        )


@dataclass(frozen=True, slots=True)
class _Burst:
    """Marks entered at once. silence: the attempt's clock since the last sign of looking, ns."""

    entries: tuple[Entry, ...]
    silence: int
    from_start: bool

    @property
    def steps(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(str(entry.body["step"]) for entry in self.entries))

    @property
    def seconds(self) -> int:
        """How long entering took, in whole seconds, at least 1."""
        return max(1, -(-_between(self.entries[0], self.entries[-1]) // SECOND_NS))


def _bursts(
    observation: Observation, measure: _Measure, *, looks: Sequence[int]
) -> Iterator[_Burst]:
    """Runs of marks on many steps within a short time, each after a long silence.

    A mark that keeps the time at which it was seen, as one entered late or typed from
    paper does, claims nothing else and is no part of a run; that time ends a silence.
    """
    marked = sorted(
        (one for one in observation.entries if one.kind == "mark-set"),
        key=lambda one: (one.elapsed_ns, one.place),
    )
    seen = sorted((*looks, *(one.observed_ns for one in marked if one.is_timed)))
    plain = [one for one in marked if _as_seen(one)]
    at = 0
    while at < len(plain):
        first = plain[at]
        run = tuple(one for one in plain[at:] if _between(first, one) <= measure.within)
        last = max((one for one in seen if one < first.elapsed_ns), default=None)
        found = _Burst(run, first.elapsed_ns - (last or 0), from_start=last is None)
        is_burst = found.silence >= measure.silence and len(found.steps) >= MANY
        if is_burst:
            yield found
        at += len(run) if is_burst else 1


def _as_seen(entry: Entry) -> bool:
    return not entry.is_typed and entry.observed_ns == entry.elapsed_ns


def _between(first: Entry, last: Entry) -> int:
    """Time between two entries, ns: that of the machine, in which no pause is left out."""
    if first.stamp.boot == last.stamp.boot:
        return last.stamp.monotonic_ns - first.stamp.monotonic_ns
    return last.elapsed_ns - first.elapsed_ns


def _from_memory(burst: _Burst) -> Note:
    return Note(Kind.FROM_MEMORY, f"{_opening(burst)} without a mark; {_LESS_SURE}", burst.steps)


def _not_looked(burst: _Burst) -> Note:
    sentence = f"{_opening(burst)} without a mark or a look at this learner; {_LESS_SURE}"
    return Note(Kind.NOT_LOOKED, sentence, burst.steps)


_LESS_SURE = "marks from memory are less sure."


def _opening(burst: _Burst) -> str:
    steps = _counted(len(burst.steps)).capitalize()
    seconds = "1 second" if burst.seconds == 1 else f"{burst.seconds} seconds"
    since = "the first " if burst.from_start else ""
    return f"{steps} steps were entered within {seconds} after {since}{_minutes(burst.silence)}"


def _minutes(silence: int) -> str:
    """A long time in whole minutes; never more than it was."""
    return f"{silence // MINUTE_NS} minutes"


_WORDS = ("four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def _counted(number: int) -> str:
    """A number of at least four as a sentence says it."""
    return _WORDS[number - 4] if 4 <= number <= 12 else str(number)
