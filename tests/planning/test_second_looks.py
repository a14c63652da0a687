from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.planning.second_looks import second_looks

OBSERVERS = ["anna", "ben", "chris"]


@given(
    firsts=st.lists(st.sampled_from(OBSERVERS), min_size=1, max_size=12),
    count=st.integers(0, 15),
    seed=st.text(max_size=8),
)
def test_a_draw_is_repeatable_and_never_gives_an_attempt_to_its_first_observer(
    firsts: list[str], count: int, seed: str
) -> None:
    attempts = {f"a{place}": first for place, first in enumerate(firsts)}
    drawn = second_looks(attempts, OBSERVERS, count=count, seed=seed)
    assert drawn == second_looks(attempts, OBSERVERS, count=count, seed=seed)
    assert len(drawn) == min(count, len(attempts))
    assert all(attempts[attempt] != second for attempt, second in drawn.items())


@given(seed=st.text(max_size=8))
def test_second_looks_are_spread_over_the_observers(seed: str) -> None:
    attempts = {f"a{place}": "lead" for place in range(9)}
    drawn = second_looks(attempts, ["lead", *OBSERVERS], count=9, seed=seed)
    assert Counter(drawn.values()) == {"anna": 3, "ben": 3, "chris": 3}


def test_every_attempt_is_about_as_likely_to_be_drawn() -> None:
    attempts = {f"a{place}": "lead" for place in range(8)}
    drawn = Counter(
        attempt
        for seed in range(800)
        for attempt in second_looks(attempts, ["lead", "ben"], count=2, seed=str(seed))
    )
    assert all(150 < drawn[attempt] < 250 for attempt in attempts)  # 200 expected, SD about 12


def test_a_second_look_needs_a_second_observer() -> None:
    with pytest.raises(ValueError, match="second observer"):
        second_looks({"a1": "anna"}, ["anna"], count=1, seed="x")


def test_a_number_of_looks_is_not_negative() -> None:
    with pytest.raises(ValueError, match="not negative"):
        second_looks({"a1": "anna"}, OBSERVERS, count=-1, seed="x")
