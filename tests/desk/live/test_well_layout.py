"""The well: every key has its millimetres, whatever height is left (look: "The well")."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from observe.desk.live.layout import Box
from observe.desk.live.well_layout import WellPlan, WellSizes, least_height, well_plan, well_sizes
from observe.desk.theme import Skin
from tests.desk.people import DESK, HAND


def sizes_of(dpi: float) -> tuple[Skin, WellSizes]:
    skin = Skin(dots_per_inch=dpi)
    return skin, well_sizes(skin)


def rows(plan: WellPlan) -> list[Box]:
    parts = plan.rows
    boxes = [parts.last, parts.current, parts.marks, parts.prompts, parts.next, *parts.further]
    if plan.low:
        boxes.append(parts.take_back)
    return [box for box in boxes if box.height > 0]


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(0, 700), st.integers(0, 500), st.sampled_from([HAND, DESK, 112.0, 200.0]))
def test_rows_stand_below_each_other_inside_the_well(
    more_width: int, more_height: int, dpi: float
) -> None:
    skin, sizes = sizes_of(dpi)
    width = skin.mm(106) + more_width
    height = least_height(sizes, low=True) + more_height
    plan = well_plan(width, height, sizes, prompts=5)
    for one, other in combinations(rows(plan), 2):
        assert one.bottom <= other.y or other.bottom <= one.y
    for box in [*rows(plan), plan.critical, plan.stop]:
        assert box.bottom <= height
        assert box.right <= width


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(0, 500), st.sampled_from([HAND, DESK, 112.0]))
def test_keys_have_their_millimetres(more_height: int, dpi: float) -> None:
    """Look: routine keys 12 mm, critical and stop 20 mm, 3 mm clear round both."""
    skin, sizes = sizes_of(dpi)
    height = least_height(sizes, low=True) + more_height
    plan = well_plan(skin.mm(118), height, sizes, prompts=5)
    for box in (*plan.marks, *plan.prompts, plan.rows.take_back, plan.rows.not_seen):
        assert min(box.width, box.height) >= skin.mm(11.8)
    for box in (plan.clock, plan.rate):
        assert min(box.width, box.height) >= skin.mm(11.8)
    for box in (plan.critical, plan.stop):
        assert min(box.width, box.height) >= skin.mm(19.8)
    assert plan.stop.y - plan.critical.bottom >= skin.mm(2.9)
    assert plan.critical.x - plan.rows.marks.right >= skin.mm(2.9)


def test_a_low_well_puts_last_and_next_on_their_keys() -> None:
    _, sizes = sizes_of(HAND)
    assert well_plan(632, 358, sizes, prompts=4).low
    assert not well_plan(631, 478, sizes, prompts=4).low


def test_height_that_is_left_goes_to_the_keys_and_then_to_further_steps() -> None:
    _, sizes = sizes_of(HAND)
    usual, tall = (well_plan(631, height, sizes, prompts=4) for height in (478, 718))
    assert tall.rows.marks.height == sizes.row_most
    assert usual.rows.further == ()
    assert len(tall.rows.further) >= 2


@pytest.mark.parametrize("prompts", [4, 5])
def test_voiced_has_a_place_of_its_own_only_where_the_form_has_it(prompts: int) -> None:
    _, sizes = sizes_of(HAND)
    assert len(well_plan(631, 478, sizes, prompts=prompts).prompts) == prompts
