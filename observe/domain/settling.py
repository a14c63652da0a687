"""What would settle an undecided attempt: the two fewest lists (rule D2)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from observe.domain.criticals import standings
from observe.domain.decision import (
    Decision,
    Outcome,
    Standing,
    essentials,
    is_unwatched,
    least_coverage,
    minima_in_play,
    share_standing,
    unwatched_keeps_open,
)
from observe.domain.form import Mode, RuleKind, Step
from observe.domain.marks import State
from observe.domain.scoring import ZERO, Evidence, Score, Share


@dataclass(frozen=True, slots=True)
class Settling:
    """The two fewest lists of unseen steps, in the form's order.

    to_pass: if these are done, the decision is pass; None if no unseen steps
    could bring that about. to_remediate: if these are not done, the decision is
    remediate; None likewise.
    """

    to_pass: tuple[str, ...] | None
    to_remediate: tuple[str, ...] | None


def settling(evidence: Evidence, decision: Decision) -> Settling | None:
    """What would settle an undecided attempt; None for any other outcome."""
    if decision.outcome is not Outcome.UNDECIDED:
        return None
    task = _Task(evidence, decision)
    return Settling(_ordered(evidence, task.to_pass()), _ordered(evidence, task.to_remediate()))


def _ordered(evidence: Evidence, steps: Iterable[str] | None) -> tuple[str, ...] | None:
    if steps is None:
        return None
    chosen = set(steps)
    return tuple(step.id for step in evidence.steps if step.id in chosen)


class _Task:
    """One undecided attempt, with its unseen scored steps, heaviest first."""

    def __init__(self, evidence: Evidence, decision: Decision) -> None:
        self.evidence = evidence
        self.decision = decision
        self.score: Score = decision.score
        unseen = [s for s in evidence.steps if evidence.marks[s.id].state is State.NOT_SEEN]
        self.unseen = unseen
        self.heaviest = sorted((s for s in unseen if s.scored), key=lambda s: -s.weight)

    # to pass

    def to_pass(self) -> set[str] | None:
        if self._out_of_reach():
            return None
        forced = self._forced()
        plans = [self._plan(forced, minima) for minima in self._minima_choices()]
        reached = [plan for plan in plans if plan is not None]
        return min(reached, key=len) if reached else None

    def _out_of_reach(self) -> bool:
        """Whether a line is open for another reason than steps that were not seen."""
        evidence, rule = self.evidence, self.evidence.form.rule
        waiting = {line.id for line in self.decision.lines if line.standing is Standing.OPEN}
        split = evidence.pool.split & {step.id for step in essentials(evidence)}
        return (
            not waiting.isdisjoint({"overall", "time"})
            or bool(split)
            or evidence.newer > 0
            or self.score.not_applicable_share > rule.not_applicable_allowance
            or (evidence.mode is Mode.SUMMATIVE and evidence.cut.is_provisional)
        )

    def _forced(self) -> set[str]:
        """Unseen essentials, and what an unwatched critical item that is asked must show."""
        evidence = self.evidence
        unseen = {step.id for step in self.unseen}
        forced = {step.id for step in essentials(evidence)} & unseen
        if unwatched_keeps_open(evidence):
            for one in standings(evidence).values():
                if is_unwatched(one):
                    forced.update(one.unseen)
        return forced

    def _minima_choices(self) -> Iterable[Mapping[str, Fraction]]:
        """The sets of domain minima of which one must be met."""
        rule, minima = self.evidence.form.rule, minima_in_play(self.evidence)
        if rule.kind is RuleKind.CONJUNCTIVE:
            return [minima]
        if rule.kind is RuleKind.K_OF_N:
            k = min(rule.k, len(minima))
            return [{id: minima[id] for id in chosen} for chosen in combinations(minima, k)]
        return [{}]

    def _plan(self, forced: set[str], minima: Mapping[str, Fraction]) -> set[str] | None:
        """The fewest steps for one choice of minima: each domain's heaviest, then any heaviest."""
        chosen = set(forced)
        for domain, least in minima.items():
            if not self._reach_minimum(chosen, domain, least):
                return None
        return chosen if self._reach_whole(chosen) else None

    def _reach_minimum(self, chosen: set[str], domain: str, least: Fraction) -> bool:
        share = self.score.domains[domain]
        mine = [step for step in self.heaviest if step.domain == domain]
        need = max(least * share.applicable - share.earned, ZERO)

        def reached() -> bool:
            gained = [step for step in mine if step.id in chosen]
            return (share.seen > 0 or bool(gained)) and _weight(gained) >= need

        return _add_until(chosen, mine, reached)

    def _reach_whole(self, chosen: set[str]) -> bool:
        whole = self.score.whole
        need = max(
            self.evidence.cut.value * whole.applicable - whole.earned,
            least_coverage(self.evidence) * whole.applicable - whole.seen,
            ZERO,
        )

        def reached() -> bool:
            gained = [step for step in self.heaviest if step.id in chosen]
            return (whole.seen > 0 or bool(gained)) and _weight(gained) >= need

        return _add_until(chosen, self.heaviest, reached)

    # to remediate

    def to_remediate(self) -> set[str] | None:
        ways = [self._sink_essential(), *self._sink_domains()]
        if not (self.evidence.mode is Mode.SUMMATIVE and self.evidence.cut.is_provisional):
            ways.append(self._sink(self.score.whole, self.evidence.cut.value, self.heaviest))
        reached = [way for way in ways if way is not None]
        return min(reached, key=len) if reached else None

    def _sink_essential(self) -> set[str] | None:
        unseen = {step.id for step in self.unseen}
        return next(({s.id} for s in essentials(self.evidence) if s.id in unseen), None)

    def _sink_domains(self) -> list[set[str] | None]:
        rule, minima = self.evidence.form.rule, minima_in_play(self.evidence)
        if rule.kind is RuleKind.COMPENSATORY:
            return []
        sunk = {id: self._sink_domain(id, least) for id, least in minima.items()}
        if rule.kind is RuleKind.CONJUNCTIVE:
            return list(sunk.values())
        failing = len(minima) - min(rule.k, len(minima)) + 1
        ways = sorted((way for way in sunk.values() if way is not None), key=len)
        return [set().union(*ways[:failing])] if len(ways) >= failing else []

    def _sink_domain(self, domain: str, least: Fraction) -> set[str] | None:
        share = self.score.domains[domain]
        if share_standing(share, least) is Standing.FAILED:
            return set()
        mine = [step for step in self.heaviest if step.domain == domain]
        return self._sink(share, least, mine)

    def _sink(self, share: Share, least: Fraction, steps: Sequence[Step]) -> set[str] | None:
        """The fewest of `steps` that, not done, bring a share's upper bound under `least`."""
        lost = 1 - self.evidence.form.credit.not_done
        room = share.earned + (share.applicable - share.seen) - least * share.applicable
        chosen: set[str] = set()

        def reached() -> bool:
            gone = [step for step in steps if step.id in chosen]
            return (share.seen > 0 or bool(gone)) and _weight(gone) * lost > room

        return chosen if _add_until(chosen, steps, reached) else None


def _add_until(chosen: set[str], steps: Sequence[Step], reached: Callable[[], bool]) -> bool:
    """Add steps in order until `reached()`; False if it never is."""
    for step in steps:
        if reached():
            return True
        chosen.add(step.id)
    return reached()


def _weight(steps: Iterable[Step]) -> Fraction:
    return sum((step.weight for step in steps), ZERO)
