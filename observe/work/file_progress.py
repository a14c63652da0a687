"""Attempts of learners over time: charts, what counts, mastery of a cohort, how long it lasts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.troubles import BadInput
from observe.domain.words import listed
from observe.work.logbooks import Logbook
from observe.work.progress_logbook import SealedAttempt, by_series, sealed_attempts
from observe.work.table_file import Column, Row, TableFile, read_table

if TYPE_CHECKING:
    from observe.standards.cusum import Chart, Design
    from observe.standards.decay import Decay
    from observe.standards.lc_cusum import Learning, Shown
    from observe.standards.mastery import Reached
    from observe.standards.retest import Attempt, Policy, Result

GOOD = frozenset({"1", "pass", "passed", "success", "yes", "done", "true"})
BAD = frozenset({"0", "fail", "failed", "failure", "no", "remediate", "false"})
_TEXTS = ("learner", "date", "outcome", "form", "mode", "scoring", "void")
_DAYS_A_MONTH = 365.25 / 12


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked. restart: of the CUSUM after a line. limit, share, within: of the LC-CUSUM."""

    acceptable: float = 0.1
    unacceptable: float = 0.25
    alpha: float = 0.1
    beta: float = 0.1
    restart: bool = False
    limit: float | None = None
    share: float = 0.05
    within: int = 50
    seed: int = 1
    policy: str = "last"
    decimal_comma: bool = False
    encoding: str = "utf-8"


@dataclass(frozen=True, slots=True)
class Series:
    """All attempts of one learner at one form, as they were entered."""

    learner: str
    form: str
    attempts: tuple[Attempt, ...]


@dataclass(frozen=True)
class LearnerProgress:
    """One learner at one form. steps: attempts that count together, by date."""

    series: Series
    steps: tuple[Attempt, ...]
    result: Result
    chart: Chart
    shown: Shown


@dataclass(frozen=True)
class Progress:
    """What attempts come to. design, learning: what the charts were drawn with."""

    learners: tuple[LearnerProgress, ...]
    mastery: tuple[Reached, ...]
    decay: Decay
    design: Design
    learning: Learning
    policy: Policy
    notes: tuple[str, ...]


def read_attempts(path: Path, asked: Asked) -> tuple[TableFile, list[Series]]:
    """The file and its series; rows without an outcome are attempts without a decision.

    Raises BadInput for a file that is no such table.
    """
    file = read_table(
        path,
        [Column(name, needed=name in ("learner", "outcome")) for name in _TEXTS],
        decimal_comma=asked.decimal_comma,
        encoding=asked.encoding,
    )
    found: dict[tuple[str, str], list[Attempt]] = {}
    for row in file.rows:
        attempt = _attempt(file, row)
        if attempt is not None and not file.cut:
            found.setdefault((row.text("learner"), row.texts.get("form") or ""), []).append(attempt)
    return file, [Series(learner, form, tuple(some)) for (learner, form), some in found.items()]


def _attempt(file: TableFile, row: Row) -> Attempt | None:
    from observe.standards.retest import Attempt

    word = (row.texts.get("outcome") or "").casefold()
    when = row.texts.get("date") or ""
    if not row.texts.get("learner"):
        file.fault(row.line, "The learner is empty.", "Fill the cell.")
    elif word and word not in GOOD | BAD:
        file.fault(row.line, f"“{word[:20]}” is no outcome.", "Write pass or fail, or 1 or 0.")
    elif when and not _is_day(when):
        file.fault(row.line, f"“{when[:20]}” is no date.", "Write it as 2026-03-02.")
    else:
        void = (row.texts.get("void") or "").casefold() in GOOD
        passed = word in GOOD if word else None
        texts = (row.texts.get("mode") or "", row.texts.get("scoring") or "")
        return Attempt(when, passed, *texts, void=void)
    return None


def _is_day(text: str) -> bool:
    """Whether it is a day as 2026-03-02, perhaps with a time: one way to write it, so it sorts."""
    try:
        datetime.fromisoformat(text)
        return text[10:11] in ("", "T") and date.fromisoformat(text[:10]).isoformat() == text[:10]
    except ValueError:
        return False


def attempts_in(logbook: Logbook) -> list[Series]:
    """Every attempt of a logbook that all who watched have sealed, by learner and form."""
    return series_of(by_series(sealed_attempts(logbook)))


def series_of(
    told: Mapping[tuple[str, str], Sequence[SealedAttempt]],
) -> list[Series]:
    """Attempts by learner and form as series."""
    return [Series(*key, tuple(one.attempt for one in some)) for key, some in told.items()]


