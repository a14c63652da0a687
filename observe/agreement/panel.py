"""Coefficients by name: which there are, what each needs, which fit a table."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from importlib import import_module
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeAlias, cast

from observe.agreement.estimate import Estimate
from observe.agreement.ratings import Ratings, Scale
from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.agreement.weights import Weights

Rows: TypeAlias = tuple[Estimate, ...]
Maker: TypeAlias = Callable[..., object]

ANY = frozenset(Scale)
NUMBERS = frozenset({Scale.INTERVAL, Scale.RATIO})
ORDERED = NUMBERS | {Scale.ORDINAL}
CATEGORIES = frozenset({Scale.NOMINAL, Scale.ORDINAL})
USUAL_WEIGHTS = ("linear", "quadratic")
MOST_LISTED = 20
INDEPENDENT = "The interval takes units of one learner as independent, and is too narrow for it."


@dataclass(frozen=True, slots=True)
class Coefficient:
    """One name of the panel.

    home: the module of `observe.agreement` that has the function, loaded when it is
    asked. function: its name there, where it is another than the coefficient's. scales:
    those it fits. two_observers, two_categories: whether it needs exactly two. weighted:
    whether it takes weights; `by_kind` whether without any it answers for each of
    `USUAL_WEIGHTS`. of_numbers: whether it is about numbers alone. by_name: computed only
    where it is asked for by name.
    """

    home: str
    function: str = ""
    scales: frozenset[Scale] = CATEGORIES
    two_observers: bool = False
    two_categories: bool = False
    weighted: bool = False
    by_kind: bool = False
    of_numbers: bool = False
    by_name: bool = False

    def fits(self, ratings: Ratings) -> bool:
        """Whether the coefficient is made for such a table."""
        return (
            not self.by_name
            and ratings.scale in self.scales
            and (not self.two_observers or len(ratings.observers) <= 2)
            and (not self.two_categories or len(ratings.categories) == 2)
        )


PANEL: Mapping[str, Coefficient] = MappingProxyType(
    {
        "percent_agreement": Coefficient("percent", scales=ANY, weighted=True),
        "specific_agreement": Coefficient("specific"),
        "cohen_kappa": Coefficient("kappa", two_observers=True),
        "weighted_kappa": Coefficient(
            "kappa", scales=ORDERED, two_observers=True, weighted=True, by_kind=True
        ),
        "pabak": Coefficient("pabak", two_observers=True, two_categories=True),
        "scott_pi": Coefficient("gwet", two_observers=True, weighted=True),
        "fleiss_kappa": Coefficient("gwet", weighted=True),
        "conger_kappa": Coefficient("conger", weighted=True),
        "brennan_prediger": Coefficient("gwet", weighted=True),
        "gwet_ac1": Coefficient("gwet"),
        "gwet_ac2": Coefficient(
            "gwet", scales=frozenset({Scale.ORDINAL}), weighted=True, by_kind=True
        ),
        "krippendorff_alpha": Coefficient("krippendorff", scales=ANY),
        "icc": Coefficient("icc", "icc_forms", NUMBERS, of_numbers=True),
        "bland_altman": Coefficient("limits", scales=NUMBERS, two_observers=True, of_numbers=True),
        "cronbach_alpha": Coefficient("consistency", scales=NUMBERS, of_numbers=True, by_name=True),
    }
)


def fitting(ratings: Ratings) -> tuple[str, ...]:
    """The names of all coefficients that fit such a table."""
    many = len(ratings.categories) > MOST_LISTED
    return tuple(
        name
        for name, coefficient in PANEL.items()
        if coefficient.fits(ratings) and not (many and name == "specific_agreement")
    )


def check_names(names: Sequence[str]) -> None:
    """Raise BadInput, naming what there is, if a name is not in the panel."""
    unknown = [name for name in names if name not in PANEL]
    if unknown:
        raise BadInput(
            f"Not in this version: {', '.join(unknown)}.",
            where="method",
            remedy=f"Choose from: {', '.join(PANEL)}.",
        )


def of_numbers_only(names: Sequence[str]) -> bool:
    """Whether all of these names are about numbers alone."""
    return bool(names) and all(PANEL[name].of_numbers for name in names)


def estimates(
    ratings: Ratings,
    names: Sequence[str],
    *,
    level: float = 0.95,
    weights: Weights | None = None,
) -> Rows:
    """The answers to each named coefficient, in order.

    weights: for those that take any; without, as each has them. BadInput for a name or
    weights not known.
    """
    check_names(names)
    return tuple(
        _alone(ratings, one)
        for name in names
        for one in _answers(ratings, name, level=level, weights=weights)
    )


def _alone(ratings: Ratings, found: Estimate) -> Estimate:
    """An answer that takes units as independent says so where they are not."""
    if ratings.clusters is None or found.low is None or found.clusters is not None:
        return found
    return replace(found, notes=(*found.notes, INDEPENDENT))


def _answers(ratings: Ratings, name: str, *, level: float, weights: Weights | None) -> Rows:
    coefficient = PANEL[name]
    module = import_module(f"observe.agreement.{coefficient.home}")
    function = cast("Maker", getattr(module, coefficient.function or name))
    if coefficient.weighted and weights is not None:
        return _rows(function(ratings, level=level, weights=weights))
    if coefficient.by_kind:
        kinds = (function(ratings, level=level, weights=kind) for kind in USUAL_WEIGHTS)
        return tuple(one for kind in kinds for one in _rows(kind))
    return _rows(function(ratings, level=level))


def _rows(found: object) -> Rows:
    """One answer, several, or one for each category, as rows."""
    if isinstance(found, Estimate):
        return (found,)
    several = found.values() if isinstance(found, Mapping) else found
    return tuple(cast("Sequence[Estimate]", several))
