"""Agreement of a ratings file: read it, ask the coefficients of each item, report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.faults import Fault
from observe.domain.troubles import BadInput
from observe.work.cells import tidy_value
from observe.work.ratings_file import Rating, read

if TYPE_CHECKING:
    from observe.agreement import Estimate, Ratings


@dataclass(frozen=True, slots=True)
class ItemAgreement:
    """One item's answers. item: its name; None where the file has no item column."""

    item: str | None
    ratings: Ratings
    estimates: tuple[Estimate, ...]


@dataclass(frozen=True, slots=True)
class FileAgreement:
    """What came of a ratings file. Nothing is computed while there are faults.

    cut: whether reading stopped at the last fault, there being so many.
    """

    items: tuple[ItemAgreement, ...]
    faults: tuple[Fault, ...]
    cut: bool
    notices: tuple[str, ...]


def file_agreement(
    path: Path,
    *,
    scale: str = "nominal",
    categories: Sequence[str] | None = None,
    coefficients: Sequence[str] | None = None,
    everything: bool = False,
    level: float = 0.95,
) -> FileAgreement:
    """Agreement by item of a long table (columns unit, observer, value, perhaps item).

    categories: in order, or None to take them from the ratings. coefficients: names to
    compute; None for the usual ones of each item's table, or with `everything` for all
    that fit it. Items are never pooled. Raises BadInput, and Surroundings where the
    machine refuses to read.
    """
    from observe.agreement.estimate import check_level
    from observe.agreement.panel import check_names, estimates, fitting, usual

    check_names(coefficients or ())
    check_level(level)
    declared = None if categories is None else declared_categories(categories)
    found = read(path, numbers=scale == "interval", categories=declared or ())
    items = []
    for item, rows in found.items.items() if not found.faults else ():
        ratings = _ratings(rows, scale, declared, str(path))
        names = coefficients or (fitting(ratings) if everything else usual(ratings))
        items.append(ItemAgreement(item, ratings, estimates(ratings, names, level=level)))
    return FileAgreement(tuple(items), tuple(found.faults), found.cut, tuple(found.notices))


def declared_categories(names: Sequence[str]) -> tuple[str, ...]:
    """Declared categories as the file's values are written; BadInput for empty or twice."""
    tidy = tuple(tidy_value(name) for name in names)
    if not tidy or "" in tidy:
        raise BadInput(
            "A declared category is empty.",
            where="categories",
            remedy="Separate the categories by single commas: done,not done.",
        )
    twice = sorted({name for name in tidy if tidy.count(name) > 1})
    if twice:
        raise BadInput(
            f"Declared twice: {', '.join(twice)}.",
            where="categories",
            remedy="Name each category once, lowest first.",
        )
    return tidy


def _ratings(
    rows: Sequence[Rating], scale: str, declared: tuple[str, ...] | None, where: str
) -> Ratings:
    from observe.agreement.ratings import Ratings

    try:
        return Ratings.from_long(rows, scale=scale, categories=declared)
    except BadInput as trouble:
        raise BadInput(trouble.what, where=where, remedy=trouble.remedy) from None
