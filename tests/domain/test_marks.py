"""The state of one step (rules M1, M2, M3, S5)."""

from fractions import Fraction
from itertools import pairwise, product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.form import Credit
from observe.domain.marks import (
    DID_NOT_ARISE,
    DONE,
    INCORRECT,
    NOT_APPLICABLE,
    NOT_DONE,
    NOT_SEEN,
    Mark,
    PromptSource,
    State,
    at_most,
    credit,
    from_record,
    record,
    standing,
)
from tests.domain.strategies import FLAT_CREDITS, marks, outcomes

OUTCOMES = (State.DONE, State.INCORRECT, State.NOT_DONE)
WITHOUT_OUTCOME = (NOT_APPLICABLE, DID_NOT_ARISE, NOT_SEEN)
HELPED = [Mark(State.DONE, prompt) for prompt in range(5)]


def test_m1_an_outcome_is_done_incorrect_or_not_done() -> None:
    assert [state for state in State if state.is_outcome] == list(OUTCOMES)


@pytest.mark.parametrize("prompt", [-1, 5])
def test_m1_a_prompt_level_is_0_to_4(prompt: int) -> None:
    with pytest.raises(ValueError, match="0 to 4"):
        Mark(State.DONE, prompt)


@pytest.mark.parametrize("mark", WITHOUT_OUTCOME)
@pytest.mark.parametrize("more", [{"prompt": 1}, {"voiced": True}])
def test_m1_only_an_outcome_has_a_prompt_or_is_voiced(mark: Mark, more: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="no prompt and is not voiced"):
        Mark(mark.state, **more)


def test_m1_a_prompt_that_was_not_given_has_no_source() -> None:
    with pytest.raises(ValueError, match="source"):
        Mark(State.DONE, 0, PromptSource.PEER)


def test_m1_a_step_without_marks_is_not_seen() -> None:
    assert standing([]) == NOT_SEEN


def test_m2_highest_prompt_stands_last_outcome_stands() -> None:
    helped = Mark(State.DONE, 3, PromptSource.ASSISTANT)
    assert standing([helped, INCORRECT]) == Mark(State.INCORRECT, 3, PromptSource.ASSISTANT)
    assert standing([INCORRECT, helped]) == helped
    assert standing([helped, Mark(State.DONE, 1, PromptSource.PEER)]) == helped


def test_m2_a_higher_prompt_brings_its_own_source() -> None:
    peer, observer = (Mark(State.DONE, 1, PromptSource.PEER), Mark(State.DONE, 2))
    assert standing([peer, observer]) == observer


def test_m2_of_two_equal_prompts_the_later_one_names_the_source() -> None:
    peer = Mark(State.DONE, 2, PromptSource.PEER)
    assistant = Mark(State.INCORRECT, 2, PromptSource.ASSISTANT)
    assert standing([peer, assistant]) == assistant
    assert standing([peer, assistant, DONE]) == Mark(State.DONE, 2, PromptSource.ASSISTANT)


def test_m2_the_last_mark_says_whether_it_was_voiced() -> None:
    voiced = Mark(State.DONE, 1, voiced=True)
    assert standing([voiced, DONE]) == Mark(State.DONE, 1)
    assert standing([DONE, voiced]).voiced


def test_m2_a_prompt_outlasts_not_applicable() -> None:
    assert standing([Mark(State.DONE, 2), NOT_APPLICABLE]) == NOT_APPLICABLE
    assert standing([Mark(State.DONE, 2), NOT_APPLICABLE, DONE]) == Mark(State.DONE, 2)


@given(st.lists(marks, min_size=1, max_size=5))
def test_m2_holds_for_any_run_of_marks(run: list[Mark]) -> None:
    stands = standing(run)
    assert stands.state is run[-1].state
    assert stands.voiced is run[-1].voiced
    if stands.state.is_outcome:
        assert stands.prompt == max(mark.prompt for mark in run)


def test_m3_done_at_prompt_0_is_full_credit_and_help_never_raises_it() -> None:
    earned = [credit(mark, Credit()) for mark in HELPED]
    assert earned == [1, Fraction(3, 4), Fraction(1, 2), Fraction(1, 4), 0]


def test_m3_incorrect_and_not_done_are_0_unless_the_form_says_more() -> None:
    assert credit(INCORRECT, Credit()) == credit(NOT_DONE, Credit()) == 0
    table = Credit(incorrect=tuple(Fraction(n, 10) for n in (2, 1, 1, 0, 0)), not_done=Fraction(1))
    assert credit(Mark(State.INCORRECT, 1), table) == Fraction(1, 10)
    assert credit(Mark(State.NOT_DONE, 4), table) == 1


def test_m2_voiced_gives_full_credit() -> None:
    assert credit(Mark(State.DONE, voiced=True), Credit()) == 1


@pytest.mark.parametrize("mark", WITHOUT_OUTCOME)
def test_m3_what_is_no_outcome_has_no_credit_not_even_0(mark: Mark) -> None:
    with pytest.raises(ValueError, match="no credit"):
        credit(mark, Credit())


def test_s5_not_done_incorrect_and_prompt_4_are_the_bottom_and_equal() -> None:
    bottom = [NOT_DONE, INCORRECT, Mark(State.INCORRECT, 2), Mark(State.DONE, 4)]
    assert all(at_most(one, other) for one, other in product(bottom, bottom))


def test_s5_less_help_is_strictly_higher() -> None:
    for higher, lower in pairwise(HELPED):
        assert at_most(lower, higher)
        assert not at_most(higher, lower)


def test_s5_not_seen_not_applicable_and_did_not_arise_are_incomparable() -> None:
    for one in WITHOUT_OUTCOME:
        assert at_most(one, one)
        for other in (*WITHOUT_OUTCOME, DONE, NOT_DONE):
            if other != one:
                assert not at_most(one, other)
                assert not at_most(other, one)


@given(marks, marks, marks)
def test_s5_is_transitive(one: Mark, two: Mark, three: Mark) -> None:
    if at_most(one, two) and at_most(two, three):
        assert at_most(one, three)


@given(outcomes, outcomes, st.sampled_from(FLAT_CREDITS))
def test_s5_a_higher_mark_never_earns_less(lower: Mark, upper: Mark, table: Credit) -> None:
    if at_most(lower, upper):
        assert credit(lower, table) <= credit(upper, table)


@given(marks)
def test_a_mark_is_kept_and_read_back(mark: Mark) -> None:
    assert from_record(record(mark)) == mark


def test_a_kept_mark_leaves_out_what_is_not_the_case() -> None:
    assert record(DONE) == {"state": "done"}
    whole = Mark(State.INCORRECT, 2, PromptSource.PEER, voiced=True)
    assert record(whole) == {"state": "incorrect", "prompt": 2, "source": "peer", "voiced": True}


@pytest.mark.parametrize(
    "kept",
    [
        {},
        {"state": "perfect"},
        {"state": None},
        {"state": ["done"]},
        {"state": "done", "prompt": 5},
        {"state": "done", "prompt": "1"},
        {"state": "done", "prompt": True},
        {"state": "done", "prompt": None},
        {"state": "done", "voiced": 1},
        {"state": "done", "prompt": 1, "source": "nobody"},
        {"state": "done", "source": "peer"},
        {"state": "not-seen", "prompt": 1},
    ],
)
def test_what_holds_no_mark_is_a_value_error(kept: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=r"."):
        from_record(kept)
