"""Where each critical item stands: watched or not, and what came of it (rules C1, C2)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from observe.domain.board import Verdict
from observe.domain.form import Critical, CriticalKind, Mode
from observe.domain.marks import State
from observe.domain.scoring import Evidence


class Finding(StrEnum):
    NOT_IN_PLAY = "not in play"
    NOT_WATCHED = "not watched"
    CLEAR = "clear"
    FATAL = "fatal"
    RECOVERED = "recovered"
    AVERTED = "averted"
    COUNTED = "counted"


@dataclass(frozen=True, slots=True)
class CriticalStanding:
    """One critical item. count: for a tally, how often it was counted; else its occurrences.

    unseen: the watch steps that were not seen, in the form's order. watched:
    whether none is missing, or the observer attests "watched throughout"; an item
    that occurred is watched no better for it.
    """

    item: Critical
    finding: Finding
    count: int
    unseen: tuple[str, ...]
    watched: bool


def standings(evidence: Evidence) -> Mapping[str, CriticalStanding]:
    """Every critical item of the form, by id, in the form's order."""
    order = {step.id: place for place, step in enumerate(evidence.steps)}
    return {item.id: _standing(evidence, item, order) for item in evidence.form.criticals}


def tally_count(item: Critical, verdicts: Iterable[Verdict], mode: Mode) -> int:
    """How often one observer counted a tally item (rule C2).

    An averted one counts where a stopping hand is fatal: in summative mode, unless
    the form says otherwise.
    """
    counts = Counter(verdicts)
    averted = counts[Verdict.AVERTED] if _is_averted_fatal(item, mode) else 0
    return counts[Verdict.COUNTED] + counts[Verdict.FATAL] + averted


def _is_averted_fatal(item: Critical, mode: Mode) -> bool:
    return mode is Mode.SUMMATIVE and item.averted_is_fatal


def _standing(evidence: Evidence, item: Critical, order: Mapping[str, int]) -> CriticalStanding:
    recorded = evidence.verdicts.get(item.id, ())
    in_play = sorted({id for id in item.watch if id in order}, key=order.__getitem__)
    unseen = tuple(id for id in in_play if evidence.marks[id].state is State.NOT_SEEN)
    watched = not unseen or item.id in evidence.attested
    if not recorded:
        clear = Finding.CLEAR if watched else Finding.NOT_WATCHED
        nowhere = watched and not in_play and item.id not in evidence.attested
        return CriticalStanding(item, Finding.NOT_IN_PLAY if nowhere else clear, 0, unseen, watched)
    verdicts = Counter(recorded)
    if item.kind is CriticalKind.TALLY:
        count = tally_count(item, verdicts.elements(), evidence.mode)
        is_fatal = count >= item.tally
    else:
        count = verdicts.total() - verdicts[Verdict.WITHDRAWN]
        averted = verdicts[Verdict.AVERTED] and _is_averted_fatal(item, evidence.mode)
        is_fatal = bool(verdicts[Verdict.FATAL] or averted)
    finding = _finding(verdicts, is_fatal=is_fatal, watched=watched)
    if finding is Finding.CLEAR and not in_play and item.id not in evidence.attested:
        finding = Finding.NOT_IN_PLAY
    return CriticalStanding(item, finding, count, unseen, watched)


def _finding(verdicts: Mapping[Verdict, int], *, is_fatal: bool, watched: bool) -> Finding:
    """The gravest thing that happened; if nothing did, whether anyone was watching."""
    if is_fatal:
        return Finding.FATAL
    for verdict, finding in _SURVIVED:
        if verdicts.get(verdict):
            return finding
    return Finding.CLEAR if watched else Finding.NOT_WATCHED


_SURVIVED = (
    (Verdict.AVERTED, Finding.AVERTED),
    (Verdict.RECOVERED, Finding.RECOVERED),
    (Verdict.COUNTED, Finding.COUNTED),
)
