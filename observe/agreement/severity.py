"""How severe each observer is, from scores of learners that several of them saw.

Additive model: score = mean + learner + observer + error. Once with observers as fixed effects
that add up to 0, once as a sample, shrunken towards 0 as far as their scores are uncertain (BLUP;
Henderson CR (1975), Biometrics 31:423-447; Searle SR, Casella G, McCulloch CE (1992), Variance
Components, chapter 7). A linear model's severity is in the score's own unit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from observe.agreement.reml import reml
from observe.domain.troubles import BadInput, Refused
from observe.domain.words import listed

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]
Tick = Callable[[int, int], None]

FEWEST_SHARED = 3
"""Learners that two or more scored, at least: else severity is who they were given (rule A4)."""
LITTLE = 3
"""Learners shared with others, under which an observer's number is said to rest on little."""


CAUTION = (
    "A severe observer and a group of weaker learners look alike wherever few learners are shared; "
    "these numbers are for talks and for training, and change no score."
)


@dataclass(frozen=True, slots=True)
class ObserverEffect:
    """How far an observer's scores lie above those of others for the same learners.

    Below 0 is severe, above 0 lenient; 0 is the mean of these observers. fixed, fixed_se: as a
    fixed effect; low, high: its 95 % limits by t, None where no scores are left to tell the error.
    effect, se: shrunken, with its prediction error. shrinkage: share of the spread
    of observers that this error is, 0 to 1.
    scores, learners: how many; shared: learners that others scored as well.
    """

    observer: str
    fixed: float
    fixed_se: float | None
    low: float | None
    high: float | None
    effect: float
    se: float
    shrinkage: float
    scores: int
    learners: int
    shared: int


@dataclass(frozen=True)
class Severity:
    """The model of one connected part of a table.

    variances: of learners, observers and error. mean: of scores. residuals: of every score, in
    the order given. learners: each one's score freed of who saw them, shrunken, by name; raw: the
    plain means. notes: what a reader has to know.
    """

    observers: tuple[ObserverEffect, ...]
    variances: tuple[float, float, float]
    mean: float
    scores: int
    residuals: Floats
    learners: dict[str, float]
    raw: dict[str, float]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """Scores with who was seen by whom. values: shape (n,); learners, observers: n names."""

    values: Floats
    learners: tuple[str, ...]
    observers: tuple[str, ...]

    @classmethod
    def of(cls, rows: Sequence[tuple[str, str, float]]) -> Table:
        """A table of rows of learner, observer and score."""
        return cls(
            np.asarray([one[2] for one in rows], dtype=np.float64),
            tuple(one[0] for one in rows),
            tuple(one[1] for one in rows),
        )

    @property
    def rows(self) -> Whole:
        """The number of the learner of each score, in the order in which they come."""
        return _numbered(self.learners)

    @property
    def columns(self) -> Whole:
        """The number of the observer of each score."""
        return _numbered(self.observers)

    def only(self, observers: Sequence[str]) -> Table:
        """The scores of some observers."""
        kept = [place for place, one in enumerate(self.observers) if one in observers]
        return Table(
            self.values[kept],
            tuple(self.learners[place] for place in kept),
            tuple(self.observers[place] for place in kept),
        )


def _numbered(names: Sequence[str]) -> Whole:
    known: dict[str, int] = {}
    return np.asarray([known.setdefault(one, len(known)) for one in names], dtype=np.intp)


def parts(table: Table) -> tuple[tuple[str, ...], ...]:
    """The observers that are linked by learners they share, directly or through others.

    The part with most scores comes first.
    """
    above: dict[str, str] = {}

    def root(one: str) -> str:
        while above.setdefault(one, one) != one:
            one = above[one]
        return one

    for learner, observer in zip(table.learners, table.observers, strict=True):
        above[root(f"o{observer}")] = root(f"l{learner}")
    found: dict[str, list[str]] = {}
    for observer in dict.fromkeys(table.observers):
        found.setdefault(root(f"o{observer}"), []).append(observer)
    counts = {one: table.observers.count(one) for one in dict.fromkeys(table.observers)}
    ordered = sorted(found.values(), key=lambda some: -sum(counts[one] for one in some))
    return tuple(tuple(some) for some in ordered)


