"""A cut score: where it comes from, how sure it is, what to beware of, and what it is not."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TypeAlias

from scipy import special

from observe.domain.troubles import BadInput

Detail: TypeAlias = float | bool | str | tuple[float | None, ...]
Tick: TypeAlias = Callable[[int, int], None]

NOTHING: Mapping[str, Detail] = MappingProxyType({})
JUDGES, CANDIDATES = "judges", "candidates"
STUDENT = "Student's t"

LABELS: Mapping[str, str] = MappingProxyType(
    {
        "angoff": "Angoff",
        "borderline_group": "Borderline group",
        "borderline_regression": "Borderline regression",
        "contrasting_groups": "Contrasting groups",
        "hofstee": "Hofstee",
    }
)
IS_NOT: Mapping[str, str] = MappingProxyType(
    {
        "angoff": "It is what these judges expect of a borderline learner, not a measurement of"
        " learners; another panel may come to another cut.",
        "borderline_group": "It is what borderline learners of this sample scored, not a level of"
        " safety; other learners or other observers may give another cut.",
        "borderline_regression": "It is what a borderline learner of this sample would score, not"
        " a level of safety; other learners or other observers may give another cut.",
        "contrasting_groups": "It parts the groups as they were judged, not the safe from the"
        " unsafe; it moves with the make-up of the sample.",
        "hofstee": "It is a compromise between a cut and a failure rate that the judges can bear,"
        " not a level of safety; it follows the learners of this sample.",
    }
)
HALO = (
    "Where one observer gave both score and grade they share that observer's halo: the two are"
    " less independent than they look."
)


@dataclass(frozen=True, slots=True)
class Scale:
    """What scores are in. unit: "percent" or "raw". maximum: None if it is not declared."""

    unit: str = "raw"
    maximum: float | None = None

    def percent(self, value: float | None) -> float | None:
        """A value of this scale in percent of its maximum; None where either is unknown."""
        if value is None or self.maximum is None:
            return None
        return 100 * value / self.maximum


RAW = Scale()
PERCENT = Scale("percent", 100.0)


def raw(maximum: float) -> Scale:
    """The scale from 0 to `maximum`. Raises BadInput unless that is a number above 0."""
    if not 0 < maximum < 1e100:
        raise BadInput(
            f"A maximum of {maximum:g} is no scale.",
            where="maximum",
            remedy="Give the greatest score that can be had, above 0.",
        )
    return Scale("raw", float(maximum))


@dataclass(frozen=True, slots=True)
class Asking:
    """How a cut is asked for: its scale, the level of its interval, the seed of resampling.

    tick: told (done, total) while it takes long; may raise Stopped. Raises BadInput for a
    level outside 0 to 1 or a seed below 0.
    """

    scale: Scale = RAW
    level: float = 0.95
    seed: int = 0
    tick: Tick | None = None

    def __post_init__(self) -> None:
        if not 0 < self.level < 1:
            raise BadInput(
                f"A level of {self.level:g} is not between 0 and 1.",
                where="level",
                remedy="Write 0.95 for 95 %.",
            )
        if self.seed < 0:
            raise BadInput(
                f"A seed of {self.seed} is below 0.",
                where="seed",
                remedy="Give a whole number from 0.",
            )


PLAIN = Asking()


@dataclass(frozen=True, slots=True)
class Cut:
    """A cut score, unrounded, or a sentence why there is none. Pass is a score ≥ the cut.

    method, statistic: what was asked, and which of its kinds ("median").
    value: on `scale`; None if not estimable. se: its standard error; None if there is none.
    low, high: its interval at `level`; None if there is none. interval: how it was made.
    n: what the cut rests on, counted in `of` ("judges" or "candidates"); given: how many
        there were before any was dropped. dropped: who was left out, and why.
    undefined: why there is no value, a sentence; empty if there is one.
    warnings: sentences that whoever approves the cut must weigh. notes: how to read it.
    details: what it was made from, by name. seed: of what was resampled; None if nothing was.
    """

    method: str
    statistic: str
    scale: Scale
    level: float
    n: int
    of: str
    given: int
    value: float | None = None
    se: float | None = None
    low: float | None = None
    high: float | None = None
    interval: str | None = None
    undefined: str = ""
    warnings: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    dropped: tuple[str, ...] = ()
    details: Mapping[str, Detail] = field(default_factory=lambda: NOTHING)
    seed: int | None = None

    @property
    def label(self) -> str:
        """The method's name for people, its kind in brackets."""
        return (
            f"{LABELS[self.method]} ({self.statistic})" if self.statistic else LABELS[self.method]
        )

    @property
    def percent(self) -> float | None:
        """The cut in percent of the scale's maximum; None where that is not declared."""
        return self.scale.percent(self.value)

    @property
    def is_not(self) -> str:
        """What the cut is not, a sentence (rule A9)."""
        return IS_NOT[self.method]

    def in_percent(self) -> Cut:
        """The same cut in percent of its scale's maximum; details stay as they are.

        Raises BadInput where the maximum is not declared.
        """
        if self.scale.maximum is None:
            raise BadInput(
                "The cut has no percentage: the greatest score is not declared.",
                where="maximum",
                remedy="Declare the greatest score that can be had.",
            )
        value, se, low, high = (
            self.scale.percent(one) for one in (self.value, self.se, self.low, self.high)
        )
        return replace(self, scale=PERCENT, value=value, se=se, low=low, high=high)

    def without(self, reason: str, **details: Detail) -> Cut:
        """The same question, its answer that there is no cut: a sentence's end."""
        return replace(
            self,
            undefined=f"The cut is not estimable: {reason}",
            details=MappingProxyType({**self.details, **details}),
        )

    def found(
        self,
        value: float,
        *,
        se: float | None,
        limits: tuple[float, float] | None,
        interval: str,
        details: Mapping[str, Detail],
    ) -> Cut:
        """The same question, answered; warns where the cut lies outside its scale."""
        low, high = limits or (None, None)
        return replace(
            self,
            value=value,
            se=se,
            low=low,
            high=high,
            interval=interval if limits else None,
            warnings=(*self.warnings, *_outside(value, self.scale)),
            details=MappingProxyType(dict(details)),
        )

    def warned(self, *sentences: str) -> Cut:
        """The same with more warnings; empty ones say nothing."""
        return replace(self, warnings=(*self.warnings, *filter(None, sentences)))

    def noted(self, *sentences: str) -> Cut:
        """The same with more notes; empty ones say nothing."""
        return replace(self, notes=(*self.notes, *filter(None, sentences)))


def student(value: float, se: float, freedom: int, level: float) -> tuple[float, float]:
    """Limits from a standard error and Student's t."""
    half = float(special.stdtrit(freedom, (1 + level) / 2)) * se
    return value - half, value + half


def _outside(value: float, scale: Scale) -> tuple[str, ...]:
    if scale.maximum is not None and not 0 <= value <= scale.maximum:
        return (f"The cut lies outside the scale from 0 to {scale.maximum:g}.",)
    return ()