def of_form(series: Sequence[Series], form: str) -> list[Series]:
    """The series of one form. Raises BadInput where there is none of it."""
    some = [one for one in series if one.form == form]
    if not some:
        known = listed(sorted({one.form for one in series if one.form}))
        raise BadInput(
            "No attempt is of this form.",
            where=form,
            remedy=f"Name one of these: {known}." if known else "No attempt names its form.",
        )
    return some


def progress(series: Iterable[Series], asked: Asked) -> Progress:
    """What the attempts come to. Raises BadInput for a design that cannot be."""
    from observe.standards.cusum import Design
    from observe.standards.decay import decay
    from observe.standards.lc_cusum import learning
    from observe.standards.mastery import mastery
    from observe.standards.retest import Policy

    if asked.policy not in [one.value for one in Policy]:
        raise BadInput(f"There is no policy {asked.policy}.", remedy="Use last, best or all.")
    design = Design(asked.acceptable, asked.unacceptable, asked.alpha, asked.beta)
    known = learning(
        asked.acceptable,
        asked.unacceptable,
        limit=asked.limit,
        share=asked.share,
        attempts=asked.within,
        seed=asked.seed,
    )
    policy = Policy(asked.policy)
    found = tuple(_one(some, design, known, policy, asked) for some in series)
    steps = [one.steps for one in found]
    return Progress(
        learners=found,
        mastery=mastery([[bool(each.passed) for each in some] for some in steps if some]),
        decay=decay(_retests(steps)),
        design=design,
        learning=known,
        policy=policy,
        notes=_notes(found, asked),
    )


def _one(
    series: Series, design: Design, known: Learning, policy: Policy, asked: Asked
) -> LearnerProgress:
    from observe.standards.cusum import cusum
    from observe.standards.lc_cusum import lc_cusum
    from observe.standards.retest import retest

    result = retest(series.attempts, policy)
    steps = tuple(series.attempts[place] for place in result.counted)
    failures = [not one.passed for one in steps]
    return LearnerProgress(
        series,
        steps,
        result,
        cusum(failures, design, restart=asked.restart),
        lc_cusum(failures, known),
    )


def _retests(steps: Sequence[Sequence[Attempt]]) -> list[tuple[float, int, int]]:
    """Months from a success to the next attempt, and whether that was one too."""
    found = []
    for some in steps:
        for one, other in pairwise(some):
            if one.passed and one.date and other.date:
                days = date.fromisoformat(other.date[:10]) - date.fromisoformat(one.date[:10])
                if days.days > 0:
                    found.append((days.days / _DAYS_A_MONTH, int(bool(other.passed)), 1))
    return found


def decay_line(curve: Decay) -> str:
    """How long it lasts, a sentence."""
    if curve.rate is None:
        return f"How long it lasts: {curve.undefined}"
    return (
        f"How long it lasts, from {curve.n} retests: half still pass after {curve.half_life:.1f} "
        f"months, 80 % after {curve.months(0.8):.1f} (λ {curve.rate:.4f} a month, "
        f"{curve.low:.4f} to {curve.high:.4f}). For a programme; no learner's own date follows."
    )


def _notes(found: Sequence[LearnerProgress], asked: Asked) -> tuple[str, ...]:
    left = sum(len(one.series.attempts) - len(one.steps) for one in found)
    notes = [
        "Attempts are in order of date, of one day as they were entered. "
        + ("After a line the chart begins again." if asked.restart else "A line ends nothing."),
    ]
    forms = sorted({one.series.form for one in found})
    if len(forms) > 1:
        notes.append(
            "First successes of a cohort, and how long it lasts, are taken over "
            f"{len(forms)} forms together: {listed([one or 'none named' for one in forms])}."
        )
    if left:
        noun = "attempt" if left == 1 else "attempts"
        notes.append(
            f"{left} {noun} without a decision, void, or of another mode or scoring than the"
            " learner's newest, are no step of a chart."
        )
    return tuple(notes)


def read_decay(path: Path, asked: Asked) -> tuple[TableFile, Decay | None]:
    """A table of months, passed and of, for a whole programme; None where rows are faulty."""
    from observe.standards.decay import decay

    columns = [Column(name, number=True, full=True, low=0) for name in ("months", "passed", "of")]
    file = read_table(path, columns, decimal_comma=asked.decimal_comma, encoding=asked.encoding)
    for row in file.rows:
        if any(row.numbers[name] != round(row.numbers[name] or 0) for name in ("passed", "of")):
            file.fault(row.line, "Counts are whole numbers.", "Write how many passed, of how many.")
    if file.faults:
        return file, None
    numbers: list[Mapping[str, float | None]] = [row.numbers for row in file.rows]
    return file, decay(
        [(one["months"] or 0.0, int(one["passed"] or 0), int(one["of"] or 0)) for one in numbers]
    )
