import pytest

from observe.domain.board import Verdict
from observe.domain.decision import Outcome
from observe.domain.words import (
    OUTCOMES,
    VERDICTS,
    counted,
    forms_said,
    listed,
    ordinal,
)
from tests.domain.builders import a_form, a_step


def test_every_outcome_and_verdict_has_a_word() -> None:
    assert set(OUTCOMES) == set(Outcome)
    assert set(VERDICTS) == set(Verdict)


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
