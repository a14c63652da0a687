"""Everything a sheet prints, as plain values, and nothing it does not print (rule P1).

Whoever makes a sheet fills a `SheetContent`; the pages, the attached record and
the verifier all start from it. Times and dates are text, as people read them;
shares are exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from observe.look.marks import DecisionLook, LineLook, MarkLook
from observe.look.signs import SignLook


@dataclass(frozen=True, slots=True)
class Occasion:
    """Who did what, when and where.

    date: "14 March 2026". start, end: "14:05". ordinal: "second attempt".
    mode: "practice", "formative" or "summative". observers: names, the signer first.
    """

    learner: str
    procedure: str
    variant: str
    date: str
    start: str
    end: str
    ordinal: str
    mode: str
    place: str
    observers: tuple[str, ...]
    attempt: str


@dataclass(frozen=True, slots=True)
class Decision:
    """look: None where no decision is made (practice, or a second observer outstanding).

    word: "Pass", "Remediate", "Practice, no decision". sentence: what made it so.
    """

    look: DecisionLook | None
    word: str
    sentence: str


@dataclass(frozen=True, slots=True)
class RuleLine:
    look: LineLook
    title: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Scored:
    """Shares of 1, exact (rules S1 to S3).

    value: None if nothing with weight was seen. low, high: None if nothing applies.
    cut: None where none is in force. error: one absolute standard error of measurement, a
    share, None where it is not estimable. error_basis: what it rests on; without one, a
    sentence that says why there is none (rule A1).
    """

    value: Fraction | None
    low: Fraction | None
    high: Fraction | None
    cut: Fraction | None
    is_provisional: bool
    coverage: Fraction
    unseen: int
    not_applicable: int
    not_applicable_share: Fraction
    error: Fraction | None = None
    error_basis: str = ""


@dataclass(frozen=True, slots=True)
class StandardNote:
    """The approved standard behind the cut, and what it is not (rules F7, A9).

    method: with its kind, in words. basis: "8 judges". error: its standard error, a share;
    None where there is none. effective: "1 September 2026".
    """

    method: str
    basis: str
    error: Fraction | None
    effective: str
    is_not: str = ""


@dataclass(frozen=True, slots=True)
class DomainScore:
    """look: state of the domain's own minimum; not asked where it has none."""

    label: str
    value: Fraction | None
    low: Fraction | None
    high: Fraction | None
    minimum: Fraction | None
    look: LineLook


@dataclass(frozen=True, slots=True)
class CriticalNote:
    """One occurrence of a critical item.

    sign: None for a withdrawn one. word: "fatal", "put right by you", "stopped by
    a hand". time: on the attempt's clock. step: the number of the step it stands
    on, 0 if none. count, fatal_at: for a tally.
    """

    sign: SignLook | None
    word: str
    label: str
    time: str
    note: str = ""
    step: int = 0
    count: int = 0
    fatal_at: int = 0


@dataclass(frozen=True, slots=True)
class StepNote:
    """One step as it was marked. prompt: 0 to 4, also beside an incorrect outcome.

    time: on the attempt's clock, from its start ("12:44"); empty where there is none.
    source: who prompted ("observer"); note: a reason, or how it was said.
    """

    number: int
    label: str
    look: MarkLook
    time: str = ""
    prompt: int = 0
    source: str = ""
    voiced: bool = False
    weight: Fraction = Fraction(1)
    note: str = ""


@dataclass(frozen=True, slots=True)
class PhaseNotes:
    label: str
    steps: tuple[StepNote, ...]


@dataclass(frozen=True, slots=True)
class Kept:
    """A step that went well. seen: what was marked, in words."""

    number: int
    label: str
    look: MarkLook
    seen: str


@dataclass(frozen=True, slots=True)
class WorkOn:
    """A step to work on: what was marked, what good looks like, and the errors often made there."""

    number: int
    label: str
    look: MarkLook
    good: str
    errors: tuple[str, ...] = ()
    seen: str = ""


