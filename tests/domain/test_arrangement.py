from collections import Counter
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.arrangement import (
    MOST_NUMBER,
    MOST_SEATS,
    NOWHERE,
    ROOMS,
    Spot,
    Spots,
    arranged,
    fitting,
    free_numbers,
    from_record,
    record,
    require_sound,
    rooms_swapped,
    swapped,
)
from observe.domain.troubles import Refused

HORSESHOE = {f"a{n}": Spot(1, n) for n in range(1, 9)} | {f"b{n}": Spot(2, n) for n in range(9, 13)}


@st.composite
def rooms(draw: st.DrawFn) -> dict[str, Spot]:
    """Two rooms of at most twelve, with numbers of one workshop."""
    sizes = [draw(st.integers(0, MOST_SEATS)) for _ in ROOMS]
    numbers = iter(draw(st.permutations(range(1, MOST_NUMBER + 1))))
    return {
        f"a{room}-{place}": Spot(room, next(numbers))
        for room, size in zip(ROOMS, sizes, strict=True)
        for place in range(size)
    }


def is_sound(spots: Spots) -> bool:
    numbers = Counter(spot.number for spot in spots.values())
    sizes = Counter(spot.room for spot in spots.values())
    return max(numbers.values(), default=0) <= 1 and max(sizes.values(), default=0) <= MOST_SEATS


@given(rooms(), st.data())
def test_whatever_is_moved_each_attempt_has_one_place_of_its_own(
    spots: dict[str, Spot], data: st.DataObject
) -> None:
    begun = set(spots)
    for _ in range(data.draw(st.integers(0, 8))):
        if not spots:
            return
        one, other = data.draw(st.tuples(*[st.sampled_from(sorted(spots))] * 2))
        spot = Spot(data.draw(st.sampled_from(ROOMS)), data.draw(st.integers(1, 30)))
        moves: dict[str, Spot] = data.draw(
            st.sampled_from([swapped(spots, one, other), {one: spot}, rooms_swapped(spots)])
        )
        if is_sound({**spots, **moves}):
            spots = arranged(spots, moves)
        else:
            with pytest.raises(Refused):
                arranged(spots, moves)
        assert set(spots) == begun
        assert is_sound(spots)


@given(rooms())
def test_a_swap_is_undone_by_swapping_again(spots: dict[str, Spot]) -> None:
    again = arranged(spots, rooms_swapped(spots))
    assert arranged(again, rooms_swapped(again)) == spots
    for one, other in zip(spots, reversed(spots), strict=True):
        once = arranged(spots, swapped(spots, one, other))
        assert arranged(once, swapped(once, one, other)) == spots


@given(rooms(), st.sampled_from(ROOMS))
def test_every_free_place_can_be_taken_and_a_room_is_filled_to_twelve(
    spots: dict[str, Spot], room: int
) -> None:
    taken = sum(spot.room == room for spot in spots.values())
    free = free_numbers(spots, {}, room)
    assert len(free) == MOST_SEATS - taken
    for number in free:
        require_sound({**spots, "late": Spot(room, number)})


@given(rooms(), st.integers(-1, 3), st.integers(-1, 120))
def test_a_place_is_found_for_everybody_until_both_rooms_are_full(
    spots: dict[str, Spot], room: int, number: int
) -> None:
    found = fitting(spots, {}, Spot(room, number))
    if found == NOWHERE:
        assert len(spots) == MOST_SEATS * len(ROOMS)
    else:
        require_sound({**spots, "late": found})


def test_the_wanted_place_is_given_where_it_is_free() -> None:
    assert fitting(HORSESHOE, {}, Spot(1, 20)) == Spot(1, 20)
    assert fitting(HORSESHOE, {}, Spot(1, 5)) == Spot(1, 13)


def test_a_place_that_was_left_is_offered_in_its_own_room_first() -> None:
    left = {name: spot for name, spot in HORSESHOE.items() if name not in ("a5", "b10")}
    vacated = {5: 1, 10: 2}
    assert free_numbers(left, vacated, 1) == (5, 13, 14, 15, 16)
    assert free_numbers(left, vacated, 2)[0] == 10
    assert 5 not in free_numbers(left, vacated, 2)


@pytest.mark.parametrize(
    ("moves", "said"),
    [
        ({"a1": Spot(1, 2)}, "Two learners cannot sit at one seat"),
        ({"a1": Spot(2, 2)}, "Two learners cannot sit at one seat"),
        ({"a1": Spot(3, 20)}, "two rooms"),
        ({"a1": Spot(1, 0)}, "numbered from 1"),
        ({"a1": Spot(1, 100)}, "numbered from 1"),
        ({"nobody": Spot(1, 20)}, "no such attempt"),
        ({"a1": NOWHERE}, "needs a place"),
    ],
)
def test_an_arrangement_that_cannot_be_is_refused_in_words(moves: Any, said: str) -> None:  # noqa: ANN401
    with pytest.raises(Refused) as refused:
        arranged(HORSESHOE, moves)
    assert said in str(refused.value)
    assert refused.value.remedy


def test_a_thirteenth_in_a_room_is_refused_in_words() -> None:
    full = {f"a{n}": Spot(1, n) for n in range(1, 13)} | {"b": Spot(2, 13)}
    with pytest.raises(Refused) as refused:
        arranged(full, {"b": Spot(1, 13)})
    assert refused.value.what == "12 seats are the most that can be seen at once."
    assert refused.value.remedy == "Make two tables."


def test_only_who_is_absent_may_be_without_a_place() -> None:
    found = arranged(HORSESHOE, {"a1": NOWHERE, "a2": Spot(1, 1)}, absent=["a1"])
    assert (found["a1"], found["a2"]) == (NOWHERE, Spot(1, 1))
    assert rooms_swapped(found)["a2"] == Spot(2, 1)
    assert "a1" not in rooms_swapped(found)


def test_moves_come_back_from_the_event_as_they_were() -> None:
    moves = {"a1": Spot(2, 12), "b12": Spot(1, 1), "a2": NOWHERE}
    assert from_record(record(moves)) == moves
