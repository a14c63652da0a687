"""How often the whole rule would pass or fail a learner wrongly, by simulation (rule A7).

What was recorded of some attempts is taken for what happened. Each is then recorded anew by an
observer who errs: on every step that was seen with one chance, on every critical item with another.
The same decision function decides both times, with all lines of the rule.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from random import Random

from observe.domain.board import Verdict
from observe.domain.criticals import Finding, standings
from observe.domain.decision import Outcome, decide
from observe.domain.marks import DONE, NOT_DONE, Mark, State
from observe.domain.scoring import Evidence
from observe.domain.troubles import BadInput


@dataclass(frozen=True, slots=True)
class WholeRule:
    """Shares of simulated records, with Monte-Carlo standard errors.

    false_pass: passed, though the attempt itself comes to remediation; false_fail: the other way.
    same: decided alike. undecided: of the records. attempts, records: how many.
    """

    false_pass: float
    false_pass_error: float
    false_fail: float
    false_fail_error: float
    same: float
    undecided: float
    attempts: int
    records: int
    step_error: float
    critical_error: float
    seed: int


def whole_rule(
    attempts: Sequence[Evidence],
    step_error: float,
    *,
    critical_error: float = 0.0,
    records: int = 100,
    seed: int = 1,
    tick: Callable[[int, int], None] | None = None,
) -> WholeRule:
    """Simulate records of attempts that come to a pass or a remediation.

    step_error, critical_error: chances that an observer errs. records: of each attempt. tick:
    called between attempts; may raise `Stopped`. Raises BadInput for chances outside 0 to 0.5, and
    where no attempt has a decision.
    """
    if not (0 <= step_error < 0.5 and 0 <= critical_error < 0.5):
        raise BadInput(
            f"Chances to err of {step_error:g} and {critical_error:g} cannot be.",
            remedy="Give chances from 0 to under 0.5.",
        )
    known = [(one, decide(one).outcome) for one in attempts]
    decided = [one for one in known if one[1] in (Outcome.PASS, Outcome.REMEDIATE)]
    if not decided:
        raise BadInput(
            "No attempt comes to a pass or a remediation.", remedy="Ask again after the workshop."
        )
    draw = Random(seed)  # noqa: S311 - the same records each time
    counts: dict[tuple[Outcome | None, Outcome | None], int] = {}
    for number, (one, true) in enumerate(decided):
        if tick is not None:
            tick(number, len(decided))
        for _ in range(records):
            again = decide(_recorded(one, step_error, critical_error, draw)).outcome
            counts[true, again] = counts.get((true, again), 0) + 1
    total = len(decided) * records

    def share(*pairs: tuple[Outcome, Outcome]) -> float:
        return sum(counts.get(pair, 0) for pair in pairs) / total

    wrongly = share((Outcome.REMEDIATE, Outcome.PASS))
    failed = share((Outcome.PASS, Outcome.REMEDIATE))
    open_ = [(one, Outcome.UNDECIDED) for one in (Outcome.PASS, Outcome.REMEDIATE)]
    return WholeRule(
        wrongly,
        math.sqrt(wrongly * (1 - wrongly) / total),
        failed,
        math.sqrt(failed * (1 - failed) / total),
        share((Outcome.PASS, Outcome.PASS), (Outcome.REMEDIATE, Outcome.REMEDIATE)),
        share(*open_),
        len(decided),
        records,
        step_error,
        critical_error,
        seed,
    )


def error_from_disagreement(disagreeing: int, pairs: int) -> float | None:
    """The chance that one observer errs, from how often two differ; None where it cannot be told.

    Two who err independently with a chance e differ in 2 e (1 - e) of cases. None without pairs,
    and where half or more differ.
    """
    if not pairs or 2 * disagreeing >= pairs:
        return None
    return (1 - math.sqrt(1 - 2 * disagreeing / pairs)) / 2


def _recorded(one: Evidence, step_error: float, critical_error: float, draw: Random) -> Evidence:
    marks: dict[str, Mark] = {}
    for step in one.steps:
        mark = one.marks[step.id]
        if mark.state.is_outcome and draw.random() < step_error:
            marks[step.id] = NOT_DONE if mark.state is State.DONE else DONE
    verdicts = dict(one.verdicts)
    for standing in standings(one).values():
        if draw.random() < critical_error:
            id_ = standing.item.id
            if standing.finding is Finding.FATAL:
                verdicts.pop(id_, None)
            elif standing.watched:
                verdicts[id_] = (Verdict.FATAL,) * max(standing.item.tally, 1)
    return replace(one.with_marks(marks), verdicts=verdicts)
