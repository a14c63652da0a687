"""The risk of a wrong decision at a cut, from a table of scores."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.troubles import BadInput
from observe.domain.words import counted
from observe.work.table_file import Column, TableFile, read_table

if TYPE_CHECKING:
    from observe.standards.classification import Classification
    from observe.standards.subkoviak import OneAdministration


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked. reliability: Φ of the scores; None where it is not known.

    least, most: of the scale. items: how many right and wrong items the scores count; 0 for other
    scores. parameters: as of `classification`.
    """

    cut: float
    reliability: float | None
    least: float = 0.0
    most: float = 100.0
    items: int = 0
    parameters: int = 0
    decimal_comma: bool = False
    encoding: str = "utf-8"


@dataclass(frozen=True)
class FileRisk:
    """What a file comes to. learners: by name the score and the chance to be truly at the cut.

    conditional: of counts of items, each score's own standard error (Lord 1957), in items.

    undefined: why there is no risk; empty if there is.
    """

    file: TableFile
    found: Classification | None = None
    learners: Mapping[str, tuple[float, float]] | None = None
    once: OneAdministration | None = None
    kr21: float | None = None
    conditional: Mapping[float, float] | None = None
    undefined: str = ""
    notes: tuple[str, ...] = ()


NO_RELIABILITY = (
    "Not estimable: how sure a decision is rests on absolute error, and so on Φ of a design that "
    "includes observers; from alpha or one observer alone it cannot be told."
)


def file_risk(path: Path, asked: Asked) -> FileRisk:
    """Read learner and score, and judge the cut.

    Raises BadInput for a file, a cut or a reliability that cannot be.
    """
    from observe.standards.classification import classification
    from observe.standards.subkoviak import kr21, subkoviak

    file = read_table(
        path,
        [
            Column("learner", needed=False),
            Column("score", number=True, needed=False),
            Column("value", number=True, needed=False),
        ],
        decimal_comma=asked.decimal_comma,
        encoding=asked.encoding,
    )
    name = next((one for one in ("score", "value") if one in file.columns), "")
    if not name:
        raise BadInput(
            "The file has no column score or value.",
            where=str(path),
            remedy="The first line names learner and score.",
        )
    if file.faults:
        return FileRisk(file)
    rows = [row for row in file.rows if row.numbers[name] is not None]
    scores = [row.numbers[name] or 0.0 for row in rows]
    missing = len(file.rows) - len(rows)
    notes = [f"{counted(missing, 'row')} without a score left out."] if missing else []
    least, most = (0.0, float(asked.items)) if asked.items else (asked.least, asked.most)
    simple = kr21(scores, asked.items) if asked.items else None
    own = _conditional(scores, asked.items)
    if asked.reliability is None:
        return FileRisk(
            file, kr21=simple, conditional=own, undefined=NO_RELIABILITY, notes=tuple(notes)
        )
    found = classification(
        scores, asked.cut, asked.reliability, least=least, most=most, parameters=asked.parameters
    )
    names = [row.texts.get("learner") or f"line {row.line}" for row in rows]
    sure = {score: found.sure(score) for score in {*scores}}
    once = subkoviak(scores, asked.items, asked.cut, asked.reliability) if asked.items else None
    return FileRisk(
        file,
        found,
        {one: (score, sure[score]) for one, score in zip(names, scores, strict=True)},
        once,
        simple,
        own,
        notes=(*notes, *found.notes, _CUT_ALONE),
    )


def _conditional(scores: Sequence[float], items: int) -> Mapping[float, float] | None:
    """Each score's own standard error; None where scores are no counts of right and wrong items."""
    from observe.agreement.sem import conditional_sem

    if items < 2 or not all(0 <= score <= items for score in scores):
        return None
    return {score: conditional_sem(score, items) for score in sorted({*scores})}


_CUT_ALONE = (
    "This is the cut alone: a rule with essential steps or critical items decides differently, and "
    "only a simulation of the whole rule tells how consistently."
)
