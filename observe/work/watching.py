"""Who watched an attempt, in words: each observer's part of it, and where two saw differently."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from observe.domain.markwords import mark_words
from observe.domain.observation import Observation
from observe.domain.printing import clock
from observe.domain.words import listed


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
    """Who watched one look, in turn, with what else must be known of it.

    "Anna"; handed over, "Anna (00:00 to 12:40)", on the attempt's clock where it ran;
    typed in, "Anna (on paper, typed by Ben on 3 March 2026)".
    """
    return tuple(_watched(one, names, alone=len(parts) == 1) for one in parts)


def _watched(part: Observation, names: Mapping[str, str], *, alone: bool) -> str:
    name = names.get(part.observer, part.observer)
    begun = part.continues.elapsed_ns if part.continues else 0
    more = []
    if not alone and begun is not None and part.clock.started is not None:
        more.append(f"{clock(begun)} to {clock(part.clock.spent_ns)}")
    if part.transcript is not None:
        more.append(f"on paper, {typed(part, names)}")
    return f"{name} ({', '.join(more)})" if more else name


def typed(part: Observation, names: Mapping[str, str]) -> str:
    """Who typed a paper in, and on which day it was finished: "typed by Ben on 3 March 2026"."""
    who = listed([names.get(one, one) for one in part.typists])
    at = part.sealed.at if part.sealed else part.opened_at
    day = datetime.fromisoformat(at).astimezone()
    return f"typed by {who} on {day.day} {day:%B %Y}"


def watch_sentence(parts: Sequence[Observation], names: Mapping[str, str]) -> str:
    """Who watched, where that is more than one name: handed over, or typed in from paper."""
    if len(parts) == 1 and parts[0].transcript is None:
        return ""
    return f"Watched by {listed(watched(parts, names))}."
