"""What waits for a person before it counts, over some or all workshops of a logbook."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from observe.domain.forks import Fork
from observe.domain.workshop import Contrary, Seat, Workshop
from observe.work.adjudicating import needs_adjudication
from observe.work.consequences import Results, Signed, results, signed_otherwise
from observe.work.debrief import AttemptResult
from observe.work.dropping import held_up
from observe.work.forks import Divided, ForkTail, divided, tails
from observe.work.linking import Pair, attempt_pairs, learner_pairs
from observe.work.logbooks import Logbook
from observe.work.seals import OtherSeal, other_seals
from observe.work.strays import Stray, strays


@dataclass(frozen=True, slots=True)
class Wanted:
    """Everything that waits. Each with the workshop that it belongs to, but for forks.

    tails: of forks of which none is adopted. divided: observations written on two machines.
    learners, attempts: pairs of which a person has to say whether they are one. disputes:
    attempts for a third person. overtaken: what stands signed on facts that are otherwise now.
    strays: records of who does not watch in the plan. seals: marks that came with another seal
    than was told. held_up: attempts that wait for nothing but one look that is not sealed, whose;
    it may still be taken, so it is not counted. contrary: what was said and did not apply, since
    somebody who had not met them said otherwise; told, and not counted.
    """

    tails: tuple[ForkTail, ...]
    divided: tuple[tuple[Workshop, Divided], ...]
    learners: tuple[tuple[Workshop, Pair], ...]
    attempts: tuple[tuple[Workshop, Pair], ...]
    disputes: tuple[tuple[Workshop, AttemptResult], ...]
    overtaken: tuple[tuple[Workshop, AttemptResult, Signed], ...]
    strays: tuple[tuple[Workshop, Stray], ...]
    seals: tuple[tuple[Workshop, OtherSeal], ...]
    held_up: tuple[tuple[Workshop, Seat, str], ...] = ()
    contrary: tuple[tuple[Workshop, Contrary], ...] = ()

    @property
    def forks(self) -> tuple[Fork, ...]:
        """The forks of which no tail is adopted."""
        return tuple(dict.fromkeys(one.fork for one in self.tails))

    @property
    def count(self) -> int:
        """How many things wait."""
        pairs = (self.learners, self.attempts)
        waiting = (self.divided, *pairs, self.disputes, self.overtaken, self.strays, self.seals)
        return len(self.forks) + sum(len(one) for one in waiting)

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        return {
            "forks": [
                {
                    "device": fork.device,
                    "seq": fork.seq,
                    "tails": list(fork.hashes),
                    "rivals": list(fork.rivals),
                }
                for fork in self.forks
            ],
            "divided": [one.as_record() for _, one in self.divided],
            "to_adjudicate": [one.seat.attempt for _, one in self.disputes],
            "maybe_one_learner": [
                {"kept": one.kept.learner, "other": one.other.learner, "why": one.why}
                for _, one in self.learners
            ],
            "maybe_one_attempt": [
                {"kept": one.kept.attempt, "other": one.other.attempt, "why": one.why}
                for _, one in self.attempts
            ],
            "signed_otherwise": [
                {"attempt": one.seat.attempt, "by": was.by, "as": was.was, "sheet": was.issued}
                for _, one, was in self.overtaken
            ],
            "strays": [
                {"attempt": one.attempt, "observer": one.observer, "marks": one.marks}
                for _, one in self.strays
            ],
            "other_seals": [
                {"attempt": one.attempt, "observer": one.observer} for _, one in self.seals
            ],
            "held_up": [
                {"attempt": one.attempt, "observer": observer} for _, one, observer in self.held_up
            ],
            "not_applied": [
                {"kind": one.kind.value, "event": one.event, "attempt": one.attempt, "by": one.by}
                for _, one in self.contrary
            ],
        }


def wanted(
    logbook: Logbook, workshops: Iterable[Workshop] | None = None, now: Results | None = None
) -> Wanted:
    """What waits for a person now.

    workshops: those that are asked about, all if None. now: what their attempts come to, where
    that is known already.
    """
    asked = [*(logbook.workshops().values() if workshops is None else workshops)]
    found = (results(logbook, asked) if now is None else now).values()
    signed = [(one, result, signed_otherwise(logbook, result)) for one, result in found]
    return Wanted(
        tails=tuple(one for one in tails(logbook) if not one.fork.adopted),
        divided=tuple((one, each) for one in asked for each in divided(logbook, one)),
        learners=tuple((one, each) for one in asked for each in learner_pairs(logbook, one)),
        attempts=tuple((one, each) for one in asked for each in attempt_pairs(logbook, one)),
        disputes=tuple((one, result) for one, result in found if needs_adjudication(result)),
        overtaken=tuple((one, result, was) for one, result, all_ in signed for was in all_),
        strays=tuple((one, each) for one in asked for each in strays(logbook, one)),
        seals=tuple((one, each) for one in asked for each in other_seals(logbook, one)),
        held_up=tuple((one, *each) for one in asked for each in held_up(logbook, one)),
        contrary=tuple((one, each) for one in asked for each in one.contrary),
    )
