"""The logistic curve of being qualified on score, and where it passes one half."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import special

from observe.standards.scores import Floats

MOST_STEPS = 100
CLOSE = 1e-12


@dataclass(frozen=True, slots=True)
class Curve:
    """The fit in the scores' own unit. se: of the 50 % point, by the delta method."""

    intercept: float
    slope: float
    half: float
    se: float


def no_curve(qualified: Floats, others: Floats) -> str:
    """Why the scores of two groups have no finite fit, a sentence's end; empty if they have.

    In one dimension a finite estimate exists exactly where the groups overlap. Source:
    Albert A, Anderson JA (1984), Biometrika 71:1-10.
    """
    if max(qualified.max(), others.max()) == min(qualified.min(), others.min()):
        return "every score is the same."
    ordered = others.max() <= qualified.min()
    reversed_ = qualified.max() <= others.min()
    if not (ordered or reversed_):
        return ""
    touch = others.max() == qualified.min() or qualified.max() == others.min()
    more = " but at one score" if touch else ""
    return (
        f"the groups do not overlap{more}: with complete separation the logistic curve has no"
        " finite estimate."
    )


def fitted(scores: Floats, qualified: Floats) -> Curve | None:
    """The maximum-likelihood curve; scores and qualified (0 or 1) of shape (n,), overlapping.

    None where it does not rise or fall at all, so that it passes one half nowhere. Newton's
    method with step halving, on standardised scores. Source: McCullagh P, Nelder JA (1989),
    Generalized Linear Models, section 4.4.
    """
    centre, unit = float(scores.mean()), float(scores.std())
    design = np.stack([np.ones(len(scores)), (scores - centre) / unit], axis=1)
    found = np.zeros(2)
    current = _likelihood(design, qualified, found)
    for _ in range(MOST_STEPS):
        chance = special.expit(design @ found)
        weight = chance * (1 - chance)
        bend = design.T @ (design * weight[:, None])
        step = np.linalg.pinv(bend) @ (design.T @ (qualified - chance))
        size = 1.0
        while (
            size > CLOSE and _likelihood(design, qualified, found + size * step) < current - CLOSE
        ):
            size /= 2
        found = found + size * step
        current = _likelihood(design, qualified, found)
        if float(np.abs(size * step).max()) < CLOSE:
            break
    return _unscaled(design, found, centre, unit)


def _unscaled(design: Floats, found: Floats, centre: float, unit: float) -> Curve | None:
    chance = special.expit(design @ found)
    weight = chance * (1 - chance)
    spread = np.linalg.pinv(design.T @ (design * weight[:, None]))
    start, slope = float(found[0]), float(found[1])
    if abs(slope) < 1e-9:
        return None
    half = -start / slope
    gradient = np.array([1.0, half])
    variance = float(gradient @ spread @ gradient) / slope**2
    return Curve(
        intercept=start - slope * centre / unit,
        slope=slope / unit,
        half=centre + unit * half,
        se=unit * math.sqrt(variance),
    )


def _likelihood(design: Floats, qualified: Floats, at: Floats) -> float:
    """The log-likelihood; log_expit does not overflow."""
    score = design @ at
    kept = qualified * special.log_expit(score) + (1 - qualified) * special.log_expit(-score)
    return float(kept.sum())
