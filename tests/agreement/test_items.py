"""How hard each item is, and how it goes with the rest."""

from __future__ import annotations

import numpy as np
import pytest

from observe.agreement.items import items
from tests.agreement.test_icc import TABLE, scored


def test_each_item_goes_with_the_sum_of_the_others() -> None:
    """The correlation with the rest score, after Nunnally (1978), by another computation."""
    table = np.array(TABLE, dtype=float)
    for place, one in enumerate(items(scored(TABLE))):
        rest = table.sum(axis=1) - table[:, place]
        assert one.rest == pytest.approx(np.corrcoef(table[:, place], rest)[0, 1])


def test_a_constant_item_says_why_it_has_none() -> None:
    found = items(scored([[1, 3], [2, 3], [3, 3], [5, 3]]))
    assert found[1].rest is None
