"""Words for marks: every state has one, and help is said with it."""

import pytest

from observe.domain.marks import Mark, State
from observe.domain.markwords import PROMPTS, STATES, mark_words


def test_every_state_and_prompt_level_has_a_word() -> None:
    assert set(STATES) == set(State)
    assert len(PROMPTS) == 5


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
