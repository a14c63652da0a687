"""Coefficients by name: which there are, what each needs, which are usual for a table."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from types import MappingProxyType
from typing import TypeAlias

from observe.agreement.estimate import Estimate
from observe.agreement.gwet import brennan_prediger, fleiss_kappa, gwet_ac1, scott_pi
from observe.agreement.kappa import cohen_kappa, weighted_kappa
from observe.agreement.pabak import pabak
from observe.agreement.percent import percent_agreement
from observe.agreement.ratings import Ratings, Scale
from observe.domain.troubles import BadInput

Answer: TypeAlias = Callable[..., Estimate]

ANY = frozenset(Scale)
ORDERED = frozenset({Scale.ORDINAL, Scale.INTERVAL})
CATEGORIES = frozenset({Scale.NOMINAL, Scale.ORDINAL})


@dataclass(frozen=True, slots=True)
class Coefficient:
    """One name of the panel.

    answers: one function (ratings, level) per row it gives. scales: those it fits.
    two_observers, two_categories: whether it needs exactly two.
    """

    answers: tuple[Answer, ...]
    scales: frozenset[Scale] = CATEGORIES
    two_observers: bool = False
    two_categories: bool = False

    def fits(self, ratings: Ratings) -> bool:
        """Whether the coefficient is made for such a table."""
        return (
            ratings.scale in self.scales
            and (not self.two_observers or len(ratings.observers) <= 2)
            and (not self.two_categories or len(ratings.categories) == 2)
        )


PANEL: Mapping[str, Coefficient] = MappingProxyType(
    {
        "percent_agreement": Coefficient((percent_agreement,), ANY),
        "cohen_kappa": Coefficient((cohen_kappa,), two_observers=True),
        "weighted_kappa": Coefficient(
            (
                partial(weighted_kappa, weights="linear"),
                partial(weighted_kappa, weights="quadratic"),
            ),
            ORDERED,
            two_observers=True,
        ),
        "pabak": Coefficient((pabak,), two_observers=True, two_categories=True),
        "scott_pi": Coefficient((scott_pi,), two_observers=True),
        "fleiss_kappa": Coefficient((fleiss_kappa,)),
        "brennan_prediger": Coefficient((brennan_prediger,)),
        "gwet_ac1": Coefficient((gwet_ac1,)),
    }
)

USUAL = {
    Scale.NOMINAL: ("percent_agreement", "cohen_kappa", "pabak", "gwet_ac1"),
    Scale.ORDINAL: ("percent_agreement", "weighted_kappa"),
    Scale.INTERVAL: ("percent_agreement", "weighted_kappa"),
}


def usual(ratings: Ratings) -> tuple[str, ...]:
    """The names of the panel that people read for such a table."""
    several = len(ratings.observers) > 2
    names = ("percent_agreement", "fleiss_kappa", "gwet_ac1") if several else USUAL[ratings.scale]
    return tuple(name for name in names if PANEL[name].fits(ratings))


def fitting(ratings: Ratings) -> tuple[str, ...]:
    """The names of all coefficients that fit such a table."""
    return tuple(name for name, coefficient in PANEL.items() if coefficient.fits(ratings))


def check_names(names: Sequence[str]) -> None:
    """Raise BadInput, naming what there is, if a name is not in the panel."""
    unknown = [name for name in names if name not in PANEL]
    if unknown:
        raise BadInput(
            f"Not in this version: {', '.join(unknown)}.",
            where="coefficients",
            remedy=f"Choose from: {', '.join(PANEL)}.",
        )


def estimates(
    ratings: Ratings, names: Sequence[str], *, level: float = 0.95
) -> tuple[Estimate, ...]:
    """The answers to each named coefficient, in order. BadInput for a name not known."""
    check_names(names)
    return tuple(answer(ratings, level=level) for name in names for answer in PANEL[name].answers)
