"""Random tables for comparison with general-purpose packages, and what those say of them."""

from typing import Any, cast

import numpy as np
import pandas as pd
import pytest
from hypothesis import strategies as st

from observe.agreement import Estimate, Ratings
from observe.agreement.ratings import Whole

LIMITS = ("value", "low", "high")
# Beyond it a package that divides by 1 - pe has lost its digits.
CLOSE = 1e-9


@st.composite
def tables(
    draw: st.DrawFn, *, observers: int | None = None, gaps: bool = True
) -> tuple[Whole, int]:
    """Places of categories, shape (units, observers), and how many categories there are."""
    luck = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    q = int(luck.integers(2, 6))
    width = observers or int(luck.integers(2, 6))
    units = int(luck.integers(10, 40))
    truth = luck.choice(q, units, p=luck.dirichlet(np.ones(q)))
    codes = np.where(
        luck.random((units, width)) < luck.uniform(0.2, 1),
        truth[:, None],
        luck.integers(0, q, (units, width)),
    )
    if gaps:
        codes = np.where(luck.random((units, width)) < luck.uniform(0, 0.4), -1, codes)
    return codes.astype(np.int64), q


def ratings_of_codes(codes: Whole, q: int, scale: str = "ordinal") -> Ratings:
    return Ratings.from_codes(codes, list(range(q)), scale=scale)


def irrcac(codes: Whole, q: int, method: str, weights: str = "identity") -> dict[str, float]:
    """What irrCAC 0.4.4 says of a table: value, standard error, agreement, limits."""
    raw = pytest.importorskip(
        "irrCAC.raw", reason="irrCAC asks for an old scipy; install it with pip's --no-deps"
    )
    rated = codes[(codes >= 0).any(axis=1)]
    frame = pd.DataFrame(np.where(rated < 0, np.nan, rated))
    found = raw.CAC(frame, weights=weights, categories=list(range(q)), digits=12)
    said = cast("dict[str, Any]", getattr(found, method)()["est"])
    low, high = said["confidence_interval"]
    return {
        "value": float(said["coefficient_value"]),
        "low": float(low),
        "high": float(high),
        "error": float(said["se"]),
    }


def same_as(found: Estimate, said: dict[str, float]) -> None:
    """Value, error and limits equal to the package's."""
    assert found.value == pytest.approx(said["value"], abs=CLOSE)
    assert found.details["standard error"] == pytest.approx(said["error"], abs=CLOSE)
    if found.low is not None:
        assert found.low == pytest.approx(said["low"], abs=CLOSE)
        assert found.high == pytest.approx(said["high"], abs=CLOSE)
