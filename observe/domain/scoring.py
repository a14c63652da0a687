"""Score, coverage and bounds, exact (rules S1 to S3)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from observe.domain.board import Verdict
from observe.domain.form import Form, Mode, Step
from observe.domain.marks import DONE, NOT_DONE, Mark, State, credit
from observe.domain.observation import Observation

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class Cut:
    """The cut in force, a share. standard: the approved standard's name; empty if provisional."""

    value: Fraction
    standard: str = ""

    @property
    def is_provisional(self) -> bool:
        return not self.standard


@dataclass(frozen=True)
class Pool:
    """What several observers saw of one attempt that a single mark cannot hold (rule T1).

    credits: step id to the mean credit, where they saw it differently. split:
    essential steps that one saw met and another did not. grades, seconds: overall
    grades and clocks of more than one observer, where they differ.
    """

    credits: Mapping[str, Fraction] = field(default_factory=dict)
    split: frozenset[str] = frozenset()
    grades: frozenset[int] = frozenset()
    seconds: frozenset[int] = frozenset()

    def without(self, steps: Iterable[str]) -> Pool:
        """The same, had nobody seen these steps."""
        gone = set(steps)
        kept = {id: share for id, share in self.credits.items() if id not in gone}
        return replace(self, credits=kept, split=self.split - gone)


NOTHING_POOLED = Pool()


@dataclass(frozen=True)
class Evidence:
    """All that a decision rests on: of one observation, or of several pooled.

    steps: those in play, in order. left_out: domains that the profile leaves
    nothing of. marks: step id to mark, for every step in play. verdicts: critical
    item to the verdicts of its occurrences. elapsed_s: None if no clock ran. newer:
    how many events cannot be read here. void: whether it counts at all (rule M6).
    pool: where observers differ; empty for one observation.
    """

    form: Form
    mode: Mode
    steps: tuple[Step, ...]
    marks: Mapping[str, Mark]
    cut: Cut
    verdicts: Mapping[str, tuple[Verdict, ...]]
    attested: frozenset[str] = frozenset()
    overall: int | None = None
    elapsed_s: int | None = None
    newer: int = 0
    left_out: frozenset[str] = frozenset()
    void: bool = False
    pool: Pool = NOTHING_POOLED

    def with_marks(self, changed: Mapping[str, Mark]) -> Evidence:
        """The same evidence had other marks been set."""
        return replace(self, marks={**self.marks, **changed}, pool=self.pool.without(changed))

    def credit(self, step: str) -> Fraction:
        """The share of its weight that a step with an outcome earns, within [0, 1].

        Raises ValueError for a step without an outcome.
        """
        mean = self.pool.credits.get(step)
        return credit(self.marks[step], self.form.credit) if mean is None else mean

    @property
    def grades(self) -> frozenset[int]:
        """The overall grades given; more than one where observers differ."""
        given = frozenset() if self.overall is None else frozenset({self.overall})
        return self.pool.grades or given

    @property
    def seconds(self) -> frozenset[int]:
        """The time taken, in whole seconds; more than one where clocks differ."""
        read = frozenset() if self.elapsed_s is None else frozenset({self.elapsed_s})
        return self.pool.seconds or read


def evidence(observation: Observation, cut: Cut | None = None) -> Evidence:
    """What one observation shows.

    cut: if none is given, that of the standard the attempt is bound to, else the form's
    provisional one (rule F7).
    """
    form = observation.ground.form
    steps = observation.steps
    verdicts: dict[str, list[Verdict]] = {}
    for occurrence in observation.occurrences:
        if occurrence.item and occurrence.verdict is not None:
            verdicts.setdefault(occurrence.item, []).append(occurrence.verdict)
    in_play = {step.domain for step in steps if step.scored}
    return Evidence(
        form=form,
        mode=observation.ground.mode,
        steps=steps,
        marks=observation.marks,
        cut=cut or cut_of(observation),
        verdicts={item: tuple(each) for item, each in verdicts.items()},
        attested=observation.attested,
        overall=observation.overall,
        elapsed_s=observation.elapsed_s,
        newer=len(observation.newer),
        left_out=frozenset(domain.id for domain in form.domains if domain.id not in in_play),
        void=bool(observation.void),
    )


def cut_of(observation: Observation) -> Cut:
    """The cut in force: of the approved standard for the variant, else the form's own."""
    bound = observation.standards.get(observation.board.variant)
    if bound is None:
        return Cut(observation.ground.form.rule.cut)
    return Cut(bound.share, bound.standard)


