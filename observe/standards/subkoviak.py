"""Agreement of two decisions from one administration of a test of right and wrong items.

Source: Subkoviak MJ (1976), Journal of Educational Measurement 13:265-276; KR-21: Kuder GF,
Richardson MW (1937), Psychometrika 2:151-160.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from observe.domain.troubles import BadInput


@dataclass(frozen=True)
class OneAdministration:
    """shares: each learner's estimated chance on an item; per_learner: of the same decision twice.

    agreement: the mean; chance: by the mean chance to pass; kappa: None where all pass or fail.
    """

    shares: tuple[float, ...]
    per_learner: tuple[float, ...]
    agreement: float
    chance: float
    kappa: float | None


def subkoviak(
    scores: Sequence[float], items: int, cut: float, reliability: float
) -> OneAdministration:
    """Judge a cut on numbers of items right; pass is a score at or above the cut.

    scores: items right of each learner. reliability: of the scores, KR-20 or another. Raises
    BadInput for scores that cannot be, a cut outside them, and a reliability outside 0 to 1.
    """
    values = np.asarray(scores, dtype=np.float64)
    whole = bool(np.all(values == np.round(values))) if len(values) else False
    if len(values) < 2 or items < 2 or not whole or values.min() < 0 or values.max() > items:
        raise BadInput(
            "Scores are whole numbers of items right, from 0 to the number of items.",
            remedy="Give two or more of them, and how many items there are.",
        )
    if not 0 < cut <= items:
        raise BadInput(
            f"A cut of {cut:g} does not lie within {items} items.", remedy="Give items right."
        )
    if not 0 <= reliability <= 1:
        raise BadInput(
            f"A reliability of {reliability:g} is not from 0 to 1.", remedy="Give KR-20."
        )
    mean = float(values.mean()) / items
    shares = np.clip(reliability * values / items + (1 - reliability) * mean, 0.0, 1.0)
    least = int(np.ceil(cut - 1e-9))
    passing = np.asarray(special.bdtrc(least - 1, items, shares), dtype=np.float64)
    same = passing**2 + (1 - passing) ** 2
    once = float(passing.mean())
    chance = once**2 + (1 - once) ** 2
    agreement = float(same.mean())
    return OneAdministration(
        tuple(float(one) for one in shares),
        tuple(float(one) for one in same),
        agreement,
        chance,
        (agreement - chance) / (1 - chance) if chance < 1 - 1e-12 else None,
    )


def kr21(scores: Sequence[float], items: int) -> float | None:
    """KR-21, as if all items were equally difficult; None where scores do not vary.

    The variance is that with n as divisor, as in the source.
    """
    values = np.asarray(scores, dtype=np.float64)
    if len(values) < 2 or items < 2 or float(values.var()) <= 0:
        return None
    mean = float(values.mean())
    return items / (items - 1) * (1 - mean * (items - mean) / (items * float(values.var())))
