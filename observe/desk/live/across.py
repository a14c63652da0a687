"""Both times of what was entered late: when it was seen, and when it was typed."""

from __future__ import annotations

from observe.domain.board import Entry
from observe.domain.printing import clock


def late_words(observed_ns: int, entered_ns: int) -> str:
    """Both times of a late entry: "seen about 06:30, entered 09:10"; empty if it was not late."""
    if observed_ns == entered_ns:
        return ""
    return f"seen about {clock(observed_ns)}, entered {clock(entered_ns)}"


def entry_late_words(entry: Entry | None) -> str:
    """The same of an entry, where the two differ by what can be read; empty for what was typed."""
    if entry is None or entry.is_typed:
        return ""
    if clock(entry.observed_ns) == clock(entry.elapsed_ns):
        return ""
    return late_words(entry.observed_ns, entry.elapsed_ns)
