"""CUSUM of attempts: whether a learner fails more often than is acceptable, or surely not.

Each failure adds 1 - s, each success takes s away; the line rises with failures. At or above h1
the rate is taken for unacceptable, at or below -h0 for acceptable. Natural logarithms. Sources:
Bolsin S, Colson M (2000), International Journal for Quality in Health Care 12:433-438; Kestin IG
(1995), British Journal of Anaesthesia 75:805-809; Williams SM et al. (1992), BMJ 304:1359-1361;
Wald A (1945), Annals of Mathematical Statistics 16:117-186.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from observe.domain.troubles import BadInput


class Verdict(StrEnum):
    """What a chart comes to."""

    ACCEPTABLE = "acceptable"
    UNACCEPTABLE = "unacceptable"
    OPEN = "cannot be shown with the attempts so far"


@dataclass(frozen=True, slots=True)
class Design:
    """What a chart is drawn with. acceptable, unacceptable: failure rates, the first the lower.

    alpha: risk to call an acceptable learner unacceptable; beta: the other way round.
    """

    acceptable: float
    unacceptable: float
    alpha: float = 0.1
    beta: float = 0.1

    def __post_init__(self) -> None:
        if not 0 < self.acceptable < self.unacceptable < 1:
            raise BadInput(
                f"Failure rates of {self.acceptable:g} and {self.unacceptable:g} cannot be told "
                "apart.",
                remedy="Give the acceptable rate first, then a greater one, both between 0 and 1.",
            )
        if not (0 < self.alpha < 0.5 and 0 < self.beta < 0.5):
            raise BadInput(
                f"Risks of {self.alpha:g} and {self.beta:g} cannot be kept.",
                remedy="Give alpha and beta between 0 and 0.5, such as 0.1.",
            )

    @property
    def p(self) -> float:
        """P = ln(p1 / p0)."""
        return math.log(self.unacceptable / self.acceptable)

    @property
    def q(self) -> float:
        """Q = ln((1 - p0) / (1 - p1))."""
        return math.log((1 - self.acceptable) / (1 - self.unacceptable))

    @property
    def s(self) -> float:
        """What a success takes away."""
        return self.q / (self.p + self.q)

    @property
    def a(self) -> float:
        """The evidence for the upper line: ln((1 - beta) / alpha)."""
        return math.log((1 - self.beta) / self.alpha)

    @property
    def b(self) -> float:
        """The evidence for the lower line: ln((1 - alpha) / beta)."""
        return math.log((1 - self.alpha) / self.beta)

    @property
    def h0(self) -> float:
        """How far below 0 the line of the acceptable rate lies."""
        return self.b / (self.p + self.q)

    @property
    def h1(self) -> float:
        """How far above 0 the line of the unacceptable rate lies."""
        return self.a / (self.p + self.q)


@dataclass(frozen=True)
class Chart:
    """One learner's chart. values: after each attempt. verdict: of the first line that was met.

    upper, lower: at which attempt, from 1, each line was first met; None if it was not. more: how
    many successes in a row would meet the lower line from where it stands; 0 if it was met.
    """

    design: Design
    values: tuple[float, ...]
    verdict: Verdict
    upper: int | None
    lower: int | None
    more: int

    @property
    def sentence(self) -> str:
        """The verdict in a sentence."""
        if self.verdict is Verdict.ACCEPTABLE:
            return f"Shown acceptable at attempt {self.lower}."
        if self.verdict is Verdict.UNACCEPTABLE:
            return f"Shown unacceptable at attempt {self.upper}."
        noun = "success" if self.more == 1 else "successes"
        return f"Cannot be shown with the attempts so far; {self.more} more {noun} needed in a row."


def cusum(failures: Sequence[bool | int], design: Design, *, restart: bool = False) -> Chart:
    """The chart of one learner's attempts in order.

    failures: 1 for a failure, 0 for a success; a missing attempt is no step and is not among
    them. restart: begin at 0 again after a line was met; the verdict then is that of the last line
    that was met.
    """
    values: list[float] = []
    now, upper, lower = 0.0, None, None
    verdict = Verdict.OPEN
    tiny = 1e-9
    for number, failure in enumerate(failures, start=1):
        now += 1 - design.s if failure else -design.s
        values.append(now)
        met = (
            Verdict.UNACCEPTABLE
            if now >= design.h1 - tiny
            else Verdict.ACCEPTABLE
            if now <= -design.h0 + tiny
            else None
        )
        if met is None:
            continue
        upper = number if upper is None and met is Verdict.UNACCEPTABLE else upper
        lower = number if lower is None and met is Verdict.ACCEPTABLE else lower
        if verdict is Verdict.OPEN or restart:
            verdict = met
        now = 0.0 if restart else now
    left = 0 if lower is not None else math.ceil((now + design.h0) / design.s - tiny)
    return Chart(design, tuple(values), verdict, upper, lower, max(left, 0))
