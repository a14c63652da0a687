"""What can go wrong, sorted by who can act on it.

A trouble says what happened, where, and what to do next, in sentences for the
person at the machine. Anything that is not a `Trouble` is a defect of the
program. Faults inside a person's file are data (`observe.domain.faults`).
"""

from __future__ import annotations


class Trouble(Exception):
    """Base of everything that is told to a person.

    what: one sentence, what happened.
    where: the file, field or place it happened in; empty if it has none.
    remedy: one sentence, what to do next; empty only for `Stopped`.
    """

    code = "trouble"

    def __init__(self, what: str, *, where: str = "", remedy: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.where = where
        self.remedy = remedy

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        remedy = f" {self.remedy}" if self.remedy else ""
        return f"{place}{self.what}{remedy}"


class Refused(Trouble):
    """The person asked for what the rules forbid; shown at the widget or argument."""

    code = "refused"


class BadInput(Refused):
    """A file or argument from outside cannot be read as what it should be."""

    code = "bad-input"


class Overtaken(Refused):
    """Someone else wrote into the same record since it was read; nothing was written."""

    code = "overtaken"


class Surroundings(Trouble):
    """The machine or its disk is in the way: full, locked, read-only, too new."""

    code = "surroundings"


class Doubtful(Trouble):
    """Something may have been tampered with or forked; never continues by itself."""

    code = "doubtful"


class Stopped(Trouble):
    """The person cancelled; nothing is said."""

    code = "stopped"

    def __init__(self, what: str = "Stopped.") -> None:
        super().__init__(what)
