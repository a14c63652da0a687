"""Tendencies of one observer over a series of scores: drift, contrast, and marks all alike.

After Myford CM, Wolfe EW (2003, 2004), Journal of Applied Measurement 4:386-422 and 5:189-227;
contrast: Yeates P et al. (2012), JAMA 308:2226-2232. They are indices to talk about: each rests on
few scores, and every one of them has innocent causes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

FEWEST = 5
"""Scores in a row, at least, for a slope."""


@dataclass(frozen=True, slots=True)
class Slope:
    """A straight line by least squares.

    value: per score or per point; se; p: two-sided, by t with n - 2; n: points. undefined: a
    sentence where there is none; then all else is None.
    """

    value: float | None
    se: float | None
    p: float | None
    n: int
    undefined: str = ""


def drift(residuals: Sequence[float]) -> Slope:
    """The change of an observer's scores with each further learner, in the score's unit.

    residuals: in the order of scoring, freed of how good the learner was.
    """
    return _slope(np.arange(1.0, len(residuals) + 1), np.asarray(residuals, dtype=np.float64))


def contrast(scores: Sequence[float], residuals: Sequence[float]) -> Slope:
    """How far a score is drawn away from the one before it: below 0 where it is.

    scores: how good each learner was, in the order of scoring; residuals: as in `drift`. The
    slope of each residual on the learner before.
    """
    return _slope(
        np.asarray(scores[:-1], dtype=np.float64), np.asarray(residuals[1:], dtype=np.float64)
    )


def alike(rows: Sequence[Sequence[float]]) -> float | None:
    """The share of rows in which all values are one; rows of fewer than 4 values do not count.

    None where no row counts.
    """
    counted = [row for row in rows if len(row) >= 4]
    if not counted:
        return None
    return sum(len(set(row)) == 1 for row in counted) / len(counted)


def _slope(across: np.ndarray, up: np.ndarray) -> Slope:
    n = len(across)
    if n < FEWEST:
        return Slope(None, None, None, n, f"Not estimable: {n} scores, and {FEWEST} are needed.")
    centred = across - across.mean()
    spread = float(centred @ centred)
    if spread <= 1e-12 * (1 + float(np.abs(across).max())) ** 2:
        return Slope(None, None, None, n, "Not estimable: what it depends on does not vary.")
    value = float(centred @ up) / spread
    rest = up - up.mean() - value * centred
    error = float(rest @ rest) / (n - 2)
    if error <= 1e-24 * (1 + float(np.abs(up).max())) ** 2:
        return Slope(value, 0.0, None, n)
    se = float(np.sqrt(error / spread))
    return Slope(value, se, 2 * float(special.stdtr(n - 2, -abs(value / se))), n)
