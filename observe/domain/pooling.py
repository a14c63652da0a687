"""Evidence of several observers on one attempt, put together step by step (rules T1, T5)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from observe.domain.board import Verdict
from observe.domain.criticals import tally_count
from observe.domain.decision import essential_met
from observe.domain.form import Critical, CriticalKind, Form, Step
from observe.domain.marks import NOT_SEEN, Mark, State, credit
from observe.domain.scoring import ZERO, Cut, Evidence, Pool


def can_pool(first: Evidence, second: Evidence) -> bool:
    """Whether two observers assessed the same steps; not so with two variants."""
    return [step.id for step in first.steps] == [step.id for step in second.steps]


def pooled(first: Evidence, second: Evidence) -> Evidence:
    """Two observers who watched the same attempt at the same time (rule T1).

    Credit is the mean of those who saw a step, coverage the union, and a critical
    item was watched if the two together saw its steps or either attests it. A
    tally is the greatest by one observer. Whether a fatal item is contested is for
    `observe.domain.pairing`; here it stays. Symmetric. Raises ValueError unless
    `can_pool`.
    """
    if not can_pool(first, second):
        raise ValueError("only evidence on the same steps can be pooled")
    return _pooled((first, second), first.attested | second.attested)


def joined(parts: Sequence[Evidence]) -> Evidence:
    """The parts of one watch that was handed on, in turn; at least one (rule T5).

    Put together as in `pooled`, on the steps of the last one's variant. Who attests
    "watched throughout" speaks for their own part, so only what all attest is
    attested for the whole. The overall grade and the clock are the last one's: the
    one who leaves is not asked for a grade, and the clock goes on. The cut is the first
    one's: that is when the attempt began (rule F7).
    """
    last = parts[-1]
    if len(parts) == 1:
        return last
    fitted = tuple(_fitted(one, last.steps) for one in parts)
    attested = frozenset.intersection(*(one.attested for one in parts))
    whole = _pooled(fitted, attested)
    pool = replace(whole.pool, grades=frozenset(last.pool.grades), seconds=last.pool.seconds)
    cut = parts[0].cut
    return replace(whole, cut=cut, overall=last.overall, elapsed_s=last.elapsed_s, pool=pool)


def _fitted(evidence: Evidence, steps: tuple[Step, ...]) -> Evidence:
    """The evidence on some steps; those it knows nothing of are not seen."""
    marks = {step.id: evidence.marks.get(step.id, NOT_SEEN) for step in steps}
    gone = evidence.marks.keys() - marks.keys()
    return replace(evidence, steps=steps, marks=marks, pool=evidence.pool.without(gone))


def _pooled(parts: Sequence[Evidence], attested: frozenset[str]) -> Evidence:
    base = parts[0]
    marks = {step.id: _mark(parts, step.id) for step in base.steps}
    grades = frozenset[int]().union(*(one.grades for one in parts))
    seconds = frozenset[int]().union(*(one.seconds for one in parts))
    return replace(
        base,
        cut=_cut(parts),
        marks=marks,
        verdicts=_verdicts(base.form, parts),
        attested=attested,
        overall=min(grades, default=None),
        elapsed_s=max(seconds, default=None),
        newer=sum(one.newer for one in parts),
        left_out=frozenset.intersection(*(one.left_out for one in parts)),
        void=any(one.void for one in parts),
        pool=Pool(
            credits=_credits(parts, marks),
            split=frozenset(step.id for step in base.steps if _is_split(parts, step)),
            grades=grades if len(grades) > 1 else frozenset(),
            seconds=seconds if len(seconds) > 1 else frozenset(),
        ),
    )


def _cut(parts: Sequence[Evidence]) -> Cut:
    """The cut that all are bound to; where they are not, the form's own, which is provisional."""
    cuts = {one.cut for one in parts}
    return cuts.pop() if len(cuts) == 1 else Cut(parts[0].form.rule.cut)


def _who_saw(parts: Iterable[Evidence], step: str) -> list[Evidence]:
    return [one for one in parts if one.marks[step].state.is_outcome]


def _mark(parts: Sequence[Evidence], step: str) -> Mark:
    """The mark to show for a step: of several outcomes the one that earns least.

    An outcome comes before "not applicable", that before "did not arise", and
    anything before "not seen".
    """
    table = parts[0].form.credit
    outcomes = [one.marks[step] for one in _who_saw(parts, step)]
    if outcomes:
        return min(outcomes, key=lambda mark: (credit(mark, table), _rank(mark)))
    states = {one.marks[step].state for one in parts}
    state = next(state for state in _WITHOUT_OUTCOME if state in states)
    return Mark(state)


_WITHOUT_OUTCOME = (State.NOT_APPLICABLE, State.DID_NOT_ARISE, State.NOT_SEEN)


def _rank(mark: Mark) -> tuple[int, int, str, bool]:
    """An order of marks that earn the same, so that pooling is symmetric."""
    order = (State.NOT_DONE, State.INCORRECT, State.DONE)
    return order.index(mark.state), -mark.prompt, mark.source or "", mark.voiced


def _credits(parts: Sequence[Evidence], marks: Mapping[str, Mark]) -> dict[str, Fraction]:
    """Mean credits, where they are not what the mark shown would earn."""
    found: dict[str, Fraction] = {}
    for step, mark in marks.items():
        earned = [one.credit(step) for one in _who_saw(parts, step)]
        mean = sum(earned, ZERO) / len(earned) if earned else ZERO
        if earned and mean != credit(mark, parts[0].form.credit):
            found[step] = mean
    return found


def _is_split(parts: Sequence[Evidence], step: Step) -> bool:
    """Whether an essential step was met to one observer and not to another."""
    if not step.essential:
        return False
    saw = _who_saw(parts, step.id)
    most = parts[0].form.rule.essential_prompt
    met = {essential_met(one.marks[step.id], most) for one in saw}
    return len(met) > 1 or any(step.id in one.pool.split for one in saw)


def _verdicts(form: Form, parts: Sequence[Evidence]) -> dict[str, tuple[Verdict, ...]]:
    """What became of each critical item: of a tally the greatest by one observer."""
    found: dict[str, tuple[Verdict, ...]] = {}
    for item in form.criticals:
        each = [one.verdicts[item.id] for one in parts if one.verdicts.get(item.id)]
        if each:
            found[item.id] = _of_item(item, parts, each)
    return found


def _of_item(
    item: Critical, parts: Sequence[Evidence], each: Sequence[tuple[Verdict, ...]]
) -> tuple[Verdict, ...]:
    if item.kind is CriticalKind.TALLY:
        mode = parts[0].mode
        return max(each, key=lambda one: (tally_count(item, one, mode), sorted(one)))
    greatest: Counter[Verdict] = Counter()
    for one in each:
        greatest |= Counter(one)
    return tuple(sorted(greatest.elements()))
