"""The smallest change that would flip a decision: for the director, after the seal (rule A9).

A change is a step marked done, or not done, instead of how it was seen or not seen; or a critical
item that was not fatal. Steps that were not applicable or did not arise stay so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations, product

from observe.domain.criticals import Finding, standings
from observe.domain.decision import (
    Outcome,
    decide,
    essential_met,
    essentials,
    is_unwatched,
    least_coverage,
    minima_in_play,
    unwatched_keeps_open,
)
from observe.domain.form import RuleKind, Step
from observe.domain.marks import DONE, NOT_DONE, State, credit
from observe.domain.scoring import ZERO, Evidence, Score, Share, score


@dataclass(frozen=True, slots=True)
class Flip:
    """What would flip a decision. to: the other outcome. steps, criticals: in the form's order.

    why: why nothing of the kind would; empty where it would.
    """

    to: Outcome
    steps: tuple[str, ...] = ()
    criticals: tuple[str, ...] = ()
    why: str = ""

    @property
    def size(self) -> int:
        """How many changes it takes."""
        return len(self.steps) + len(self.criticals)


def smallest_flip(evidence: Evidence) -> Flip | None:
    """The fewest changes that flip a pass or a remediation; None for any other outcome."""
    outcome = decide(evidence).outcome
    if outcome is Outcome.PASS:
        return _ordered(evidence, Outcome.REMEDIATE, _sink(evidence), ())
    if outcome is Outcome.REMEDIATE:
        fatal = [one.item.id for one in standings(evidence).values() if _is_fatal(one.finding)]
        freed = _without(evidence, fatal)
        return _ordered(evidence, Outcome.PASS, _Raising(freed).fewest(), fatal)
    return None


def changed(evidence: Evidence, flip: Flip) -> Evidence:
    """The evidence with the changes of a flip made."""
    mark = DONE if flip.to is Outcome.PASS else NOT_DONE
    freed = _without(evidence, flip.criticals)
    return freed.with_marks(dict.fromkeys(flip.steps, mark))


def _ordered(
    evidence: Evidence, to: Outcome, steps: Iterable[str] | None, criticals: Iterable[str]
) -> Flip:
    if steps is None:
        return Flip(to, why="No change of marks would: something else than steps decides it.")
    chosen = {*steps}
    return Flip(
        to, tuple(step.id for step in evidence.steps if step.id in chosen), tuple(criticals)
    )


def _is_fatal(finding: Finding) -> bool:
    return finding is Finding.FATAL


def _without(evidence: Evidence, items: Iterable[str]) -> Evidence:
    """The evidence had some critical items not happened, and been watched."""
    gone = {*items}
    verdicts = {item: found for item, found in evidence.verdicts.items() if item not in gone}
    return replace(evidence, verdicts=verdicts, attested=evidence.attested | gone)


def _movable(evidence: Evidence) -> Iterator[Step]:
    """The steps whose mark can be another one."""
    fixed = (State.NOT_APPLICABLE, State.DID_NOT_ARISE)
    for step in evidence.steps:
        if evidence.marks[step.id].state not in fixed:
            yield step


def _is_unseen(evidence: Evidence, step: Step) -> bool:
    return evidence.marks[step.id].state is State.NOT_SEEN


# from pass to remediate: one line has to fail


def _sink(evidence: Evidence) -> set[str] | None:
    asked = {step.id for step in essentials(evidence)}
    essential = next(({step.id} for step in _movable(evidence) if step.id in asked), None)
    scored = score(evidence)
    ways = [essential, *_sink_domains(evidence, scored)]
    whole = [step for step in _movable(evidence) if step.scored]
    ways.append(_lowered(evidence, whole, scored.whole.high, evidence.cut.value, scored))
    found = [way for way in ways if way is not None]
    return min(found, key=len) if found else None


def _sink_domains(evidence: Evidence, scored: Score) -> list[set[str] | None]:
    rule, minima = evidence.form.rule, minima_in_play(evidence)
    if rule.kind is RuleKind.COMPENSATORY:
        return []
    sunk = []
    for domain, least in minima.items():
        mine = [step for step in _movable(evidence) if step.scored and step.domain == domain]
        sunk.append(_lowered(evidence, mine, scored.domains[domain].high, least, scored, domain))
    if rule.kind is RuleKind.CONJUNCTIVE:
        return list(sunk)
    failing = len(minima) - min(rule.k, len(minima)) + 1
    ways = sorted((way for way in sunk if way is not None), key=len)
    return [set().union(*ways[:failing])] if len(ways) >= failing else []


def _lowered(
    evidence: Evidence,
    steps: Sequence[Step],
    high: Fraction | None,
    least: Fraction,
    scored: Score,
    domain: str = "",
) -> set[str] | None:
    """The fewest steps that, not done, bring an upper bound under its minimum."""
    if high is None:
        return None
    share = scored.domains[domain] if domain else scored.whole
    room = (high - least) * share.applicable
    seen_any = share.seen > 0
    losses = []
    for step in steps:
        now = Fraction(1) if _is_unseen(evidence, step) else evidence.credit(step.id)
        losses.append((step.weight * (now - credit(NOT_DONE, evidence.form.credit)), step.id))
    losses.sort(key=lambda one: -one[0])
    chosen: set[str] = set()
    for loss, id in losses:
        if room < 0 and (seen_any or chosen):
            return chosen
        if loss < 0:
            break
        chosen.add(id)
        room -= loss
    return chosen if room < 0 and (seen_any or chosen) else None


# from remediate to pass: every line has to be met


class _Raising:
    """Evidence of which the fewest steps, done, would make a pass."""

    def __init__(self, evidence: Evidence) -> None:
        self.evidence = evidence
        self.score = score(evidence)
        self.gains: dict[str, Fraction] = {}
        self.unseen: set[str] = set()
        self.domain = {step.id: step.domain for step in evidence.steps}
        self.weight = {step.id: step.weight for step in evidence.steps}
        for step in _movable(evidence):
            if _is_unseen(evidence, step):
                self.unseen.add(step.id)
            if step.scored:
                now = ZERO if step.id in self.unseen else evidence.credit(step.id)
                self.gains[step.id] = step.weight * (1 - now)

    def fewest(self) -> set[str] | None:
        """The steps; None where no steps make a pass."""
        if not self._can_pass():
            return None
        forced = self._forced()
        ways = (self._with_minima(forced, minima) for minima in self._minima_choices())
        found = [way for way in ways if way is not None]
        return min(found, key=len) if found else None

    def _can_pass(self) -> bool:
        """Whether all lines are met once every step that can be is done."""
        best = self.evidence.with_marks({step.id: DONE for step in _movable(self.evidence)})
        return decide(best).outcome is Outcome.PASS

    def _forced(self) -> set[str]:
        evidence, most = self.evidence, self.evidence.form.rule.essential_prompt
        forced = {
            step.id
            for step in essentials(evidence)
            if step.id in self.unseen
            or step.id in evidence.pool.split
            or not essential_met(evidence.marks[step.id], most)
        }
        if unwatched_keeps_open(evidence):
            for one in standings(evidence).values():
                if is_unwatched(one):
                    forced.update(one.unseen)
        return forced

    def _minima_choices(self) -> Iterator[Mapping[str, Fraction]]:
        rule, minima = self.evidence.form.rule, minima_in_play(self.evidence)
        if rule.kind is RuleKind.CONJUNCTIVE:
            yield minima
        elif rule.kind is RuleKind.K_OF_N:
            for chosen in combinations(minima, min(rule.k, len(minima))):
                yield {id: minima[id] for id in chosen}
        else:
            yield {}

    def _with_minima(self, forced: set[str], minima: Mapping[str, Fraction]) -> set[str] | None:
        """The fewest for all lines: of each domain its heaviest steps, as many as it takes.

        Of each number of steps those choices are kept of which no other gains more of both what
        was seen and what was earned.
        """
        kept = {0: [_Choice(frozenset(forced), ZERO, ZERO)]}
        for domain in dict.fromkeys((*self.domain.values(), *minima)):
            options = [*self._options(domain, forced, minima.get(domain))]
            joined: dict[int, list[_Choice]] = {}
            for some in kept.values():
                for one, other in product(some, options):
                    both = one.and_(other)
                    joined.setdefault(len(both.steps), []).append(both)
            kept = {count: _frontier(some) for count, some in joined.items()}
        for _, some in sorted(kept.items()):
            enough = [one for one in some if self._is_enough(one)]
            if enough:
                return {*max(enough, key=lambda one: one.earned).steps}
        return None

    def _options(self, domain: str, forced: set[str], least: Fraction | None) -> Iterator[_Choice]:
        """Steps of a domain by which, with those that are forced, its minimum is met."""
        mine = [id for id in self._heaviest(self.gains) if self.domain[id] == domain]
        taken = [id for id in mine if id in forced]
        unseen = [id for id in mine if id in self.unseen and id not in forced]
        short = [id for id in mine if id not in self.unseen and id not in forced]
        for news, olds in product(range(len(unseen) + 1), range(len(short) + 1)):
            steps = (*taken, *unseen[:news], *short[:olds])
            seen = sum((self.weight[id] for id in steps if id in self.unseen), ZERO)
            earned = sum((self.gains[id] for id in steps), ZERO)
            if least is None or self._meets(self.score.domains[domain], least, steps, earned):
                yield _Choice(frozenset(steps), seen, earned)

    def _is_enough(self, choice: _Choice) -> bool:
        """Whether the cut line and the minimum of what was seen are met."""
        whole, cut = self.score.whole, self.evidence.cut.value
        covered = whole.seen + choice.seen >= least_coverage(self.evidence) * whole.applicable
        scored = [id for id in choice.steps if id in self.gains]
        return covered and self._meets(whole, cut, scored, choice.earned)

    def _meets(self, share: Share, least: Fraction, steps: Sequence[str], earned: Fraction) -> bool:
        seen_any = share.seen > 0 or bool(steps)
        return seen_any and share.earned + earned >= least * share.applicable

    def _heaviest(self, ids: Iterable[str]) -> list[str]:
        order = {step.id: place for place, step in enumerate(self.evidence.steps)}
        return sorted(ids, key=lambda id: (-self.gains[id], order[id]))


@dataclass(frozen=True, slots=True)
class _Choice:
    """Steps that would be done: the weight that is seen by it, and what is earned by it."""

    steps: frozenset[str]
    seen: Fraction
    earned: Fraction

    def and_(self, other: _Choice) -> _Choice:
        return _Choice(self.steps | other.steps, self.seen + other.seen, self.earned + other.earned)


def _frontier(choices: Iterable[_Choice]) -> list[_Choice]:
    """Those of which no other has as much of both."""
    kept: list[_Choice] = []
    for one in sorted(choices, key=lambda one: (-one.seen, -one.earned)):
        if not kept or one.earned > kept[-1].earned:
            kept.append(one)
    return kept
