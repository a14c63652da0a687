"""How good a form is, from the attempts of a logbook: each learner's first, by the first look."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from observe.domain.marks import credit
from observe.domain.words import counted, listed
from observe.work.check_logbook import require_sound
from observe.work.debrief import Reveal
from observe.work.logbooks import Logbook, open_logbook
from observe.work.quality import Record
from observe.work.reviewing import Condition
from observe.work.standard_logbook import AGAIN, chosen, first_look, seats_of
from observe.work.standard_tables import Wanted

SELDOM = 0.5
"""Share of records in which a step must have been seen to be judged as an item."""


@dataclass(frozen=True)
class Recorded:
    """A record for each learner, its score in percent and each step's credit 0 to 1.

    labels: of each step. notes: what was left out.
    """

    records: tuple[Record, ...]
    labels: Mapping[str, str]
    notes: tuple[str, ...]


def records_in(path: Path, wanted: Wanted) -> Recorded:
    """What the attempts of a logbook say of a form and variant.

    Attempts of one scoring and one profile only (rule A4):
    those with most attempts where there are several. Raises Doubtful if the logbook is not
    what was written, BadInput where no such form or variant is in it.
    """
    require_sound(path)
    with open_logbook(path, read_only=True) as logbook:
        known = chosen(logbook, wanted, path)
        found = [_gathered(logbook, one, wanted.variant) for one in known]
    best = max(range(len(known)), key=lambda place: len(found[place][0]))
    records, left = found[best]
    said = [f"{counted(n, 'attempt')} {why} left out." for why, n in sorted(left.items())]
    others = sum(len(one) for one, _ in found) - len(records)
    if others:
        said.append(f"{counted(others, 'attempt')} under other conditions left out (rule A4).")
    kept, seldom = seen_often(records)
    if seldom:
        unseen = listed([known[best].form.step[one].label for one in seldom])
        said.append(f"Steps seen in fewer than half of the records left out: {unseen}.")
    labels = {step.id: step.label for step in known[best].form.steps}
    return Recorded(tuple(kept), labels, tuple(said))


def _gathered(
    logbook: Logbook, condition: Condition, variant: str
) -> tuple[list[Record], Counter[str]]:
    found: dict[str, Record] = {}
    left: Counter[str] = Counter()
    steps = [step.id for step in condition.form.steps_of(variant) if step.scored]
    for workshop, seat in seats_of(condition):
        learner = dict(workshop.aliases).get(seat.learner, seat.learner)
        shown = first_look(logbook, workshop, seat, variant)
        if isinstance(shown, str):
            left[shown] += 1
        elif learner in found:
            left[AGAIN] += 1
        else:
            found[learner] = record_of(learner, shown, steps)
    return [*found.values()], left


def record_of(learner: str, shown: Reveal, steps: Iterable[str]) -> Record:
    """What the first look saw, a share for each step; None where there is no outcome."""
    marks, form = shown.evidence.marks, shown.evidence.form
    credits_ = {
        step: float(credit(marks[step], form.credit))
        if step in marks and marks[step].state.is_outcome
        else None
        for step in steps
    }
    grade, score = shown.evidence.overall, shown.decision.score.whole.value
    watchers = dict.fromkeys(part.observer for part in shown.parts)
    return Record(
        learner,
        credits_,
        None if grade is None else float(grade),
        " and ".join(watchers),
        None if score is None else float(100 * score),
    )


def seen_often(records: Sequence[Record]) -> tuple[list[Record], list[str]]:
    """The records without the steps that were seldom seen, and these."""
    seen: Counter[str] = Counter()
    for one in records:
        seen.update({name: value is not None for name, value in one.credits.items()})
    seldom = [name for name, times in seen.items() if times < SELDOM * len(records)]
    kept = [
        replace(one, credits={k: v for k, v in one.credits.items() if k not in seldom})
        for one in records
    ]
    return kept, seldom
