"""What waits for a person before it counts, over all workshops of a logbook."""

from __future__ import annotations

from dataclasses import dataclass

from observe.domain.workshop import Workshop
from observe.work.adjudicating import needs_adjudication
from observe.work.consequences import Signed, results, signed_otherwise
from observe.work.debrief import AttemptResult
from observe.work.forks import Divided, ForkTail, divided, tails
from observe.work.linking import Pair, attempt_pairs, learner_pairs
from observe.work.logbooks import Logbook


@dataclass(frozen=True, slots=True)
class Wanted:
    """Everything that waits. Each with the workshop that it belongs to, but for forks.

    tails: of forks of which none is adopted. divided: observations written on two machines.
    learners, attempts: pairs of which a person has to say whether they are one. disputes:
    attempts for a third person. overtaken: what stands signed on facts that are otherwise now.
    """

    tails: tuple[ForkTail, ...]
    divided: tuple[tuple[Workshop, Divided], ...]
    learners: tuple[tuple[Workshop, Pair], ...]
    attempts: tuple[tuple[Workshop, Pair], ...]
    disputes: tuple[tuple[Workshop, AttemptResult], ...]
    overtaken: tuple[tuple[Workshop, AttemptResult, Signed], ...]

    @property
    def count(self) -> int:
        """How many things wait."""
        waiting = (self.divided, self.learners, self.attempts, self.disputes, self.overtaken)
        forks = {(one.fork.device, one.fork.seq) for one in self.tails}
        return len(forks) + sum(len(one) for one in waiting)


def wanted(logbook: Logbook) -> Wanted:
    """What waits for a person now."""
    workshops = logbook.workshops().values()
    found = results(logbook, workshops).values()
    signed = [(one, result, signed_otherwise(logbook, result)) for one, result in found]
    return Wanted(
        tails=tuple(one for one in tails(logbook) if not one.fork.adopted),
        divided=tuple((one, each) for one in workshops for each in divided(logbook, one)),
        learners=tuple((one, each) for one in workshops for each in learner_pairs(logbook, one)),
        attempts=tuple((one, each) for one in workshops for each in attempt_pairs(logbook, one)),
        disputes=tuple((one, result) for one, result in found if needs_adjudication(result)),
        overtaken=tuple((one, result, was) for one, result, was in signed if was is not None),
    )
