"""One mark for several learners, with exceptions (rules M1, F5, M6)."""

import pytest

from observe.domain import gestures
from observe.domain.gestures import Part
from observe.domain.marks import DONE, INCORRECT, NOT_DONE, NOT_SEEN
from observe.domain.troubles import Refused
from tests.domain.builders import a_form, steps
from tests.domain.table import Table
from tests.domain.trials import SIDES, VOICED

FORM = a_form(steps(4))


def parts(table: Table, step_id: str = "1") -> dict[str, tuple[Part, str]]:
    found = gestures.shares(table.states.values(), step_id, DONE)
    return {one.observation: (one.part, one.reason) for one in found}


def test_all_who_can_are_taken_in_and_go_on() -> None:
    table = Table(FORM)
    table.together("1", DONE)
    assert [state.mark("1") for state in table.states.values()] == [DONE] * 3
    assert [state.board.front for state in table.states.values()] == ["2"] * 3
    marks = [one for one in table.events if one.kind == "mark-set"]
    assert len({one.gesture for one in marks}) == 1
    assert [one.observation for one in marks] == ["o-1", "o-2", "o-3"]
    assert {one.body["together"] for one in marks} == {3}


def test_a_mark_that_stands_stays() -> None:
    table = Table(FORM)
    table.do("o-2", gestures.mark, "1", INCORRECT)
    found = gestures.shares(table.states.values(), "1", DONE, taken_in=["o-2"])
    assert (found[1].part, found[1].mark) == (Part.MARKED, INCORRECT)
    assert not found[1].may_change
    table.together("1", DONE, taken_in=["o-2"])
    assert [state.mark("1") for state in table.states.values()] == [DONE, INCORRECT, DONE]


def test_who_is_paused_or_past_the_step_is_left_out_unless_taken_in() -> None:
    table = Table(FORM)
    table.do("o-1", gestures.start_clock)
    table.do("o-1", gestures.pause_clock)
    table.do("o-2", gestures.pass_unseen)
    assert parts(table) == {
        "o-1": (Part.LEFT_OUT, "paused"),
        "o-2": (Part.LEFT_OUT, "past this step"),
        "o-3": (Part.TAKEN_IN, ""),
    }
    table.together("1", DONE, taken_in=["o-1", "o-2"], left_out=["o-3"])
    assert [state.mark("1") for state in table.states.values()] == [DONE, DONE, NOT_SEEN]


def test_m6_who_is_stopped_void_or_sealed_is_never_taken_in() -> None:
    table = Table(FORM)
    table.do("o-1", gestures.stop_for_safety)
    table.do("o-2", gestures.void, "an alarm")
    table.do("o-3", gestures.void, "an alarm")
    table.do("o-3", gestures.seal)
    found = gestures.shares(table.states.values(), "1", DONE, taken_in=[*table])
    assert [one.reason for one in found] == ["stopped for safety", "void", "sealed"]
    assert not any(one.may_change for one in found)
    with pytest.raises(Refused, match="Nobody is left"):
        table.together("1", DONE, taken_in=[*table])


def test_t5_who_was_handed_over_is_never_taken_in() -> None:
    table = Table(FORM)
    table.do("o-1", gestures.start_clock)
    table.do("o-1", gestures.hand_over, "p-2", last=table.events[-1].id)
    found = gestures.shares(table.states.values(), "1", DONE, taken_in=["o-1"])
    assert (found[0].reason, found[0].may_change) == ("handed over", False)


def test_f5_who_has_no_such_step_in_their_variant_is_left_out() -> None:
    table = Table(SIDES, variants=("left", "right", ""))
    assert parts(table, "2L") == {
        "o-1": (Part.TAKEN_IN, ""),
        "o-2": (Part.LEFT_OUT, "has no such step"),
        "o-3": (Part.LEFT_OUT, "variant not chosen"),
    }


def test_m2_a_mark_that_may_not_stand_leaves_all_out() -> None:
    table = Table(SIDES)
    found = gestures.shares(table.states.values(), "1", VOICED)
    assert {one.reason for one in found} == {"this mark is not allowed here"}


def test_e3_to_take_it_back_for_one_leaves_the_others_theirs() -> None:
    table = Table(FORM)
    table.together("1", NOT_DONE)
    table.do("o-2", gestures.take_back)
    assert [state.mark("1") for state in table.states.values()] == [NOT_DONE, NOT_SEEN, NOT_DONE]
    table.do("o-2", gestures.put_back)
    assert [state.mark("1") for state in table.states.values()] == [NOT_DONE] * 3


def test_who_is_left_out_by_the_observer_is_told_apart() -> None:
    table = Table(FORM)
    found = gestures.shares(table.states.values(), "1", DONE, left_out=["o-1"])
    assert (found[0].reason, found[0].may_change) == ("left out by you", True)


def test_who_is_absent_or_has_another_form_is_left_out() -> None:
    """Steps of two forms may have one id and be two things (rule F1)."""
    table = Table(FORM)
    own = table.ground.form.whole_digest
    states = table.states.values()
    found = gestures.shares(states, "1", DONE, form=own, absent=["o-2"], taken_in=["o-2"])
    assert [one.reason for one in found] == ["", "absent", ""]
    found = gestures.shares(states, "1", DONE, form="another")
    assert {one.reason for one in found} == {"has another form"}
