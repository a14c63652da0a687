"""Where each critical item stands: watched or not, and what came of it (rules C1, C2)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from observe.domain.board import Verdict
from observe.domain.form import Critical, CriticalKind, Mode
from observe.domain.marks import State
from observe.domain.scoring import Evidence


class Finding(StrEnum):
    NOT_WATCHED = "not watched"
    CLEAR = "clear"
    FATAL = "fatal"
    RECOVERED = "recovered"
    AVERTED = "averted"
    COUNTED = "counted"


@dataclass(frozen=True, slots=True)
class CriticalStanding:
    """One critical item. count: for a tally, how often it was counted; else its occurrences.

    unseen: the watch steps that were not seen, in the form's order.
    """

    item: Critical
    finding: Finding
    count: int
    unseen: tuple[str, ...]


def standings(evidence: Evidence) -> Mapping[str, CriticalStanding]:
    """Every critical item of the form, by id, in the form's order."""
    return {item.id: _standing(evidence, item) for item in evidence.form.criticals}


def _standing(evidence: Evidence, item: Critical) -> CriticalStanding:
    verdicts = Counter(evidence.verdicts.get(item.id, ()))
    unseen = tuple(
        step.id
        for step in evidence.steps
        if step.id in item.watch and evidence.marks[step.id].state is State.NOT_SEEN
    )
    averted_is_fatal = evidence.mode is Mode.SUMMATIVE and item.averted_is_fatal
    fatal = verdicts[Verdict.FATAL] + (verdicts[Verdict.AVERTED] if averted_is_fatal else 0)
    count = verdicts[Verdict.COUNTED] + fatal
    needed = item.tally if item.kind is CriticalKind.TALLY else 1
    if item.kind is not CriticalKind.TALLY:
        count = sum(verdicts.values()) - verdicts[Verdict.WITHDRAWN]
    if (count if item.kind is CriticalKind.TALLY else fatal) >= needed:
        finding = Finding.FATAL
    elif verdicts[Verdict.AVERTED]:
        finding = Finding.AVERTED
    elif verdicts[Verdict.RECOVERED]:
        finding = Finding.RECOVERED
    elif verdicts[Verdict.COUNTED]:
        finding = Finding.COUNTED
    elif unseen and item.id not in evidence.attested:
        finding = Finding.NOT_WATCHED
    else:
        finding = Finding.CLEAR
    return CriticalStanding(item, finding, count, unseen)