def severity(table: Table, *, tick: Tick | None = None) -> Severity:
    """Fit the model to a table that is one connected part.

    Raises Refused where it falls into parts, or where too few learners were seen by more than
    one observer; BadInput where nothing varies or only one observer scored.
    """
    _require_linked(table)
    rows, columns = table.rows, table.columns
    fit = reml(table.values, [rows, columns], **({"tick": tick} if tick else {}))
    learner_variance, observer_variance, error = (float(one) for one in fit.variances)
    ones = fit.inverse.sum(axis=1)
    projection = fit.inverse - np.outer(ones, ones) / ones.sum()
    seen = np.eye(int(columns.max()) + 1)[columns]
    met = np.eye(int(rows.max()) + 1)[rows]
    pull = projection @ table.values
    effects = observer_variance * (seen.T @ pull)
    some = int(columns.max()) + 1
    chance = observer_variance * np.eye(some)
    chance -= observer_variance**2 * seen.T @ projection @ seen
    centring = np.eye(some) - 1 / some
    spread = np.diag(centring @ chance @ centring)
    around = observer_variance * (1 - 1 / some)
    learners = learner_variance * (met.T @ pull)
    fixed, fixed_se = _fixed(table)
    names = list(dict.fromkeys(table.observers))
    free = len(table.values) - len(set(table.learners)) - len(names) + 1
    wide = float(special.stdtrit(free, 0.975)) if free > 0 else 0.0
    found = tuple(
        ObserverEffect(
            observer=name,
            fixed=float(fixed[place]),
            fixed_se=None if fixed_se is None else float(fixed_se[place]),
            low=None if fixed_se is None else float(fixed[place] - fixed_se[place] * wide),
            high=None if fixed_se is None else float(fixed[place] + fixed_se[place] * wide),
            effect=float(effects[place]),
            se=float(np.sqrt(max(spread[place], 0.0))),
            shrinkage=_shrinkage(float(spread[place]), around),
            scores=int((columns == place).sum()),
            learners=len(_of(table, name)),
            shared=sum(len(_who(table)[one]) > 1 for one in _of(table, name)),
        )
        for place, name in enumerate(names)
    )
    people = list(dict.fromkeys(table.learners))
    notes = [*_notes(found, observer_variance)]
    if not fit.converged:
        notes.append("The estimates did not come to rest: do not rely on them.")
    return Severity(
        observers=found,
        variances=(learner_variance, observer_variance, error),
        mean=fit.mean,
        scores=len(table.values),
        residuals=table.values - fit.mean - met @ learners - seen @ effects,
        learners={one: fit.mean + float(learners[n]) for n, one in enumerate(people)},
        raw={one: float(table.values[rows == n].mean()) for n, one in enumerate(people)},
        notes=tuple(notes),
    )


def _shrinkage(spread: float, variance: float) -> float:
    return min(max(spread / variance, 0.0), 1.0) if variance > 0 else 1.0


def _who(table: Table) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for learner, observer in zip(table.learners, table.observers, strict=True):
        found.setdefault(learner, set()).add(observer)
    return found


def _of(table: Table, observer: str) -> set[str]:
    pairs = zip(table.learners, table.observers, strict=True)
    return {learner for learner, other in pairs if other == observer}


def _require_linked(table: Table) -> None:
    if len(set(table.observers)) < 2:
        raise BadInput(
            "One observer gave all scores, so there is nobody to compare with.",
            remedy="Add scores of the same learners by another observer.",
        )
    found = parts(table)
    if len(found) > 1:
        said = "; ".join(listed(list(some)) for some in found)
        raise Refused(
            f"The observers fall into {len(found)} parts that share no learner: {said}. Between "
            "parts, severe observers and weak learners cannot be told apart.",
            remedy="Ask about one part, or let observers of two parts see the same learner.",
        )
    shared = sum(len(some) > 1 for some in _who(table).values())
    if shared < FEWEST_SHARED:
        raise Refused(
            f"Learners seen by more than one observer: {shared}; at least "
            f"{FEWEST_SHARED} are needed to tell severity from who was seen.",
            remedy="Plan second looks, and ask again.",
        )
    if float(np.ptp(table.values)) <= 0:
        raise BadInput(
            "Every score is the same: there is no variance.",
            remedy="Ask again with scores that differ.",
        )


def _fixed(table: Table) -> tuple[Floats, Floats | None]:
    """Least squares with learners and observers fixed, observers adding up to 0; their errors."""
    rows, columns = table.rows, table.columns
    many, some = int(rows.max()) + 1, int(columns.max()) + 1
    contrasts = np.vstack([np.eye(some - 1), -np.ones(some - 1)])
    design = np.hstack([np.eye(many)[rows], contrasts[columns]])
    found, *_ = np.linalg.lstsq(design, table.values, rcond=None)
    effects = contrasts @ found[many:]
    free = len(table.values) - many - (some - 1)
    if free < 1:
        return effects, None
    error = float(((table.values - design @ found) ** 2).sum()) / free
    spread = np.linalg.pinv(design.T @ design)[many:, many:] * error
    return effects, np.sqrt(np.maximum(np.diag(contrasts @ spread @ contrasts.T), 0.0))


def _notes(found: Sequence[ObserverEffect], variance: float) -> list[str]:
    notes = [CAUTION]
    thin = [one.observer for one in found if one.shared < LITTLE]
    if thin:
        notes.append(f"Resting on fewer than {LITTLE} shared learners: {listed(thin)}.")
    if variance <= 0:
        notes.append("Observers do not differ by more than chance: all are taken for alike.")
    return notes
