"""Seats in their places round the horseshoe (look: "Layout"), in pure geometry."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.desk.live.layout import (
    MOST_SEATS,
    Arrangement,
    Box,
    Edge,
    Measure,
    RoomPlan,
    room_plan,
    split_grid,
    split_row,
)

TABLET = Measure(
    px_per_mm=149 / 25.4,
    full_width=643,
    full_height=366,
    well_width=622,
    well_height=356,
    head=54,
    gap=6,
    margin=6,
)
DESKTOP = Measure(
    px_per_mm=96 / 25.4,
    full_width=456,
    full_height=327,
    well_width=485,
    well_height=317,
    head=54,
    gap=6,
    margin=6,
)


def overlap(one: Box, other: Box) -> bool:
    return (
        one.x < other.right
        and other.x < one.right
        and one.y < other.bottom
        and other.y < one.bottom
    )


def boxes(plan: RoomPlan) -> list[Box]:
    beside = [box for box in (plan.middle, plan.aside, plan.below) if box is not None]
    return [*(seat.box for seat in plan.seats), *plan.free, *beside]


@given(
    st.integers(1, MOST_SEATS),
    st.integers(960, 3840),
    st.integers(560, 2160),
    st.sampled_from([TABLET, DESKTOP]),
)
def test_nothing_overlaps_and_nothing_leaves_the_room(
    seats: int, width: int, height: int, measure: Measure
) -> None:
    plan = room_plan(seats, width, height, measure)
    assert len(plan.seats) == seats
    for one, other in combinations(boxes(plan), 2):
        assert not overlap(one, other)
    for box in boxes(plan):
        assert box.x >= 0
        assert box.y >= 0
        assert box.right <= width
        assert box.bottom <= height
        assert box.width > 0
        assert box.height > 0


@pytest.mark.parametrize(
    ("seats", "well"),
    [(5, (631, 718)), (6, (631, 718)), (8, (631, 478)), (10, (632, 540)), (12, (632, 358))],
)
def test_the_well_has_the_size_of_the_page_on_a_tablet(seats: int, well: tuple[int, int]) -> None:
    """Look, table "Layout": well in px at 1280 × 800, below a bar of 70 px."""
    plan = room_plan(seats, 1280, 730, TABLET)
    assert plan.arrangement is Arrangement.SHARED
    assert plan.middle is not None
    assert plan.middle.width == pytest.approx(well[0], abs=3)
    assert plan.middle.height == pytest.approx(well[1], abs=4)


@pytest.mark.parametrize(("seats", "seat"), [(6, (312, 236)), (8, (312, 236)), (10, (313, 177))])
def test_seats_have_the_size_of_the_page_on_a_tablet(seats: int, seat: tuple[int, int]) -> None:
    """Look, table "Layout": seat in px at 1280 × 800."""
    for place in room_plan(seats, 1280, 730, TABLET).seats:
        assert place.box.width == pytest.approx(seat[0], abs=2)
        assert place.box.height == pytest.approx(seat[1], abs=3)


@pytest.mark.parametrize("seats", range(5, 13))
def test_order_runs_up_the_left_side_across_the_back_and_down_the_right(seats: int) -> None:
    plan = room_plan(seats, 1280, 730, TABLET)
    places = [seat.box for seat in plan.seats]
    left = [box for box in places if box.x < 300]
    right = [box for box in places if box.x > 900]
    assert places[: len(left)] == left == sorted(left, key=lambda box: -box.y)
    assert places[len(places) - len(right) :] == right == sorted(right, key=lambda box: box.y)
    back = places[len(left) : len(places) - len(right)]
    assert back == sorted(back, key=lambda box: box.x)


@pytest.mark.parametrize("seats", [3, 5, 7, 9, 11])
def test_an_odd_number_leaves_one_free_place_and_moves_nobody(seats: int) -> None:
    plan = room_plan(seats, 1280, 730, TABLET)
    fuller = room_plan(seats + 1, 1280, 730, TABLET)
    assert len(plan.free) == 1
    assert plan.seats == fuller.seats[:seats]
    assert plan.free[0] == fuller.seats[-1].box


def test_up_to_four_seats_are_wells_each() -> None:
    for seats in (1, 2, 3, 4):
        assert room_plan(seats, 1280, 730, TABLET).arrangement is Arrangement.FULL


def test_where_every_seat_has_room_for_the_full_set_the_middle_is_the_table() -> None:
    """Look: for example 8 seats at 1920 × 1080, 96 dots an inch."""
    assert room_plan(8, 1920, 1018, DESKTOP).arrangement is Arrangement.TABLE
    assert room_plan(10, 1920, 1018, DESKTOP).arrangement is Arrangement.SHARED


def test_one_learner_alone_has_all_steps_and_criticals_beside_the_well() -> None:
    plan = room_plan(1, 1280, 730, TABLET)
    assert plan.aside is not None
    assert plan.below is not None


def test_a_narrow_room_turns_the_seats_into_a_rail_in_order_from_below() -> None:
    plan = room_plan(8, 1000, 730, TABLET)
    assert plan.arrangement is Arrangement.RAIL
    heights = [seat.box.y for seat in plan.seats]
    assert heights == sorted(heights, reverse=True)


@pytest.mark.parametrize(
    ("seats", "width", "height", "measure"),
    [(12, 960, 558, DESKTOP), (4, 960, 558, DESKTOP), (12, 1280, 650, TABLET)],
)
def test_a_room_too_low_for_a_set_of_keys_is_a_rail_whose_places_a_finger_can_hit(
    seats: int, width: int, height: int, measure: Measure
) -> None:
    """Look, "What gives": 9.4 mm is the least height of a name that can be pressed."""
    plan = room_plan(seats, width, height, measure)
    assert plan.arrangement is Arrangement.RAIL
    assert plan.middle is not None
    assert plan.middle.height >= measure.well_height
    assert min(measure.mm(place.box.height) for place in plan.seats) >= 9.4


@pytest.mark.parametrize("seats", range(2, 13))
def test_text_at_two_hundred_per_cent_turns_the_seats_into_names(seats: int) -> None:
    """Look §4: names in seat order from below; Done and critical are in the well only."""
    plan = room_plan(seats, 1280, 708, replace(TABLET, text=2.0, names=True))
    assert plan.arrangement is Arrangement.RAIL
    assert min(TABLET.mm(place.box.height) for place in plan.seats) >= 9.3


def test_gloves_have_seats_up_to_eight_and_names_for_more() -> None:
    gloved = replace(TABLET, gloved=True)
    assert [room_plan(seats, 1280, 730, gloved).arrangement for seats in (6, 8, 9, 12)] == [
        Arrangement.SHARED,
        Arrangement.SHARED,
        Arrangement.RAIL,
        Arrangement.RAIL,
    ]
    for place in room_plan(12, 1280, 730, gloved).seats:
        assert gloved.mm(place.box.height) >= 15


def test_four_wells_too_large_for_the_room_leave_four_seats_round_one_well() -> None:
    gloved = replace(TABLET, gloved=True, full_height=485, well_height=475)
    plan = room_plan(4, 1280, 730, gloved)
    assert plan.arrangement is Arrangement.SHARED
    assert len(plan.free) == 2


def test_a_seat_that_cannot_hold_the_longest_sentence_becomes_a_name() -> None:
    """Nothing is cut: where a sentence key is too low for its step, the well has it."""
    short = replace(TABLET, beside=161, sentence=lambda width: 20_000 // width)
    long = replace(TABLET, beside=161, sentence=lambda width: 40_000 // width)
    assert room_plan(8, 1280, 730, short).arrangement is Arrangement.SHARED
    assert room_plan(8, 1280, 730, long).arrangement is Arrangement.RAIL


@given(st.integers(0, 90), st.integers(0, 90), st.integers(0, 9), st.integers(100, 200))
def test_a_mirror_turns_twice_into_what_was(x: int, y: int, width: int, outer: int) -> None:
    box, glass = Box(x, y, width, 7), Box(3, 0, outer, 100)
    assert box.mirrored(glass).mirrored(glass) == box
    assert box.mirrored(glass).x - glass.x == glass.right - box.right


def test_a_rail_that_would_be_too_low_folds_up_one_column_and_down_the_other() -> None:
    plan = room_plan(12, 1280, 650, TABLET)
    up, down = plan.seats[:6], plan.seats[6:]
    assert [place.box.y for place in up] == sorted((one.box.y for one in up), reverse=True)
    assert [place.box.y for place in down] == sorted(one.box.y for one in down)
    assert up[0].box.y == down[-1].box.y
    assert up[0].box.right < down[0].box.x


def test_corner_seats_bend_round_the_corner() -> None:
    edges = [seat.edge for seat in room_plan(8, 1280, 730, TABLET).seats]
    assert edges == [
        Edge.LEFT,
        Edge.LEFT,
        Edge.LEFT_TOP,
        Edge.TOP,
        Edge.TOP_FROM_RIGHT,
        Edge.RIGHT_TOP,
        Edge.RIGHT,
        Edge.RIGHT,
    ]


@pytest.mark.parametrize("seats", [0, 13])
def test_no_room_has_no_seat_or_more_than_twelve(seats: int) -> None:
    with pytest.raises(ValueError, match="1 to 12"):
        room_plan(seats, 1280, 730, TABLET)


@given(
    st.integers(50, 2000),
    st.lists(st.floats(0.5, 3), min_size=1, max_size=6),
    st.integers(0, 7),
)
def test_a_row_is_cut_without_rest(width: int, parts: list[float], gap: int) -> None:
    cut = split_row(Box(10, 20, width, 40), parts, gap)
    assert cut[0].x == 10
    assert cut[-1].right == 10 + width
    for one, other in pairwise(cut):
        assert other.x - one.right == gap


def test_a_grid_runs_row_by_row() -> None:
    cut = split_grid(Box(0, 0, 100, 50), 2, 2, 0)
    assert [(box.x, box.y) for box in cut] == [(0, 0), (50, 0), (0, 25), (50, 25)]


def test_a_margin_never_turns_a_box_inside_out() -> None:
    assert Box(0, 0, 5, 5).inset(9, 9, 9, 9).width == 0
