import pytest

from observe.domain.board import Verdict
from observe.domain.decision import Outcome
from observe.domain.marks import Mark, State
from observe.domain.words import (
    OUTCOMES,
    STATES,
    VERDICTS,
    counted,
    forms_said,
    listed,
    mark_words,
    ordinal,
)
from tests.domain.builders import a_form, a_step


def test_every_state_has_a_word() -> None:
    assert set(STATES) == set(State)
    assert set(OUTCOMES) == set(Outcome)
    assert set(VERDICTS) == set(Verdict)


@pytest.mark.parametrize(
    ("mark", "words"),
    [
        (Mark(State.DONE), "done"),
        (Mark(State.DONE, 2), "done, prompt 2 (cued)"),
        (Mark(State.DONE, 1, voiced=True), "done, voiced, prompt 1 (asked)"),
        (Mark(State.INCORRECT, 4), "incorrect, prompt 4 (took over)"),
        (Mark(State.NOT_SEEN), "not seen"),
    ],
)
def test_a_mark_in_words(mark: Mark, words: str) -> None:
    assert mark_words(mark) == words


@pytest.mark.parametrize(
    ("given", "said"),
    [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")],
)
def test_lists_are_said_as_a_person_says_them(given: list[str], said: str) -> None:
    assert listed(given) == said


def test_numbers_with_their_nouns() -> None:
    assert [counted(1, "step"), counted(2, "step")] == ["1 step", "2 steps"]
    assert counted(0, "look", "looks") == "0 looks"
    assert [ordinal(1), ordinal(9), ordinal(10)] == ["first", "ninth", "10th"]


def test_forms_in_use_are_said_with_their_versions() -> None:
    one, other = a_form([a_step("A")]), a_form([a_step("A")], id="OTHER", version="2.1")
    assert forms_said([one]) == "form FORM 1"
    assert forms_said([one, other]) == "forms FORM 1 and OTHER 2.1"
