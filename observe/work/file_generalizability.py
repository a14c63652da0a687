"""A G study of a table of scores: which column is which facet, then components and D studies."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.troubles import BadInput
from observe.domain.words import counted
from observe.work.table_file import Column, TableFile, read_table

if TYPE_CHECKING:
    from observe.agreement.designs import Design
    from observe.agreement.dstudy import DStudy, Needed
    from observe.agreement.gstudy import GStudy

NAMES: Mapping[str, tuple[str, ...]] = {
    "p": ("person", "learner", "unit", "candidate", "student", "p"),
    "i": ("item", "step", "i"),
    "r": ("observer", "rater", "judge", "examiner", "r"),
    "t": ("task", "station", "t"),
    "o": ("occasion", "session", "day", "o"),
}
"""Words by which a column is known to be a facet, the first that is there."""
VALUES = ("value", "score")


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked. design: as text, empty for the crossed one that the columns allow.

    columns: facet to its column, where that is not known by its name. n: by facet, one D study
    each. fixed: facets. cut: in the score's unit. target: of Φ.
    """

    design: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)
    n: Sequence[Mapping[str, float]] = ()
    fixed: Sequence[str] = ()
    cut: float | None = None
    target: float = 0.8
    decimal_comma: bool = False
    encoding: str = "utf-8"


@dataclass(frozen=True)
class FileStudy:
    """What a file comes to; `study` is None where its rows are faulty.

    columns: facet to the column it was read from. missing: rows without a score.
    """

    file: TableFile
    columns: Mapping[str, str]
    missing: int = 0
    study: GStudy | None = None
    here: DStudy | None = None
    others: tuple[DStudy, ...] = ()
    needed: tuple[Needed, ...] = ()
    notes: tuple[str, ...] = ()


def file_generalizability(path: Path, asked: Asked) -> FileStudy:
    """Read a long table, one score a row, and study it.

    Raises BadInput where the file as a whole, the design or a facet is at fault.
    """
    from observe.agreement.designs import design_from

    given = {letter: name.casefold() for letter, name in asked.columns.items()}
    design = design_from(asked.design) if asked.design else None
    letters = design.facets if design else tuple(dict.fromkeys((*NAMES, *given)))
    wanted = {one: (given[one],) if one in given else NAMES.get(one, (one,)) for one in letters}
    file = _read(path, wanted, asked)
    columns = {
        one: next(name for name in names if name in file.columns)
        for one, names in wanted.items()
        if any(name in file.columns for name in names)
    }
    design = design or _crossed(columns, path)
    lost = [one for one in design.facets if one not in columns]
    if lost:
        raise BadInput(
            f"No column is facet {', '.join(lost)} of the design {design.text}.",
            where=str(path),
            remedy="Say which is: --facet i=STEP.",
        )
    columns = {one: columns[one] for one in design.facets}
    return _studied(file, design, columns, asked)


def _read(path: Path, wanted: Mapping[str, Sequence[str]], asked: Asked) -> TableFile:
    names = list(dict.fromkeys(name for some in wanted.values() for name in some))
    found = [Column(name, needed=False) for name in names if name not in VALUES]
    found += [Column(name, number=True, needed=False) for name in VALUES]
    return read_table(path, found, decimal_comma=asked.decimal_comma, encoding=asked.encoding)


def _crossed(columns: Mapping[str, str], path: Path) -> Design:
    """The fully crossed design of the facets that the file has."""
    from observe.agreement.designs import design_from

    if "p" not in columns or len(columns) < 2:
        raise BadInput(
            "The columns do not say what the design is.",
            where=str(path),
            remedy="Name columns learner, item, observer or the like; or give --design and "
            "--facet.",
        )
    return design_from(" x ".join(one for one in NAMES if one in columns))


def _studied(
    file: TableFile, design: Design, columns: Mapping[str, str], asked: Asked
) -> FileStudy:
    from observe.agreement.dstudy import d_study, needed
    from observe.agreement.gstudy import g_study

    value = next((name for name in VALUES if name in file.columns), "")
    if not value:
        raise BadInput(
            "The file has no column value or score.",
            where=str(file.path),
            remedy="Name the column of the scores so.",
        )
    for row in file.rows:
        if any(not row.texts.get(name) for name in columns.values()) and not file.cut:
            file.fault(row.line, "A facet's cell is empty.", "Fill it, or leave the row out.")
    if file.faults:
        return FileStudy(file, columns)
    rows = [row for row in file.rows if row.numbers[value] is not None]
    study = g_study(
        [row.numbers[value] or 0.0 for row in rows],
        {one: [row.text(name) for row in rows] for one, name in columns.items()},
        design,
    )
    fixed, cut = tuple(asked.fixed), asked.cut
    facets = [one for one in design.facets[1:] if one not in fixed]
    missing = len(file.rows) - len(rows)
    return FileStudy(
        file=file,
        columns=columns,
        missing=missing,
        study=study,
        here=d_study(study, fixed=fixed, cut=cut),
        others=tuple(d_study(study, n, fixed=fixed, cut=cut) for n in asked.n),
        needed=tuple(needed(study, one, asked.target, fixed=fixed) for one in facets),
        notes=tuple(_notes(study, columns, missing, fixed)),
    )


def _notes(
    study: GStudy, columns: Mapping[str, str], missing: int, fixed: Sequence[str]
) -> list[str]:
    said = [*study.notes]
    if missing:
        verb = "was" if missing == 1 else "were"
        said.append(f"{counted(missing, 'row')} without a score {verb} left out.")
    if fixed:
        named = ", ".join(f"{one} ({columns[one]})" for one in fixed)
        said.append(
            f"Fixed, so that scores stand for these very levels and no others: {named}. What they "
            "add to differences between persons counts as true."
        )
    said.append("G is for ranking; a fixed pass mark needs Φ, or Φ(λ) at the mark itself.")
    return said
