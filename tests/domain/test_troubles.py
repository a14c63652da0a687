"""What can go wrong, sorted by who can act on it."""

import pytest

from observe.domain.troubles import BadInput, Doubtful, Refused, Stopped, Surroundings, Trouble


def test_a_trouble_says_where_what_and_what_to_do() -> None:
    trouble = Refused("A reason is needed.", where="step 7", remedy="Choose or type one.")
    assert str(trouble) == "step 7: A reason is needed. Choose or type one."
    assert (trouble.what, trouble.where, trouble.remedy) == (
        "A reason is needed.",
        "step 7",
        "Choose or type one.",
    )


def test_a_trouble_without_a_place_or_remedy_has_no_empty_words() -> None:
    assert str(Surroundings("The disk is full.")) == "The disk is full."
    assert str(Doubtful("It forked.", remedy="Ask.")) == "It forked. Ask."


def test_input_that_cannot_be_read_is_a_refusal() -> None:
    assert issubclass(BadInput, Refused)


def test_stopped_needs_no_words() -> None:
    assert str(Stopped()) == "Stopped."
    with pytest.raises(Trouble):
        raise Stopped


def test_each_kind_has_its_own_code() -> None:
    kinds: list[type[Trouble]] = [Trouble, Refused, BadInput, Surroundings, Doubtful, Stopped]
    assert len({kind.code for kind in kinds}) == len(kinds)
