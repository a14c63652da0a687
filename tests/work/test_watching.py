"""Who watched an attempt, and where two saw it differently."""

from observe.domain.marks import DONE, NOT_DONE
from observe.work.watching import difference, watched, who_saw
from tests.domain.builders import Log, a_form, steps

FORM = a_form(steps(3))
NAMES = {"p-1": "Anna"}


def test_who_saw_a_step_is_the_last_with_a_mark_on_it() -> None:
    one, other = Log(FORM), Log(FORM)
    one.mark("1", "2")
    other.mark("2")
    parts = (one.state, other.state)
    assert who_saw(parts, "1") is one.state
    assert who_saw(parts, "2") is other.state
    assert who_saw(parts, "3") is None


def test_only_what_two_saw_differently_is_told() -> None:
    one, other = Log(FORM), Log(FORM)
    one.mark("1", "2")
    other.mark("1")
    other.mark("2", mark=NOT_DONE)
    parts = (one.state, other.state)
    assert difference(parts, "1", NAMES) == ""
    assert difference(parts, "2", NAMES) == "Anna: done; Anna: not done"
    assert difference(parts, "3", NAMES) == ""
    assert one.state.mark("1") == DONE


def test_who_watched_alone_is_a_name() -> None:
    assert watched((Log(FORM).state,), NAMES) == ("Anna",)
    assert watched((Log(FORM).state,), {}) == ("p-1",)
