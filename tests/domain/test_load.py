import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.form import Mode
from observe.domain.load import Watched, greatest_overlap, limit_of, require_may_start
from observe.domain.troubles import Refused

ONE, TWO, THREE = (Watched(name, n, 2) for n, name in enumerate(("Ida", "Otto", "Lin"), start=1))


def test_w3_a_start_beyond_the_limit_is_refused_and_says_whose_clock_could_be_paused() -> None:
    with pytest.raises(Refused) as refused:
        require_may_start(Mode.SUMMATIVE, [THREE], [ONE, TWO])
    assert refused.value.what.startswith("2 clocks run already")
    assert "2 at most" in refused.value.what
    assert refused.value.where == "seat 3"
    assert refused.value.remedy == "Pause a clock first: that of Ida, seat 1 or Otto, seat 2."


def test_w3_up_to_the_limit_clocks_start() -> None:
    require_may_start(Mode.SUMMATIVE, [TWO], [ONE])
    require_may_start(Mode.SUMMATIVE, [], [ONE, TWO, THREE])


@pytest.mark.parametrize("mode", [Mode.FORMATIVE, Mode.PRACTICE])
def test_w3_only_a_summative_workshop_refuses(mode: Mode) -> None:
    require_may_start(mode, [THREE], [ONE, TWO])


def test_w3_the_smaller_limit_of_two_forms_holds() -> None:
    wide = Watched("Ida", 1, 6)
    assert limit_of([wide, TWO]) == 2
    require_may_start(Mode.SUMMATIVE, [wide], [Watched("Otto", 2, 6)] * 5)
    with pytest.raises(Refused, match="2 at most"):
        require_may_start(Mode.SUMMATIVE, [wide], [wide, TWO])
    alone = Watched("Lin", 3, 1)
    with pytest.raises(Refused, match="1 clock runs already"):
        require_may_start(Mode.SUMMATIVE, [alone], [wide])


def test_w3_several_clocks_at_once_are_counted_together() -> None:
    with pytest.raises(Refused, match="cannot start at once") as refused:
        require_may_start(Mode.SUMMATIVE, [ONE, TWO, THREE], [])
    assert refused.value.remedy == "Start them one after another."


def test_w3_what_ends_as_another_begins_does_not_overlap() -> None:
    assert greatest_overlap([]) == 0
    assert greatest_overlap([(0, 5), (5, 9)]) == 1
    assert greatest_overlap([(0, 5), (4, 9), (4, 5), (8, 10)]) == 3


@given(st.lists(st.tuples(st.integers(0, 30), st.integers(1, 10))))
def test_w3_the_greatest_overlap_is_the_most_that_run_in_any_moment(
    drawn: list[tuple[int, int]],
) -> None:
    spans = [(begin, begin + long) for begin, long in drawn]
    brute = max((sum(a <= t < b for a, b in spans) for t in range(41)), default=0)
    assert greatest_overlap(spans) == brute
