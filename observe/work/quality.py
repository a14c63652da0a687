"""How good a form is at telling learners apart, from what was recorded with it.

Measures after Pell G, Fuller R, Homer M, Roberts T (2010), AMEE Guide 49, Medical Teacher
32:802-811; below 20 learners they are indicative only.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.troubles import BadInput
from observe.domain.words import counted
from observe.work.table_file import Column, Row, TableFile, read_table

if TYPE_CHECKING:
    from observe.agreement.estimate import Estimate
    from observe.agreement.items import Item
    from observe.standards.form_quality import Grades

ENOUGH = 20
ALPHA, R_SQUARED, BETWEEN = 0.7, 0.5, 0.3
"""What is usually looked for (AMEE Guide 49): at least, at least, at most."""
EASY, HARD, WEAK = 0.95, 0.2, 0.1


@dataclass(frozen=True, slots=True)
class ItemQuality:
    """One item. alpha_without: of the others. suggestion: what to look at; empty if nothing."""

    item: Item
    alpha_without: float | None
    suggestion: str


@dataclass(frozen=True)
class Quality:
    """What a form's records come to. grades, between: None where these were not recorded.

    learners: those with every item, on whom alpha rests; scored: those with a score. between:
    share of the variance of scores that lies between observers. failures: of those scored; None
    without a cut.
    """

    learners: int
    scored: int
    items: tuple[ItemQuality, ...]
    alpha: Estimate
    grades: Grades | None
    between: float | None
    observers: int
    failures: int | None
    suggestions: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Record:
    """One learner's record. credits: by item; None for one that is missing.

    score: of the whole attempt; None where it is the sum of its items.
    """

    learner: str
    credits: Mapping[str, float | None]
    grade: float | None = None
    observer: str = ""
    score: float | None = None


def read_records(
    path: Path, *, decimal_comma: bool = False, encoding: str = "utf-8"
) -> tuple[TableFile, list[Record]]:
    """A long table of learner, item and value; grade and observer stand in each row of a learner.

    Raises BadInput for a file that is no such table.
    """
    file = read_table(
        path,
        [
            Column("learner", full=True),
            Column("item", full=True),
            Column("value", number=True),
            Column("grade", number=True, needed=False),
            Column("observer", needed=False),
        ],
        decimal_comma=decimal_comma,
        encoding=encoding,
    )
    file.twice(
        ["learner", "item"], "This learner's item", "Keep one row for each learner and item."
    )
    found: dict[str, Record] = {}
    for row in file.rows:
        learner, grade = row.text("learner"), row.numbers.get("grade")
        _told_apart(file, found.get(learner), row)
        known = found.get(learner) or Record(learner, {}, None, row.texts.get("observer") or "")
        marks = {**known.credits, row.text("item"): row.numbers["value"]}
        grade = known.grade if known.grade is not None else grade
        observer = known.observer or row.texts.get("observer") or ""
        found[learner] = Record(learner, marks, grade, observer)
    return file, [*found.values()]


def _told_apart(file: TableFile, known: Record | None, row: Row) -> None:
    """Keep a fault where a learner's grade or observer is another than above."""
    if known is None or file.cut:
        return
    grade, observer = row.numbers.get("grade"), row.texts.get("observer")
    if None not in (grade, known.grade) and grade != known.grade:
        file.fault(
            row.line, "This learner has another grade above.", "Give each learner one grade."
        )
    elif observer and known.observer and observer != known.observer:
        file.fault(
            row.line,
            "This learner has another observer above.",
            "Name the attempts of one learner apart, one observer each.",
        )


def quality(records: Sequence[Record], *, cut: float | None = None, level: float = 0.95) -> Quality:
    """Judge a form by its records. cut: of the score of an attempt.

    Raises BadInput for fewer than two learners or items.
    """
    from observe.agreement.consistency import alpha_if_deleted, cronbach_alpha
    from observe.agreement.items import items
    from observe.agreement.ratings import Ratings
    from observe.standards.form_quality import between, on_grades
    from observe.standards.scores import below, numbers

    names = list(dict.fromkeys(name for one in records for name in one.credits))
    if len(records) < 2 or len(names) < 2:
        raise BadInput(
            f"{counted(len(records), 'learner')} and {counted(len(names), 'item')} tell nothing "
            "of a form.",
            remedy="Give two or more of each.",
        )
    table = Ratings.from_table(
        [[one.credits.get(name) for name in names] for one in records],
        scale="interval",
        observers=names,
        units=[one.learner for one in records],
    )
    without = alpha_if_deleted(table)
    alpha = cronbach_alpha(table, level=level)
    whole = [one for one in records if all(one.credits.get(name) is not None for name in names)]
    scored = [(_score(one, names), one) for one in records]
    totals = [total for total, _ in scored if total is not None]
    graded = [
        (total, one.grade) for total, one in scored if total is not None and one.grade is not None
    ]
    watched = [(total, one.observer) for total, one in scored if total is not None and one.observer]
    grades = on_grades(graded) if graded else None
    share = between(watched) if watched else None
    each = tuple(
        ItemQuality(one, without[one.name], _suggestion(one, without[one.name], alpha.value))
        for one in sorted(items(table, level=level), key=lambda found: names.index(found.name))
    )
    failures = None if cut is None else int(below(numbers(totals, "score"), cut).sum())
    return Quality(
        learners=len(whole),
        scored=len(totals),
        items=each,
        alpha=alpha,
        grades=grades,
        between=share,
        observers=len({observer for _, observer in watched}),
        failures=failures,
        suggestions=tuple(_suggestions(alpha, grades, share)),
        notes=tuple(_notes(len(records), len(whole))),
    )


def _score(one: Record, names: Sequence[str]) -> float | None:
    if one.score is not None:
        return one.score
    values = [one.credits.get(name) for name in names]
    return None if None in values else sum(value or 0.0 for value in values)


def _suggestion(item: Item, without: float | None, alpha: float | None) -> str:
    said = []
    if item.difficulty is not None and item.difficulty >= EASY:
        said.append("nearly everybody does it, so it tells little")
    if item.difficulty is not None and item.difficulty <= HARD:
        said.append("few do it: look at how it is taught and worded")
    if item.rest is not None and item.rest < WEAK:
        said.append("it hardly goes with the rest: look at its wording and scoring")
    if without is not None and alpha is not None and without > alpha + 0.02:
        said.append("alpha is higher without it")
    text = "; ".join(said)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def _suggestions(alpha: Estimate, grades: Grades | None, share: float | None) -> list[str]:
    said = []
    if alpha.value is not None and alpha.value < ALPHA:
        said.append(f"Alpha is under {ALPHA:g}: look at items that do not go with the rest.")
    if grades is not None and grades.r_squared is not None and grades.r_squared < R_SQUARED:
        said.append(
            f"R² of the score on the grade is under {R_SQUARED:g}: the form and the observers' "
            "grades do not follow each other; look at what the form leaves out."
        )
    if share is not None and share > BETWEEN:
        said.append(
            f"More than {100 * BETWEEN:.0f} % of the variance lies between observers: train them "
            "together, or look at who saw whom."
        )
    return said


def _notes(all_: int, whole: int) -> list[str]:
    notes = []
    if whole < ENOUGH:
        notes.append(f"Indicative only: {counted(whole, 'learner')}, and {ENOUGH} are wanted.")
    if whole < all_:
        notes.append(f"{counted(all_ - whole, 'learner')} with a missing item left out of alpha.")
    notes.append(
        "Suggestions are for whoever keeps the form. An essential step stays, however easy it is."
    )
    return notes
