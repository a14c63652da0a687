"""What several attempts of one learner come to: the last, the best, or all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum


class Policy(StrEnum):
    """Which attempts decide."""

    LAST = "last"
    BEST = "best"
    ALL = "all"


@dataclass(frozen=True, slots=True)
class Attempt:
    """One attempt. passed: None for one without a decision. mode, scoring: only those alike count.

    date: ISO, or any text that sorts in time. void: it counts for nothing.
    """

    date: str
    passed: bool | None
    mode: str = ""
    scoring: str = ""
    void: bool = False


@dataclass(frozen=True)
class Result:
    """passed: None where nothing decides. counted: places of the attempts that do, in order.

    reasons: why others do not, by place.
    """

    passed: bool | None
    counted: tuple[int, ...]
    reasons: dict[int, str]
    sentence: str


def in_order(attempts: Sequence[Attempt]) -> list[int]:
    """Places by date; of one day in the order in which they were entered."""
    return sorted(range(len(attempts)), key=lambda place: (attempts[place].date, place))


def retest(attempts: Sequence[Attempt], policy: Policy) -> Result:
    """What the attempts of one learner at one form come to.

    Only those of the mode and scoring of the newest that decided count together; void ones and
    those without a decision do not.
    """
    order = in_order(attempts)
    reasons: dict[int, str] = {}
    decided = []
    for place in order:
        if attempts[place].void:
            reasons[place] = "void"
        elif attempts[place].passed is None:
            reasons[place] = "no decision"
        else:
            decided.append(place)
    if not decided:
        return Result(None, (), reasons, "No attempt has a decision that counts.")
    newest = attempts[decided[-1]]
    counted = []
    for place in decided:
        one = attempts[place]
        if (one.mode, one.scoring) == (newest.mode, newest.scoring):
            counted.append(place)
        else:
            reasons[place] = "another mode or scoring"
    found = [bool(attempts[place].passed) for place in counted]
    passed = {Policy.LAST: found[-1], Policy.BEST: any(found), Policy.ALL: all(found)}[policy]
    word = "pass" if passed else "remediate"
    noun = "attempt" if len(found) == 1 else "attempts"
    said = f"{word} by the policy “{policy.value}” over {len(found)} {noun}."
    return Result(passed, tuple(counted), reasons, said[:1].upper() + said[1:])
