"""The form: one procedure's assessment, frozen once used (rules F1 to F8)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cached_property

from observe.domain.canonical import digest

PROMPT_LEVELS = range(5)


class Voice(StrEnum):
    """Whether a step may be talked through instead of performed."""

    YES = "yes"
    PART = "part"
    NO = "no"


class CriticalKind(StrEnum):
    ABSOLUTE = "absolute"
    RECOVERABLE = "recoverable"
    TALLY = "tally"


class RuleKind(StrEnum):
    COMPENSATORY = "compensatory"
    CONJUNCTIVE = "conjunctive"
    K_OF_N = "k-of-n"


class Mode(StrEnum):
    """What an attempt counts for; fixed at its start (rule W3)."""

    PRACTICE = "practice"
    FORMATIVE = "formative"
    SUMMATIVE = "summative"


@dataclass(frozen=True, slots=True)
class Variant:
    id: str
    label: str


@dataclass(frozen=True, slots=True)
class Domain:
    id: str
    label: str


@dataclass(frozen=True, slots=True)
class Phase:
    id: str
    label: str


@dataclass(frozen=True, slots=True)
class Step:
    """One observable action.

    after: prerequisites, an AND of ORs: every group needs one of its step ids.
    variants: ids of the variants it belongs to; empty means all of them.
    when: the circumstance it depends on ("bone is met"); empty means always.
    not_applicable: whether an observer may say the step does not apply.
    reasons: the form's own reasons for "not applicable", offered as choices.
    """

    id: str
    phase: str
    label: str
    done: str
    domain: str
    weight: Fraction = Fraction(1)
    scored: bool = True
    essential: bool = False
    voice: Voice = Voice.NO
    after: tuple[tuple[str, ...], ...] = ()
    variants: tuple[str, ...] = ()
    when: str = ""
    not_applicable: bool = False
    reasons: tuple[str, ...] = ()
    errors: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    def meets(self, other: Step) -> bool:
        """Whether some variant has both steps (rule F5)."""
        return (
            not self.variants
            or not other.variants
            or not set(self.variants).isdisjoint(other.variants)
        )


@dataclass(frozen=True, slots=True)
class Critical:
    """A harmful error that overrides the score.

    watch: ids of the steps during which it can be seen (rule C1).
    tally: for kind tally, the count by one observer that is fatal; else 1.
    averted_is_fatal: whether "a hand stopped it" is fatal in summative mode.
    """

    id: str
    label: str
    definition: str
    recognise: str
    harm: str
    watch: tuple[str, ...]
    kind: CriticalKind = CriticalKind.ABSOLUTE
    tally: int = 1
    averted_is_fatal: bool = True
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Grade:
    """One point of a behaviour-anchored scale."""

    value: int
    label: str
    anchor: str


@dataclass(frozen=True, slots=True)
class Overall:
    """The required overall grade; `borderline` is the value named borderline."""

    label: str
    grades: tuple[Grade, ...]
    borderline: int


@dataclass(frozen=True, slots=True)
class Dimension:
    id: str
    label: str
    grades: tuple[Grade, ...]


@dataclass(frozen=True, slots=True)
class Credit:
    """Credit by outcome and prompt level 0 to 4 (rule M3); exact, within [0, 1]."""

    done: tuple[Fraction, ...] = (
        Fraction(1),
        Fraction(3, 4),
        Fraction(1, 2),
        Fraction(1, 4),
        Fraction(0),
    )
    incorrect: tuple[Fraction, ...] = (Fraction(0),) * 5
    not_done: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Rule:
    """An AND of lines (rule F6). All shares are exact, within [0, 1].

    cut: the provisional cut of the form (rule F7), never used in summative mode.
    minima: domain id to the least share of that domain.
    k: for k-of-n, how many domain minima must be met.
    coverage: the evidence minimum's first part, by mode.
    not_applicable_allowance: its second part, share of the weight.
    unwatched_open_in_formative: whether an unwatched critical item keeps a
        formative decision open (rule D1; the default lists it beside it).
    overall_minimum: least overall grade; None if the rule has no such line.
    time_limit_s: seconds; None if the rule has no such line.
    """

    kind: RuleKind = RuleKind.COMPENSATORY
    cut: Fraction = Fraction(4, 5)
    minima: Mapping[str, Fraction] = field(default_factory=dict)
    k: int = 0
    essential_prompt: int = 1
    coverage: Mapping[Mode, Fraction] = field(
        default_factory=lambda: {Mode.FORMATIVE: Fraction(3, 4), Mode.SUMMATIVE: Fraction(9, 10)}
    )
    not_applicable_allowance: Fraction = Fraction(1, 10)
    unwatched_open_in_formative: bool = False
    overall_minimum: int | None = None
    time_limit_s: int | None = None


@dataclass(frozen=True, slots=True)
class Independence:
    level: int
    label: str


@dataclass(frozen=True, slots=True)
class KitItem:
    """One thing to have ready. per: learner, station or shared."""

    item: str
    per: str
    count: Fraction
    reusable: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Source:
    """A source of the form's content. status: how it was read (in words)."""

    code: str
    text: str
    status: str


