"""Agreement of a ratings file: read it, ask the coefficients of each item, report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from observe.domain.faults import Fault
from observe.domain.troubles import BadInput
from observe.work.cells import tidy_value
from observe.work.ratings_file import Rating, RatingsFile, Reading, read
from observe.work.resampled import ANALYTIC, check_interval, resampled

if TYPE_CHECKING:
    from observe.agreement import Estimate, Ratings
    from observe.agreement.method_note import NoteItem
    from observe.agreement.recommend import Recommendation
    from observe.agreement.weights import Weights

SCALES = ("nominal", "ordinal", "interval", "ratio")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked of a ratings file.

    scale: None for numbers where only coefficients of numbers are asked, else names.
    categories: in order, or None to take them from the ratings. methods: names to
    compute; None for those recommended for each item's table, or with `everything` for all
    that fit it. weights: for coefficients that take any; None for each one's own. level: of
    the intervals. interval: "analytic", "percentile" or "bca"; seed: of the latter two.
    cluster: the column that says which learner a unit belongs to. by_item: whether there
    must be an item column. words: a published scale of words for intervals; empty for none.
    decimal_comma, encoding: as of `Reading`.
    """

    scale: str | None = None
    categories: Sequence[str] | None = None
    methods: Sequence[str] | None = None
    everything: bool = False
    weights: Weights | None = None
    level: float = 0.95
    interval: str = ANALYTIC
    seed: int | None = None
    cluster: str = ""
    by_item: bool = False
    words: str = ""
    decimal_comma: bool = False
    encoding: str = "utf-8"


PLAIN = Wanted()


@dataclass(frozen=True, slots=True)
class ItemAgreement:
    """One item's answers. item: its name; None where the file has no item column."""

    item: str | None
    ratings: Ratings
    estimates: tuple[Estimate, ...]
    advice: Recommendation

    def note(self) -> tuple[NoteItem, ...]:
        """The method note of this item, in the order of the reporting guideline."""
        from observe.agreement.method_note import method_note

        return method_note(self.ratings, self.estimates, title=self.item or "", advice=self.advice)


@dataclass(frozen=True, slots=True)
class FileAgreement:
    """What came of a ratings file. Nothing is computed while there are faults.

    cut: whether reading stopped at the last fault, there being so many.
    """

    items: tuple[ItemAgreement, ...]
    faults: tuple[Fault, ...]
    cut: bool
    notices: tuple[str, ...]


def file_agreement(path: Path, wanted: Wanted = PLAIN) -> FileAgreement:
    """Agreement by item of a long table (columns unit, observer, value, perhaps item).

    Items are never pooled. Raises BadInput, and Surroundings where the machine refuses to
    read.
    """
    from observe.agreement.estimate import check_level
    from observe.agreement.panel import check_names, of_numbers_only

    check_names(wanted.methods or ())
    check_level(wanted.level)
    check_interval(wanted.interval, wanted.seed)
    scale = wanted.scale or ("interval" if of_numbers_only(wanted.methods or ()) else "nominal")
    declared = None if wanted.categories is None else declared_categories(wanted.categories)
    found = read(
        path,
        Reading(
            numbers=scale in {"interval", "ratio"},
            categories=declared or (),
            decimal_comma=wanted.decimal_comma,
            encoding=wanted.encoding,
            owner=wanted.cluster,
        ),
    )
    if wanted.by_item and None in found.items:
        raise BadInput(
            "There is no column item to answer by.",
            where=str(path),
            remedy="Name the column of the items “item”, or leave out --by.",
        )
    items: tuple[ItemAgreement, ...] = ()
    if not found.faults:
        items = tuple(
            _item(name, _ratings(found, rows, scale, declared, str(path)), wanted)
            for name, rows in found.items.items()
        )
    return FileAgreement(items, tuple(found.faults), found.cut, tuple(found.notices))


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


def _item(name: str | None, ratings: Ratings, wanted: Wanted) -> ItemAgreement:
    from observe.agreement.panel import estimates, fitting
    from observe.agreement.recommend import recommend

    advice = recommend(ratings)
    methods = wanted.methods or (fitting(ratings) if wanted.everything else advice.names)
    methods = methods or ("percent_agreement",)
    if wanted.interval == ANALYTIC:
        found = estimates(ratings, methods, level=wanted.level, weights=wanted.weights)
    else:
        found = resampled(
            ratings,
            methods,
            weights=wanted.weights,
            level=wanted.level,
            interval=wanted.interval,
            seed=wanted.seed or 0,
        )
    if wanted.words:
        found = tuple(_with_words(one, wanted.words) for one in found)
    return ItemAgreement(name, ratings, found, advice)


def _with_words(found: Estimate, scale: str) -> Estimate:
    from observe.agreement.benchmarks import SCALES, words

    said = words(found, scale)
    return replace(found, notes=(*found.notes, f"In words: {said} ({SCALES[scale].source})."))


def _ratings(
    found: RatingsFile,
    rows: Sequence[Rating],
    scale: str,
    declared: tuple[str, ...] | None,
    where: str,
) -> Ratings:
    from observe.agreement.ratings import Ratings

    try:
        ratings = Ratings.from_long(rows, scale=scale, categories=declared)
    except BadInput as trouble:
        raise BadInput(trouble.what, where=where, remedy=trouble.remedy) from None
    return ratings.clustered_by(found.owners) if found.owners else ratings
