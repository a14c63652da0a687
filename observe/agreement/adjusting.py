"""Would scores freed of severity decide better? By simulation from a fitted model.

Adjusting can make decisions worse where observers differ little or share few learners (Yeates P,
McCray G, simulation study), so it is shown before anybody thinks of it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from observe.agreement.severity import Table
from observe.domain.troubles import BadInput

Floats = NDArray[np.float64]
_AT_ONCE = 250


@dataclass(frozen=True, slots=True)
class Adjusting:
    """Shares of learners whose decision at the cut differs from that on their true score.

    raw: by the plain mean of their scores; adjusted: by the mean of scores freed of each
    observer's estimated effect. raw_error, adjusted_error, difference_error: Monte-Carlo standard
    errors. simulations, seed: how it was worked out.
    """

    cut: float
    raw: float
    raw_error: float
    adjusted: float
    adjusted_error: float
    difference_error: float
    simulations: int
    seed: int

    @property
    def helps(self) -> bool | None:
        """Whether adjusting decides better; None where the simulation cannot tell."""
        gain = self.raw - self.adjusted
        if abs(gain) <= 2 * self.difference_error:
            return None
        return gain > 0

    @property
    def sentence(self) -> str:
        """The verdict."""
        raw, adjusted = f"{100 * self.raw:.1f} %", f"{100 * self.adjusted:.1f} %"
        said = (
            f"Wrong decisions at {self.cut:g}: {raw} by plain scores, {adjusted} by adjusted ones."
        )
        verdict = {
            True: "Adjusting would help.",
            False: "Adjusting would make decisions worse.",
            None: "Adjusting would make no difference that can be told.",
        }[self.helps]
        return f"{said} {verdict} Decisions are adjusted by policy only."


def adjusting(
    table: Table,
    variances: tuple[float, float, float],
    mean: float,
    cut: float,
    *,
    simulations: int = 1000,
    seed: int = 0,
    tick: Callable[[int, int], None] | None = None,
) -> Adjusting:
    """Simulate workshops of the same design from fitted variances, and decide both ways.

    variances: of learners, observers and error. tick: called between batches; may raise
    `Stopped`. Raises BadInput for fewer than 100 simulations.
    """
    if simulations < 100:
        raise BadInput("Fewer than 100 simulations tell nothing.", remedy="Ask for 1000 or more.")
    draw = np.random.default_rng(seed)
    rows, columns = table.rows, table.columns
    met = np.eye(int(rows.max()) + 1)[rows]
    seen = np.eye(int(columns.max()) + 1)[columns]
    learner, observer, error = variances
    plain = met.T / met.sum(axis=0)[:, None]
    freed = plain @ (np.eye(len(rows)) - seen @ _predictor(met, seen, variances))
    wrong: list[Floats] = []
    for start in range(0, simulations, _AT_ONCE):
        if tick is not None:
            tick(start, simulations)
        count = min(_AT_ONCE, simulations - start)
        true = mean + np.sqrt(learner) * draw.standard_normal((met.shape[1], count))
        scores = met @ true + np.sqrt(observer) * (
            seen @ draw.standard_normal((seen.shape[1], count))
        )
        scores += np.sqrt(error) * draw.standard_normal(scores.shape)
        passing = true >= cut
        wrong.append(
            np.stack([((way @ scores >= cut) != passing).mean(axis=0) for way in (plain, freed)])
        )
    raw, adjusted = np.concatenate(wrong, axis=1)
    root = float(np.sqrt(simulations))
    return Adjusting(
        cut=cut,
        raw=float(raw.mean()),
        raw_error=float(raw.std(ddof=1)) / root,
        adjusted=float(adjusted.mean()),
        adjusted_error=float(adjusted.std(ddof=1)) / root,
        difference_error=float((raw - adjusted).std(ddof=1)) / root,
        simulations=simulations,
        seed=seed,
    )


def _predictor(met: Floats, seen: Floats, variances: tuple[float, float, float]) -> Floats:
    """The matrix that takes scores to shrunken effects of observers; shape (observers, n)."""
    learner, observer, error = variances
    whole = learner * met @ met.T + observer * seen @ seen.T
    whole += np.eye(len(met)) * max(error, 1e-9 * (learner + observer + error))
    inverse = np.linalg.inv(whole)
    ones = inverse.sum(axis=1)
    projection = inverse - np.outer(ones, ones) / ones.sum()
    found: Floats = observer * seen.T @ projection
    return found