@dataclass(frozen=True, slots=True)
class GradeNote:
    """A grade on an anchored scale. value: None where it was not observable."""

    title: str
    value: int | None
    highest: int
    label: str
    anchor: str = ""
    is_borderline: bool = False


@dataclass(frozen=True, slots=True)
class Deviation:
    """A step that this workshop does not perform (rule W1). way: "voiced today", "not today"."""

    number: int
    label: str
    way: str
    reason: str


@dataclass(frozen=True, slots=True)
class Advice:
    """What to keep and what to change, at most three of each, the observer's own words first.

    strength, change: the observer's words, one of each (rule D3); strength_step, change_step:
    the number of the step they speak of, 0 where they name none. kept, work_on: steps that were
    seen, never others. next_step, next_when, goal: empty where nothing was agreed.
    """

    strength: str
    change: str
    strength_step: int = 0
    change_step: int = 0
    kept: tuple[Kept, ...] = ()
    work_on: tuple[WorkOn, ...] = ()
    next_step: str = ""
    next_when: str = ""
    goal: str = ""
    self_view: str = ""


@dataclass(frozen=True, slots=True)
class Settling:
    """What would settle an undecided attempt (rule D2); entries as "18 Advances …"."""

    to_pass: tuple[str, ...] = ()
    to_remediate: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Origin:
    """Where the sheet comes from.

    form_digest, events_digest: hexadecimal. reviewed_by: empty where the form was
    not clinically reviewed (rule F8). engine: version of the program.
    """

    form: str
    form_version: str
    form_digest: str
    events_digest: str
    engine: str
    reviewed_by: str = ""
    reviewed_on: str = ""


@dataclass(frozen=True, slots=True)
class Revision:
    """number: from 1. supersedes: "revision 1, code 43a8 6664 0c6a"; why: what changed since.

    Both are empty for the first.
    """

    number: int = 1
    supersedes: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Signer:
    """Who signs, in what part, when, and what is known of the key, in words.

    fingerprint: of the certificate, hexadecimal; empty on a sheet not to be signed.
    """

    name: str
    part: str
    at: str
    key: str
    fingerprint: str = ""


class Part(StrEnum):
    """In what part a person signs; also the name of the signature's field."""

    DECIDED = "decided"
    OBSERVED = "observed"
    DIRECTED = "directed"
    READ = "read"


@dataclass(frozen=True, slots=True)
class Countersigner:
    """A place for a later signature. name: who is to sign there; empty if that is open."""

    part: Part
    name: str = ""


@dataclass(frozen=True, slots=True)
class SheetContent:
    """One learner's sheet. Empty texts and tuples are left out of the page.

    scored, overall: None for a void attempt. earlier: earlier attempts at the same form, a
    sentence each, oldest first. disagree: how to respond or appeal, and by when.
    """

    occasion: Occasion
    decision: Decision
    lines: tuple[RuleLine, ...]
    scored: Scored | None
    standard: StandardNote | None
    domains: tuple[DomainScore, ...]
    critical_items: int
    criticals: tuple[CriticalNote, ...]
    unwatched: tuple[str, ...]
    phases: tuple[PhaseNotes, ...]
    overall: GradeNote | None
    dimensions: tuple[GradeNote, ...]
    independence: str
    advice: Advice
    settling: Settling
    deviations: tuple[Deviation, ...]
    amendments: tuple[str, ...]
    cautions: tuple[str, ...]
    disagree: str
    earlier: tuple[str, ...]
    origin: Origin
    signer: Signer
    revision: Revision = Revision()
    countersigners: tuple[Countersigner, ...] = (Countersigner(Part.READ),)

    @property
    def steps(self) -> tuple[StepNote, ...]:
        """All steps, in order."""
        return tuple(step for phase in self.phases for step in phase.steps)