@dataclass(frozen=True)
class Share:
    """A ratio over what was seen, with what it rests on. All exact.

    value: Σ w·credit / Σ w over steps with an outcome; None if there is none.
    low, high: every unseen applicable step 0, then 1; None if nothing applies.
    """

    earned: Fraction
    seen: Fraction
    applicable: Fraction

    @cached_property
    def value(self) -> Fraction | None:
        return self.earned / self.seen if self.seen else None

    @cached_property
    def coverage(self) -> Fraction:
        return self.seen / self.applicable if self.applicable else ZERO

    @cached_property
    def low(self) -> Fraction | None:
        return self.earned / self.applicable if self.applicable else None

    @cached_property
    def high(self) -> Fraction | None:
        unseen = self.applicable - self.seen
        return (self.earned + unseen) / self.applicable if self.applicable else None


@dataclass(frozen=True)
class Score:
    """The score of one attempt: the whole, and each domain of the form by id.

    unseen, not_applicable: ids of steps, unscored ones too. not_applicable_share:
    their weight over the weight of all steps in play that arose.
    """

    whole: Share
    domains: Mapping[str, Share]
    unseen: tuple[str, ...]
    not_applicable: tuple[str, ...]
    not_applicable_share: Fraction


def score(evidence: Evidence) -> Score:
    """The exact score of some evidence (rules S1 to S3)."""
    shares: dict[str, _Adding] = {domain.id: _Adding() for domain in evidence.form.domains}
    unseen, excused, away = [], [], _Sum()
    for step in evidence.steps:
        state = evidence.marks[step.id].state
        if state is State.NOT_SEEN:
            unseen.append(step.id)
        elif state is State.NOT_APPLICABLE:
            excused.append(step.id)
        if not step.scored:
            continue
        if state is State.NOT_APPLICABLE:
            away.add(step.weight)
            continue
        mine = shares.get(step.domain)
        if mine is None:
            mine = shares[step.domain] = _Adding()
        if state.is_outcome:
            mine.earned.add(step.weight, evidence.credit(step.id))
            mine.seen.add(step.weight)
        elif state is State.NOT_SEEN:
            mine.unseen.add(step.weight)
    whole = _Adding()
    for one in shares.values():
        whole.take(one)
    share, excused_weight = whole.share, away.value
    arose = share.applicable + excused_weight
    return Score(
        whole=share,
        domains={domain.id: shares[domain.id].share for domain in evidence.form.domains},
        unseen=tuple(unseen),
        not_applicable=tuple(excused),
        not_applicable_share=excused_weight / arose if excused_weight else ZERO,
    )


class _Sum:
    """An exact sum of fractions: numerators are added by denominator, which are few."""

    __slots__ = ("_by",)

    def __init__(self) -> None:
        self._by: dict[int, int] = {}

    def add(self, one: Fraction, share: Fraction | None = None) -> None:
        """Add a fraction, or a share of one."""
        above, below = one.as_integer_ratio()
        if share is not None:
            more, under = share.as_integer_ratio()
            above, below = above * more, below * under
        self._by[below] = self._by.get(below, 0) + above

    def take(self, other: _Sum) -> None:
        """Add what another sum holds."""
        for below, above in other._by.items():
            self._by[below] = self._by.get(below, 0) + above

    @property
    def value(self) -> Fraction:
        parts = [Fraction(above, below) for below, above in self._by.items()]
        return sum(parts[1:], parts[0]) if parts else ZERO


class _Adding:
    """A share on its way."""

    __slots__ = ("earned", "seen", "unseen")

    def __init__(self) -> None:
        self.earned, self.seen, self.unseen = _Sum(), _Sum(), _Sum()

    def take(self, other: _Adding) -> None:
        """Add what another one holds."""
        self.earned.take(other.earned)
        self.seen.take(other.seen)
        self.unseen.take(other.unseen)

    @property
    def share(self) -> Share:
        seen = self.seen.value
        return Share(self.earned.value, seen, seen + self.unseen.value)


def completed(evidence: Evidence, *, well: bool) -> Evidence:
    """The evidence had every unseen step been done, or not done."""
    mark = DONE if well else NOT_DONE
    unseen = {
        step.id: mark for step in evidence.steps if evidence.marks[step.id].state is State.NOT_SEEN
    }
    return evidence.with_marks(unseen)
