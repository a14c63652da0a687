"""The answer to a question about agreement: it repeats the question, and never hides a gap."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from observe.agreement.ratings import Ratings
from observe.domain.troubles import BadInput

FEWEST_PAIRS = 10
NOTHING: Mapping[str, float] = MappingProxyType({})

LABELS: Mapping[str, str] = MappingProxyType(
    {
        "percent_agreement": "Percent agreement",
        "specific_agreement": "Specific agreement",
        "cohen_kappa": "Cohen's kappa",
        "weighted_kappa": "Weighted kappa",
        "pabak": "PABAK",
        "scott_pi": "Scott's pi",
        "fleiss_kappa": "Fleiss' kappa",
        "conger_kappa": "Conger's kappa",
        "brennan_prediger": "Brennan-Prediger",
        "gwet_ac1": "Gwet's AC1",
        "gwet_ac2": "Gwet's AC2",
        "krippendorff_alpha": "Krippendorff's alpha",
        "icc": "Intraclass correlation",
        "bland_altman": "Limits of agreement",
        "cronbach_alpha": "Cronbach's alpha",
    }
)


@dataclass(frozen=True, slots=True)
class Estimate:
    """One coefficient of one table, with its interval, or a sentence why there is none.

    coefficient, form: what was asked, and which of its kinds ("quadratic").
    value: the estimate, a proportion or coefficient; None if not estimable.
    low, high: limits of the interval at `level`; None if there is none.
    interval: the method of the interval; None if there is none.
    units: units in the table. used: units that this coefficient rests on.
    observers: how many observers gave ratings.
    undefined: why there is no value, a sentence; None if there is one.
    notes: sentences on what was left out, on the interval, on how to read the value.
    dropped: those of the notes that say who and what was left out, and why.
    details: what the value was made from, by name: "observed agreement", "chance
        agreement", "standard error", "standard error if 0" (for a test only) and others.
    clusters: how many learners the interval takes units of together; None if units are
        taken as independent. seed: of a resampled interval; None for any other.
    """

    coefficient: str
    form: str
    value: float | None
    low: float | None
    high: float | None
    level: float
    interval: str | None
    units: int
    used: int
    observers: int
    undefined: str | None
    notes: tuple[str, ...]
    dropped: tuple[str, ...] = ()
    details: Mapping[str, float] = field(default_factory=lambda: NOTHING)
    clusters: int | None = None
    seed: int | None = None

    @property
    def note(self) -> str:
        """The notes as one text."""
        return " ".join(self.notes)

    @property
    def label(self) -> str:
        """The coefficient's name for people."""
        return LABELS[self.coefficient]


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of a table of ratings; makes the `Estimate` that answers it.

    used: units that the coefficient rests on. single_used: whether units rated once
    are among them.
    """

    ratings: Ratings
    coefficient: str
    form: str
    level: float
    used: int
    single_used: bool = False

    def __post_init__(self) -> None:
        check_level(self.level)

    def undefined(self, reason: str, *notes: str) -> Estimate:
        """No value: "<label> is not estimable: <reason>"."""
        sentence = f"{LABELS[self.coefficient]} is not estimable: {reason}"
        return self._estimate(None, None, None, sentence, notes)

    def point(self, value: float, why: str, *notes: str) -> Estimate:
        """A value whose interval is missing for the reason `why` ("not given: n = 8 ...")."""
        sentence = f"{self.level * 100:g} % interval {why}"
        return self._estimate(value, None, None, None, (sentence, *notes))

    def between(
        self, value: float, limits: tuple[float, float], method: str, *notes: str
    ) -> Estimate:
        """A value with its interval and the method that made it."""
        return self._estimate(value, limits, method, None, notes)

    def _estimate(
        self,
        value: float | None,
        limits: tuple[float, float] | None,
        method: str | None,
        undefined: str | None,
        notes: tuple[str, ...],
    ) -> Estimate:
        low, high = limits or (None, None)
        remarks = self.ratings.remarks(single_used=self.single_used)
        return Estimate(
            coefficient=self.coefficient,
            form=self.form,
            value=value,
            low=low,
            high=high,
            level=self.level,
            interval=method,
            units=self.ratings.units,
            used=self.used,
            observers=len(self.ratings.observers),
            undefined=undefined,
            notes=(*filter(None, notes), *remarks),
            dropped=self.ratings.dropped(single_used=self.single_used),
        )


def check_level(level: float) -> None:
    """Raise BadInput unless `level` can be the level of an interval."""
    if not 0 < level < 1:
        raise BadInput(
            f"A level of {level:g} is not between 0 and 1.",
            where="level",
            remedy="Write 0.95 for 95 %.",
        )


def too_few(pairs: int, noun: str = "pair") -> str:
    """Why a large-sample interval is withheld (rule A2); empty if there are enough pairs."""
    if pairs >= FEWEST_PAIRS:
        return ""
    return f"not given: n = {pairs} {noun}{'' if pairs == 1 else 's'}, fewer than {FEWEST_PAIRS}."
