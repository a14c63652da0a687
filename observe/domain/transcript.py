"""What was marked on paper and typed in: who watched, who typed, when each (rule D2)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

SOURCE = "paper marked at the time"
"""Where typed marks come from; never the observer's later memory (rule D2)."""

_TIME = re.compile(r"([01]\d|2[0-3]):[0-5]\d")


@dataclass(frozen=True, slots=True)
class Transcript:
    """A paper as it says itself. watched_by: who marked it.

    date: "2026-03-02"; start: "09:40", local; each empty where the paper has none.
    """

    watched_by: str
    date: str = ""
    start: str = ""

    def __post_init__(self) -> None:
        if not self.watched_by:
            raise ValueError("a paper was marked by somebody")
        if self.date and date.fromisoformat(self.date).isoformat() != self.date:
            raise ValueError("a date is written as 2026-03-02")
        if self.start and not _TIME.fullmatch(self.start):
            raise ValueError("a time of day is written as 09:40")

    def as_record(self) -> dict[str, Any]:
        """As an event holds it."""
        return {
            "transcribed": True,
            "source": SOURCE,
            "watched_by": self.watched_by,
            "date": self.date,
            "start": self.start,
        }


def from_record(kept: Mapping[str, Any]) -> Transcript | None:
    """The paper that an event tells of; None if it tells of none.

    Raises ValueError where it cannot be read.
    """
    if "transcribed" not in kept:
        return None
    fields = [kept.get(key, "") for key in ("watched_by", "date", "start")]
    if kept["transcribed"] is not True or not all(isinstance(one, str) for one in fields):
        raise ValueError("a paper names its observer, its date and its time as text")
    return Transcript(*fields)
