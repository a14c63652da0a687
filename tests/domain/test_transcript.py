"""A paper as it says itself (rule D2)."""

from typing import Any

import pytest

from observe.domain.transcript import SOURCE, Transcript, from_record

PAPER = Transcript("p-1", "2026-03-02", "09:40")


@pytest.mark.parametrize("paper", [PAPER, Transcript("p-1")])
def test_a_paper_is_read_as_it_was_written(paper: Transcript) -> None:
    assert from_record(paper.as_record()) == paper


def test_d2_the_record_says_that_it_was_marked_at_the_time() -> None:
    assert PAPER.as_record()["source"] == SOURCE == "paper marked at the time"


def test_an_opening_without_a_paper_tells_of_none() -> None:
    assert from_record({"learner": "l-1"}) is None


@pytest.mark.parametrize(
    "changed",
    [
        {"watched_by": ""},
        {"watched_by": None},
        {"date": "2 March 2026"},
        {"date": "20260302"},
        {"date": 2026},
        {"start": "9:40"},
        {"start": "24:00"},
        {"start": "09:40:00"},
        {"transcribed": False},
        {"transcribed": 1},
    ],
)
def test_e1_what_cannot_be_read_is_never_guessed_at(changed: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=r".+"):
        from_record({**PAPER.as_record(), **changed})