@dataclass(frozen=True, slots=True)
class Review:
    """Who reviewed the form clinically, and when (ISO date). Rule F8."""

    name: str
    date: str


@dataclass(frozen=True)
class Form:
    """One procedure's assessment. Build it with `observe.domain.formtext.read`."""

    id: str
    version: str
    title: str
    short: str
    purpose: str
    cautions: tuple[str, ...]
    variants: tuple[Variant, ...]
    domains: tuple[Domain, ...]
    phases: tuple[Phase, ...]
    steps: tuple[Step, ...]
    criticals: tuple[Critical, ...]
    overall: Overall
    dimensions: tuple[Dimension, ...] = ()
    independence: tuple[Independence, ...] = ()
    credit: Credit = field(default_factory=Credit)
    rule: Rule = field(default_factory=Rule)
    kit: tuple[KitItem, ...] = ()
    sources: tuple[Source, ...] = ()
    review: Review | None = None
    learners_per_observer: int = 2
    language: str = "en"

    @cached_property
    def step(self) -> Mapping[str, Step]:
        """Steps by id."""
        return {step.id: step for step in self.steps}

    @cached_property
    def critical(self) -> Mapping[str, Critical]:
        """Critical items by id."""
        return {item.id: item for item in self.criticals}

    def steps_of(self, variant: str) -> tuple[Step, ...]:
        """The steps that a variant has, in order; all of them for an empty variant."""
        return tuple(
            step
            for step in self.steps
            if not variant or not step.variants or variant in step.variants
        )

    def numbers_of(self, variant: str) -> Mapping[str, int]:
        """Step id to its number, from 1, among the steps of one variant."""
        return {step.id: place for place, step in enumerate(self.steps_of(variant), start=1)}

    def common_steps(self) -> tuple[Step, ...]:
        """The steps that every variant shares (rule F5)."""
        return tuple(step for step in self.steps if not step.variants)

    @cached_property
    def whole_digest(self) -> str:
        """Digest over every character that matters; attempts bind to it (rule F1)."""
        return digest(_record(self, scoring=False))

    @cached_property
    def scoring_digest(self) -> str:
        """Digest over what scoring rests on; standards follow it (rule F1)."""
        return digest(_record(self, scoring=True))

    def groups(self, step: Step, variant: str) -> Iterator[tuple[str, ...]]:
        """The prerequisite groups of a step that a variant can meet.

        Alternatives of another variant are ignored (rule M5); a group with none
        left asks nothing.
        """
        here = {other.id for other in self.steps_of(variant)}
        for group in step.after:
            left = tuple(one for one in group if one in here)
            if left:
                yield left


# What a form says beyond what it scores: the scoring digest leaves these out (rule F1). A field
# that is added to the model belongs to scoring until it is named here.
_BESIDE_SCORING: Mapping[type, frozenset[str]] = {
    Form: frozenset(
        {
            "version",
            "title",
            "short",
            "purpose",
            "cautions",
            "phases",
            "independence",
            "kit",
            "sources",
            "review",
            "learners_per_observer",
            "language",
        }
    ),
    Step: frozenset({"phase", "reasons", "errors", "sources"}),
    Critical: frozenset({"recognise", "harm", "sources"}),
}


def _record(value: object, *, scoring: bool) -> object:
    """A part of the model as plain mappings and lists, ready to be written canonically."""
    if is_dataclass(value):
        beside = _BESIDE_SCORING.get(type(value), frozenset()) if scoring else frozenset()
        return {
            part.name: _record(getattr(value, part.name), scoring=scoring)
            for part in fields(value)
            if part.name not in beside
        }
    if isinstance(value, tuple):
        return [_record(entry, scoring=scoring) for entry in value]
    return value
