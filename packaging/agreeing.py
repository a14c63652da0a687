"""Measure agreement beside other packages: python agreeing.py [--resamples N].

In one run, peers warmed, the smallest ratio of times over three turns: forty step coefficients
with 95 % intervals, six intraclass correlations with intervals, and a bootstrap of alpha; then how
time and memory grow with the units. Values must be equal to 1e-9, or it ends with 1. Peers that are
not installed are named. Run it with the program's own environment and its test libraries.
"""

from __future__ import annotations

import argparse
import resource
import sys
import time
import warnings
from collections.abc import Callable
from importlib import import_module
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import krippendorff
import numpy as np
import pandas as pd
import pingouin
from statsmodels.stats.inter_rater import aggregate_raters, fleiss_kappa

from observe.agreement import Ratings
from observe.agreement.gwet import of_many
from observe.agreement.panel import estimates
from observe.agreement.resampling import resampled_estimates

CLOSE = 1e-9
TURNS = 3


def main(arguments: list[str]) -> int:
    """Measure and print; returns 1 where a peer says something else, else 0."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--resamples", type=int, default=1000)
    asked = parser.parse_args(arguments)
    warnings.simplefilter("ignore")
    draw = np.random.default_rng(1)
    fine = [steps(draw), correlations(draw), bootstrap(draw, asked.resamples)]
    growth(draw)
    return 0 if all(fine) else 1


def table(draw: np.random.Generator, units: int, observers: int, q: int = 2) -> np.ndarray:
    """Places of categories that agree in most units."""
    truth = draw.integers(0, q, (units, 1))
    here = draw.random((units, observers)) < 0.8
    return np.where(here, truth, draw.integers(0, q, (units, observers)))


def steps(draw: np.random.Generator) -> bool:
    """Forty steps of 2,000 attempts by three observers, each with its 95 % interval."""
    some = [table(draw, 2000, 3) for _ in range(40)]
    fine = True
    try:
        raw = import_module("irrCAC.raw")
    except ImportError:
        print("irrCAC is not installed: AC1 with intervals is not compared")
    else:
        frames = [pd.DataFrame(one) for one in some]

        def theirs() -> list[float]:
            said = [raw.CAC(one, categories=[0, 1], digits=12).gwet()["est"] for one in frames]
            return [
                float(value)
                for one in said
                for value in (one["coefficient_value"], *one["confidence_interval"])
            ]

        fine = told(
            "forty AC1 with intervals, beside irrCAC",
            many(some, "gwet_ac1", limits=True),
            theirs,
            20,
        )

    def alphas() -> list[float]:
        return [
            krippendorff.alpha(one.T.astype(float), level_of_measurement="nominal") for one in some
        ]

    def fleiss() -> list[float]:
        return [float(fleiss_kappa(aggregate_raters(one)[0])) for one in some]

    said = "(they give no interval)"
    one = told(
        f"forty alphas, beside krippendorff {said}", ours(some, "krippendorff_alpha"), alphas
    )
    other = told(
        f"forty Fleiss' kappas, beside statsmodels {said}", many(some, "fleiss_kappa"), fleiss
    )
    return fine and one and other


def ours(some: list[np.ndarray], name: str) -> Callable[[], list[float]]:
    """The same question to this program: value and interval of each."""
    known = [Ratings.from_codes(one, [0, 1], scale="nominal") for one in some]

    def ask() -> list[float]:
        found = [estimates(one, [name])[0] for one in known]
        return [float(one.value or 0.0) for one in found]

    return ask


def many(some: list[np.ndarray], name: str, *, limits: bool = False) -> Callable[[], list[float]]:
    """The same, all tables at once; with the limits of each interval, if asked for."""
    known = [Ratings.from_codes(one, [0, 1], scale="nominal") for one in some]

    def ask() -> list[float]:
        found = of_many(known, name)
        values = [(one.value, one.low, one.high) if limits else (one.value,) for one in found]
        return [float(value or 0.0) for some in values for value in some]

    return ask


def correlations(draw: np.random.Generator) -> bool:
    """Six forms with intervals, 2,000 learners by four observers."""
    scores = (draw.normal(60, 10, (2000, 1)) + draw.normal(0, 4, (2000, 4))).round(2)
    known = Ratings.from_table(scores.tolist(), scale="interval")
    units, observers = np.indices(scores.shape)
    frame = pd.DataFrame(
        {"unit": units.ravel(), "observer": observers.ravel(), "score": scores.ravel()}
    )

    def mine() -> list[float]:
        return [float(one.value or 0.0) for one in estimates(known, ["icc"])]

    def theirs() -> list[float]:
        found = pingouin.intraclass_corr(frame, "unit", "observer", "score")
        return [float(one) for one in found["ICC"]]

    return told("six intraclass correlations, beside pingouin", mine, theirs, 500)


def bootstrap(draw: np.random.Generator, resamples: int) -> bool:
    """A bootstrap of alpha over 500 attempts by three observers."""
    codes = table(draw, 500, 3)
    known = Ratings.from_codes(codes, [0, 1], scale="nominal")

    def mine() -> list[float]:
        (found,) = resampled_estimates(
            known, ["krippendorff_alpha"], interval="percentile", seed=1, resamples=resamples
        )
        return [float(found.value or 0.0)]

    def theirs() -> list[float]:
        again = np.random.default_rng(1)
        for _ in range(resamples):
            picked = codes[again.integers(0, 500, 500)]
            krippendorff.alpha(picked.T.astype(float), level_of_measurement="nominal")
        return [krippendorff.alpha(codes.T.astype(float), level_of_measurement="nominal")]

    return told(f"{resamples} resamples of alpha, beside krippendorff", mine, theirs, 20)


def told(
    what: str,
    mine: Callable[[], list[float]],
    theirs: Callable[[], list[float]],
    goal: int = 0,
) -> bool:
    """Warm both, compare, measure in turns and print the smallest ratio."""
    apart = float(np.abs(np.subtract(mine(), theirs())).max())
    ratios = []
    for _ in range(TURNS):
        own, other = seconds(mine), seconds(theirs)
        ratios.append(other / own)
    aim = f" (goal {goal})" if goal else ""
    print(f"{what}: {1000 * own:.2f} ms, {min(ratios):.1f} times faster{aim}, apart {apart:.1e}")
    return apart <= CLOSE


def seconds(what: Callable[[], object]) -> float:
    """How long something takes."""
    started = time.perf_counter()
    what()
    return time.perf_counter() - started


def growth(draw: np.random.Generator) -> None:
    """How time and peak memory grow with the units."""
    for units in (1000, 10_000, 100_000):
        known = Ratings.from_codes(table(draw, units, 3), [0, 1], scale="nominal")
        took = seconds(lambda known=known: estimates(known, ["gwet_ac1", "krippendorff_alpha"]))  # type: ignore[misc] # bound now
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"{units:,} units: {1000 * took:.1f} ms, peak {peak:.0f} MB")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
