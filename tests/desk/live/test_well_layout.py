"""The well: every key has its millimetres, whatever height is left (look: "The well")."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from observe.desk.live.layout import Box
from observe.desk.live.well_layout import (
    WellPlan,
    WellSizes,
    beside,
    least_height,
    well_plan,
    well_sizes,
    well_widths,
)
from observe.desk.theme import Skin
from observe.work.settings import TEXT_SIZES, Settings, WritingHand
from tests.desk.people import DESK, HAND

SOME = st.builds(
    Settings,
    text=st.sampled_from(TEXT_SIZES),
    hand=st.sampled_from(WritingHand),
    gloves=st.booleans(),
)


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
    for box in (plan.clock, plan.more, *([plan.rate] if plan.rate.width else [])):
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


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(
    SOME, st.sampled_from([HAND, DESK, 112.0]), st.integers(0, 300), st.booleans(), st.booleans()
)
def test_with_any_settings_keys_have_their_millimetres_and_none_is_over_another(
    chosen: Settings, dpi: float, more: int, hint: bool, voiced: bool
) -> None:
    skin = Skin(dots_per_inch=dpi)
    skin.apply(chosen)
    sizes = well_sizes(skin, hint=hint)
    width, height = well_widths(skin, sizes)[1] + more, least_height(sizes, low=True) + more
    plan = well_plan(width, height, sizes, prompts=5 if voiced else 4)
    rows = plan.rows
    keys = [*plan.marks, *plan.prompts, rows.take_back, rows.not_seen]
    least = skin.mm(18.8 if skin.gloves else 11.8)
    for box in (*plan.marks, *plan.prompts):
        assert box.height >= least
    for box in keys:
        assert min(box.width, box.height) >= skin.mm(11.8)
    for box in (plan.critical, plan.stop):
        assert min(box.width, box.height) >= skin.mm(19.8)
    for one, other in combinations([*keys, plan.critical, plan.stop, rows.current, rows.hint], 2):
        assert apart(one, other), (one, other)
    for box in keys:
        assert apart(grown(box, skin.mm(2.9)), plan.critical)
        assert apart(grown(box, skin.mm(2.9)), plan.stop)


def apart(one: Box, other: Box) -> bool:
    across = one.right <= other.x or other.right <= one.x
    return across or one.bottom <= other.y or other.bottom <= one.y


def grown(box: Box, by: int) -> Box:
    return Box(box.x - by, box.y, box.width + 2 * by, box.height)


def test_gloved_marks_have_the_size_of_the_page() -> None:
    """Look §4: 114 × 111 px on a tablet."""
    skin, _ = sizes_of(HAND)
    skin.apply(Settings(gloves=True))
    plan = well_plan(631, 478, well_sizes(skin), prompts=4)
    assert plan.low
    for box in plan.marks:
        assert box.width == pytest.approx(114, abs=3)
        assert box.height == pytest.approx(111, abs=2)


def test_the_left_hand_has_the_keys_mirrored_and_the_thumb_on_done() -> None:
    """Look §4: hand column left, texts right, order of marks and prompts reversed."""
    skin, _ = sizes_of(HAND)
    right = well_plan(631, 478, well_sizes(skin), prompts=4)
    skin.apply(Settings(hand=WritingHand.LEFT))
    left = well_plan(631, 478, well_sizes(skin), prompts=4)
    assert left.critical.right < left.marks[-1].x
    assert [box.x for box in left.marks] == sorted((box.x for box in left.marks), reverse=True)
    assert [box.x for box in left.prompts] == sorted((box.x for box in left.prompts), reverse=True)
    assert left.rows.take_back.x < beside(left.rows.last, left.rows.take_back).x
    assert left.header == right.header
    assert left.rod == right.rod


def test_what_stands_beside_keys_is_the_rest_of_the_row_on_either_side() -> None:
    row = Box(10, 0, 100, 20)
    assert beside(row) == row
    assert beside(row, Box(80, 0, 30, 20)) == Box(10, 0, 70, 20)
    assert beside(row, Box(10, 0, 30, 20), Box(40, 0, 20, 20)) == Box(60, 0, 50, 20)
