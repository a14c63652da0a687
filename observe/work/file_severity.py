"""Severity from a table of scores: one score a row, with learner and observer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.troubles import BadInput, Refused
from observe.domain.words import counted, listed
from observe.work.table_file import Column, Row, TableFile, read_table

if TYPE_CHECKING:
    from observe.agreement.adjusting import Adjusting
    from observe.agreement.severity import ObserverEffect, Severity
    from observe.agreement.tendencies import Slope

LEARNERS = ("learner", "unit", "person", "candidate")
OBSERVERS = ("observer", "rater", "judge", "examiner")
VALUES = ("value", "score")
ORDERS = ("order", "date", "time")


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked. part: which connected part, from 1; 0 for the only one. cut: for adjusting."""

    part: int = 0
    cut: float | None = None
    simulations: int = 1000
    seed: int = 0
    decimal_comma: bool = False
    encoding: str = "utf-8"


@dataclass(frozen=True, slots=True)
class Score:
    """One score. order: what orders an observer's scores; those alike stay as they come."""

    learner: str
    observer: str
    value: float
    order: tuple[float, str] = (0.0, "")


@dataclass(frozen=True)
class OneObserver:
    """All that is said of one observer, and what goes into a file of their own."""

    effect: ObserverEffect
    drift: Slope
    contrast: Slope


@dataclass(frozen=True)
class SeverityStudy:
    """What scores come to. parts: the observers of each connected part; part: which was taken."""

    model: Severity
    observers: tuple[OneObserver, ...]
    parts: tuple[tuple[str, ...], ...]
    part: int
    adjusting: Adjusting | None
    ordered: bool
    notes: tuple[str, ...] = ()


def read_scores(path: Path, asked: Asked) -> tuple[TableFile, list[Score], bool, int]:
    """The file, its scores, whether they are ordered, and how many rows have none.

    Raises BadInput for a file that is no such table.
    """
    columns = [Column(name, needed=False) for name in (*LEARNERS, *OBSERVERS, *ORDERS)]
    columns += [Column(name, number=True, needed=False) for name in VALUES]
    file = read_table(path, columns, decimal_comma=asked.decimal_comma, encoding=asked.encoding)
    learner, observer, value = (_column(file, names) for names in (LEARNERS, OBSERVERS, VALUES))
    order = next((name for name in ORDERS if name in file.columns), "")
    for row in file.rows:
        if not (row.texts.get(learner) and row.texts.get(observer)) and not file.cut:
            file.fault(row.line, "The learner or the observer is empty.", "Fill the cell.")
    rows = [row for row in file.rows if row.numbers[value] is not None]
    scores = [
        Score(row.text(learner), row.text(observer), row.numbers[value] or 0.0, _placed(row, order))
        for row in rows
    ]
    return file, scores, bool(order), len(file.rows) - len(rows)


def _column(file: TableFile, names: Sequence[str]) -> str:
    found = next((name for name in names if name in file.columns), "")
    if not found:
        raise BadInput(
            f"The file has no column {listed(list(names), 'or')}.",
            where=str(file.path),
            remedy="The first line names learner, observer and value.",
        )
    return found


def _placed(row: Row, order: str) -> tuple[float, str]:
    text = row.texts.get(order) or ""
    try:
        return float(text), ""
    except ValueError:
        return 0.0, text


def linked(scores: Sequence[Score]) -> tuple[tuple[str, ...], ...]:
    """The observers of each connected part, linked by learners whom both scored."""
    from observe.agreement.severity import Table, parts

    return parts(Table.of([(one.learner, one.observer, one.value) for one in scores]))


def severity_of(
    scores: Sequence[Score],
    asked: Asked,
    *,
    ordered: bool,
    notes: Sequence[str] = (),
    tick: Callable[[int, int], None] | None = None,
) -> SeverityStudy:
    """The model of a connected part, with each observer's tendencies.

    Raises Refused where the scores fall into parts and none was named, BadInput for a part
    that there is not.
    """
    from observe.agreement.adjusting import adjusting
    from observe.agreement.severity import Table, parts, severity

    whole = Table.of([(one.learner, one.observer, one.value) for one in scores])
    found = parts(whole)
    if not 0 <= asked.part <= len(found):
        raise BadInput(
            f"There is no part {asked.part}.",
            remedy=f"There {'is' if len(found) == 1 else 'are'} {counted(len(found), 'part')}.",
        )
    taken = found[asked.part - 1] if asked.part else ()
    table = whole.only(taken) if taken else whole
    kept = [one for one in scores if not taken or one.observer in taken]
    try:
        model = severity(table, tick=tick)
    except Refused as refused:
        if len(found) > 1 and not asked.part:
            remedy = "Ask about one: --part 1; or let observers of two parts see one learner."
            raise Refused(refused.what, remedy=remedy) from refused
        raise
    by_cut = None
    if asked.cut is not None:
        by_cut = adjusting(
            table,
            model.variances,
            model.mean,
            asked.cut,
            simulations=asked.simulations,
            seed=asked.seed,
            tick=tick,
        )
    return SeverityStudy(
        model=model,
        observers=tuple(_one(effect, model, kept, ordered=ordered) for effect in model.observers),
        parts=found,
        part=asked.part,
        adjusting=by_cut,
        ordered=ordered,
        notes=(*model.notes, *notes),
    )


def _one(
    effect: ObserverEffect, model: Severity, scores: Sequence[Score], *, ordered: bool
) -> OneObserver:
    from observe.agreement.tendencies import Slope, contrast, drift

    if not ordered:
        none = Slope(None, None, None, 0, "Not estimable: the scores have no order.")
        return OneObserver(effect, none, none)
    places = [place for place, one in enumerate(scores) if one.observer == effect.observer]
    places.sort(key=lambda place: (scores[place].order, place))
    series = [float(model.residuals[place]) for place in places]
    quality = [model.learners[scores[place].learner] for place in places]
    return OneObserver(effect, drift(series), contrast(quality, series))


def file_severity(
    path: Path, asked: Asked, *, tick: Callable[[int, int], None] | None = None
) -> tuple[TableFile, SeverityStudy | None]:
    """The file with its notices and faults, and the study; None where rows are faulty."""
    file, scores, ordered, missing = read_scores(path, asked)
    if file.faults:
        return file, None
    verb = "was" if missing == 1 else "were"
    left = [f"{counted(missing, 'row')} without a score {verb} left out."] if missing else []
    return file, severity_of(scores, asked, ordered=ordered, notes=left, tick=tick)
