"""What a director's report holds: counts of whole groups, figures, and what they rest on.

Nobody is named in it, neither learner nor observer (rule P1).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from observe.agreement.estimate import Estimate


@dataclass(frozen=True, slots=True)
class Question:
    """What was asked. form: its id. since, until: days (ISO), both counted; empty for any."""

    form: str
    since: str = ""
    until: str = ""
    level: float = 0.95


@dataclass(frozen=True, slots=True)
class Partition:
    """A group counted by kinds that exclude each other; together they are the whole group.

    of: what is counted, one of them. cells: kind and how many; None for a count that is hidden
    from the readers it is made for. total: the whole group; None where that is hidden too.
    """

    title: str
    of: str
    cells: tuple[tuple[str, int | None], ...]
    total: int | None

    @classmethod
    def whole(cls, title: str, of: str, cells: Iterable[tuple[str, int]]) -> Partition:
        """A group of which every count is told."""
        counts = tuple(cells)
        return cls(title, of, counts, sum(count for _, count in counts))

    @property
    def is_whole(self) -> bool:
        """Whether nothing of it is hidden."""
        return self.total is not None and all(count is not None for _, count in self.cells)

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        cells = [{"kind": kind, "count": count} for kind, count in self.cells]
        return {"title": self.title, "of": self.of, "total": self.total, "cells": cells}


@dataclass(frozen=True, slots=True)
class Figure:
    """One number with its interval, or a sentence why there is none.

    name: of the coefficient, for programs; label: for people. note: what to bear in mind.
    """

    about: str
    name: str
    form: str
    label: str
    value: float | None
    low: float | None
    high: float | None
    level: float
    interval: str | None
    used: int
    undefined: str | None
    note: str = ""

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        return {
            "about": self.about,
            "coefficient": self.name,
            "form": self.form,
            "value": self.value,
            "low": self.low,
            "high": self.high,
            "level": self.level,
            "interval": self.interval,
            "used": self.used,
            "undefined": self.undefined,
            "note": self.note,
        }


def figure(about: str, found: Estimate) -> Figure:
    """An estimate as a figure of a report."""
    return Figure(
        about=about,
        name=found.coefficient,
        form=found.form,
        label=f"{found.label} ({found.form})" if found.form else found.label,
        value=found.value,
        low=found.low,
        high=found.high,
        level=found.level,
        interval=found.interval,
        used=found.used,
        undefined=found.undefined,
        note=found.note,
    )


@dataclass(frozen=True, slots=True)
class StepFigures:
    """One step over the second looks. counts: what the two observers saw of it."""

    number: int
    label: str
    counts: Partition
    percent: Figure
    found: Figure

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        return {
            "number": self.number,
            "label": self.label,
            "counts": self.counts.as_record(),
            "percent_agreement": self.percent.as_record(),
            "recommended": self.found.as_record(),
        }


@dataclass(frozen=True, slots=True)
class CutInForce:
    """A cut that attempts were decided under, and what it rests on, in sentences (rule A9).

    standard: the event that approved it; empty for the form's provisional cut. cut: in percent,
    decimal text.
    """

    standard: str
    cut: str
    attempts: int | None
    said: tuple[str, ...]

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        return {
            "standard": self.standard or None,
            "provisional": not self.standard,
            "cut": self.cut,
            "attempts": self.attempts,
            "rests_on": list(self.said),
        }


@dataclass(frozen=True, slots=True)
class FormQuality:
    """How the form tells learners apart, by first attempts. undefined: why not; else empty.

    learners: those with every step, on whom alpha rests; scored: those with a score.

    between: share of the variance of scores between observers. items: number and label of each
    step, its difficulty and how it goes with the rest.
    """

    learners: int
    scored: int
    alpha: Figure | None = None
    r_squared: float | None = None
    discrimination: float | None = None
    between: float | None = None
    items: tuple[tuple[int, str, float | None, float | None], ...] = ()
    said: tuple[str, ...] = ()
    undefined: str = ""

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        heads = ("number", "label", "difficulty", "item_rest")
        return {
            "learners": self.learners,
            "scored": self.scored,
            "alpha": self.alpha.as_record() if self.alpha else None,
            "r_squared": self.r_squared,
            "discrimination": self.discrimination,
            "between_observers": self.between,
            "items": [dict(zip(heads, one, strict=True)) for one in self.items],
            "notes": list(self.said),
            "undefined": self.undefined or None,
        }


@dataclass(frozen=True, slots=True)
class FormNamed:
    """Which form. scoring: digest that a standard follows (rule F1). reviewed: by whom, or not."""

    id: str
    title: str
    version: str
    scoring: str
    reviewed: str
    steps: int
    criticals: int

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        return {
            "id": self.id,
            "title": self.title,
            "version": self.version,
            "scoring": self.scoring,
            "reviewed": self.reviewed,
            "steps": self.steps,
            "critical_items": self.criticals,
        }


@dataclass(frozen=True, slots=True)
class Item:
    """One of the fifteen items of GRRAS. text: what can be told here; else what is wanted."""

    number: int
    title: str
    text: str
    wanted: str

    def as_record(self) -> dict[str, Any]:
        """The same for a program."""
        return {
            "number": self.number,
            "title": self.title,
            "text": self.text or None,
            "wanted": "" if self.text else self.wanted,
        }


@dataclass(frozen=True)
class Report:
    """One form over some workshops of a logbook.

    workshops: day and title, oldest first. learners, joined: None where hidden. attempts: all
    that were planned, by what became of them. second: second looks planned before the day,
    joined: those that came about on it.
    lines: lines of the rule over decided attempts. decisions: of the two observers of each second
    look. limits: bias and limits of agreement of total scores, in points of a hundred.
    items: the reporting guideline's, in its order. cautions: to be read with any figure.
    """

    question: Question
    form: FormNamed
    workshops: tuple[tuple[str, str], ...]
    observers: int
    learners: int | None
    attempts: Partition
    second: Partition
    joined: int | None
    cuts: tuple[CutInForce, ...]
    lines: tuple[Partition, ...]
    decisions: Partition
    decided: tuple[Figure, ...]
    criticals: tuple[Partition, ...]
    limits: tuple[Figure, ...]
    scores: Figure
    grades: Figure
    steps: tuple[StepFigures, ...]
    quality: FormQuality
    items: tuple[Item, ...]
    cautions: tuple[str, ...]

    def as_record(self) -> dict[str, Any]:
        """The report for a program."""
        asked = self.question
        return {
            "question": {
                "form": asked.form,
                "since": asked.since or None,
                "until": asked.until or None,
                "level": asked.level,
            },
            "form": self.form.as_record(),
            "workshops": [{"date": day, "title": title} for day, title in self.workshops],
            "observers": self.observers,
            "learners": self.learners,
            "attempts": self.attempts.as_record(),
            "second_looks": self.second.as_record() | {"joined_on_the_day": self.joined},
            "cuts": [one.as_record() for one in self.cuts],
            "rule": [one.as_record() for one in self.lines],
            "decisions": self.decisions.as_record()
            | {"agreement": [one.as_record() for one in self.decided]},
            "critical_items": [one.as_record() for one in self.criticals],
            "scores": [one.as_record() for one in (*self.limits, self.scores)],
            "overall_grade": self.grades.as_record(),
            "steps": [one.as_record() for one in self.steps],
            "form_quality": self.quality.as_record(),
            "grras": [one.as_record() for one in self.items],
            "cautions": list(self.cautions),
        }
