"""What lies over the seats stands where they do, at every number of seats."""

from __future__ import annotations

import pytest

from observe.desk.live.layout import Box, Measure, room_plan
from observe.desk.live.over_seats import beside, middle_of

MEASURE = Measure(
    px_per_mm=149 / 25.4,
    full_width=640,
    full_height=360,
    well_width=620,
    well_height=350,
    head=54,
    gap=6,
    margin=6,
)


def overlap(one: Box, other: Box) -> bool:
    across = one.x < other.right and other.x < one.right
    return across and one.y < other.bottom and other.y < one.bottom


@pytest.mark.parametrize("seats", [1, 2, 3, 4])
def test_wells_of_their_own_are_drawn_in_beside_the_panel(seats: int) -> None:
    plan = room_plan(seats, 1280, 730, MEASURE)
    middle = middle_of(plan, 293)
    boxes = [beside(place.box, middle) for place in plan.seats]
    for place, box in enumerate(boxes):
        assert box.width >= 280
        assert not overlap(box, middle)
        assert not any(overlap(box, other) for other in boxes[place + 1 :])
        assert (box.y, box.height) == (plan.seats[place].box.y, plan.seats[place].box.height)
