"""Resampled intervals, asked of the statistics by name."""

from __future__ import annotations

from collections.abc import Sequence
from importlib import import_module
from typing import TYPE_CHECKING, Protocol, cast

from observe.domain.troubles import BadInput

if TYPE_CHECKING:
    from observe.agreement import Estimate, Ratings
    from observe.agreement.weights import Weights

ANALYTIC = "analytic"
INTERVALS = (ANALYTIC, "percentile", "bca")
HOME = "observe.agreement.resampling"


class Resampling(Protocol):
    """What the statistics offer: the answers of `panel.estimates`, intervals resampled."""

    def resampled_estimates(
        self,
        ratings: Ratings,
        names: Sequence[str],
        *,
        weights: Weights | None,
        level: float,
        interval: str,
        seed: int,
    ) -> tuple[Estimate, ...]: ...


def check_interval(interval: str, seed: int | None) -> None:
    """Raise BadInput unless there are such intervals, and a seed has something to seed."""
    if interval not in INTERVALS:
        raise BadInput(
            f"There is no interval {interval!r}.",
            where="interval",
            remedy=f"Use one of: {', '.join(INTERVALS)}.",
        )
    if seed is not None and interval == ANALYTIC:
        raise BadInput(
            "A seed is for resampled intervals; analytic ones need none.",
            where="seed",
            remedy="Ask for --interval percentile or bca as well, or leave the seed out.",
        )
    if interval != ANALYTIC:
        _home()


def resampled(
    ratings: Ratings,
    names: Sequence[str],
    *,
    weights: Weights | None,
    level: float,
    interval: str,
    seed: int,
) -> tuple[Estimate, ...]:
    """The named coefficients with resampled intervals; units of a learner stay together."""
    return _home().resampled_estimates(
        ratings, names, weights=weights, level=level, interval=interval, seed=seed
    )


def _home() -> Resampling:
    try:
        return cast("Resampling", import_module(HOME))
    except ModuleNotFoundError as error:
        if error.name != HOME:
            raise
        raise BadInput(
            "Resampled intervals are not in this version.",
            where="interval",
            remedy="Leave out --interval; analytic intervals are given.",
        ) from None
