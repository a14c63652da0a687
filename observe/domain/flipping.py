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
from observe.domain.scoring import ZERO, Evidence, Score, score

MOST_WAYS = 20_000
"""Ways to share unseen steps among domains that are tried; a form comes to some hundreds."""


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
        """The fewest over all ways to share the unseen steps that are seen among the domains."""
        free: dict[str, list[str]] = {}
        for id in self._heaviest(self.gains.keys() & self.unseen - forced):
            free.setdefault(self.domain[id], []).append(id)
        sizes = [range(len(some) + 1) for some in free.values()]
        best: set[str] | None = None
        for tried, counts in enumerate(product(*sizes)):
            if tried >= MOST_WAYS:
                return best
            seen = forced.union(
                *(some[:count] for some, count in zip(free.values(), counts, strict=True))
            )
            if best is None or len(seen) < len(best):
                found = self._filled(seen, minima)
                if found is not None and (best is None or len(found) < len(best)):
                    best = found
        return best

    def _heaviest(self, ids: Iterable[str]) -> list[str]:
        order = {step.id: place for place, step in enumerate(self.evidence.steps)}
        return sorted(ids, key=lambda id: (-self.gains[id], order[id]))

    def _filled(self, seen: set[str], minima: Mapping[str, Fraction]) -> set[str] | None:
        """With the fewest of the steps that were seen and fell short, for all lines."""
        chosen = {*seen}
        if not self._covers(chosen):
            return None
        short = self._heaviest(self.gains.keys() - self.unseen - chosen)
        for domain, least in minima.items():
            share = self.score.domains[domain]
            need = least * share.applicable - share.earned
            mine = [id for id in short if self.domain[id] == domain]
            if not self._add(chosen, mine, need, domain):
                return None
        whole = self.score.whole
        need = self.evidence.cut.value * whole.applicable - whole.earned
        rest = [id for id in short if id not in chosen]
        return chosen if self._add(chosen, rest, need, "") else None

    def _covers(self, chosen: set[str]) -> bool:
        whole = self.score.whole
        gained = sum((self.weight[id] for id in chosen & self.unseen & self.gains.keys()), ZERO)
        return whole.seen + gained >= least_coverage(self.evidence) * whole.applicable

    def _add(self, chosen: set[str], steps: Sequence[str], need: Fraction, domain: str) -> bool:
        """Add steps in order until what is chosen gains enough, of one domain or of all."""

        def enough() -> bool:
            mine = [id for id in chosen if id in self.gains and domain in ("", self.domain[id])]
            share = self.score.domains[domain] if domain else self.score.whole
            return (share.seen > 0 or bool(mine)) and sum(
                (self.gains[id] for id in mine), ZERO
            ) >= need

        for id in steps:
            if enough():
                return True
            chosen.add(id)
        return enough()
