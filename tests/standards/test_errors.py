"""Wrong decisions at each cut, against counting them one by one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.standards.errors import Loss, fewest

some = st.lists(st.integers(0, 12), min_size=1, max_size=12)


@given(some, some, st.integers(1, 4), st.integers(1, 4))
def test_no_cut_costs_less(
    qualified: list[int], others: list[int], false_pass: int, false_fail: int
) -> None:
    loss = Loss(false_pass, false_fail)

    def cost(cut: float) -> float:
        wrong_fail = sum(score < cut for score in qualified)
        wrong_pass = sum(score >= cut for score in others)
        return false_fail * wrong_fail + false_pass * wrong_pass

    found = fewest(np.array(qualified, dtype=float), np.array(others, dtype=float), loss)
    least = min(cost(cut) for cut in {*qualified, *others})
    if found is None:
        assert cost(13) < least
        return
    tied = [cut for cut in {*qualified, *others} if cost(cut) == least]
    assert (found.loss, found.lowest, found.highest) == (least, min(tied), max(tied))


def test_a_loss_of_nothing_is_refused() -> None:
    with pytest.raises(BadInput, match="cannot be weighed"):
        Loss(0, 1)
