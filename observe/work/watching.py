"""Who watched an attempt, in words: each observer's part of it, and where two saw differently."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from observe.domain.observation import Observation
from observe.domain.printing import clock
from observe.domain.words import mark_words


def who_saw(parts: Sequence[Observation], step: str) -> Observation | None:
    """The last of several observations that has a mark on a step; None if none has."""
    return next((one for one in reversed(parts) if step in one.board.placed), None)


def difference(parts: Sequence[Observation], step: str, names: Mapping[str, str]) -> str:
    """What each saw of a step, where not all who saw it saw the same; else empty."""
    marks = [(one, one.marks[step]) for one in parts if step in one.marks]
    saw = [(one, mark) for one, mark in marks if mark.state.is_outcome]
    if len({(mark.state, mark.prompt, mark.voiced) for _, mark in saw}) < 2:
        return ""
    each = (f"{names.get(one.observer, one.observer)}: {mark_words(mark)}" for one, mark in saw)
    return "; ".join(each)


def watched(parts: Sequence[Observation], names: Mapping[str, str]) -> tuple[str, ...]:
    """Who watched one look, in turn: "Anna"; handed over, "Anna (00:00 to 12:40)".

    The times are on the attempt's clock; they are left out where it never ran.
    """
    if len(parts) == 1:
        return (names.get(parts[0].observer, parts[0].observer),)
    return tuple(_with_times(one, names) for one in parts)


def _with_times(part: Observation, names: Mapping[str, str]) -> str:
    name = names.get(part.observer, part.observer)
    begun = part.continues.elapsed_ns if part.continues else 0
    if begun is None or part.clock.started is None:
        return name
    return f"{name} ({clock(begun)} to {clock(part.clock.spent_ns)})"
