"""What became of a plan is chosen, not typed."""

from __future__ import annotations

import pytest

from observe.desk import plan_closing
from observe.domain.troubles import Refused
from observe.work.retest import Ending


def test_each_ending_is_offered_and_none_is_chosen_at_first() -> None:
    assert [value for value, _ in plan_closing.ENDINGS.options] == [one.value for one in Ending]
    assert plan_closing.ending_in({"ending": "met"}) is Ending.MET
    with pytest.raises(Refused, match="not said"):
        plan_closing.ending_in({"ending": plan_closing.ENDINGS.chosen})
