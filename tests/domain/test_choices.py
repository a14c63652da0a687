"""Answers of persons who did not know of each other's (rules E2, E5, T1, T5)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.choices import Answer, are_named, contrary, over_in, settled, standing


def answer(event: str, said: str, *over: str) -> Answer:
    return Answer(event, f"by {event}", said, frozenset(over))


ANNA, BEN = answer("a", "left"), answer("b", "right")


def test_who_answers_alone_is_believed() -> None:
    assert settled([ANNA]) == ANNA
    assert contrary([ANNA]) == ()


def test_nobody_answered_nothing_stands() -> None:
    assert settled([]) is None
    assert contrary([]) == ()


def test_e2_two_contrary_answers_count_for_nothing_whichever_came_first() -> None:
    for both in ([ANNA, BEN], [BEN, ANNA]):
        assert settled(both) is None
        assert contrary(both) == tuple(both)


def test_two_who_say_the_same_agree() -> None:
    assert settled([ANNA, answer("c", "left")]) == ANNA


def test_who_knew_both_answers_settles_it() -> None:
    cleo = answer("c", "right", "a", "b")
    assert settled([ANNA, BEN, cleo]) == cleo
    assert standing([ANNA, BEN, cleo]) == (cleo,)


def test_who_knew_only_one_does_not_set_the_other_aside() -> None:
    assert contrary([ANNA, BEN, answer("c", "left", "a")]) != ()


def test_an_answer_speaks_of_earlier_ones_only() -> None:
    assert standing([answer("c", "left", "b"), BEN]) == (answer("c", "left", "b"), BEN)


@pytest.mark.parametrize(
    ("body", "sound", "over"),
    [
        ({}, True, ()),
        ({"over": ["d/1"]}, True, ("d/1",)),
        ({"over": "d/1"}, False, ()),
        ({"over": [1]}, False, ()),
    ],
)
def test_what_a_body_names_is_read_or_refused(
    body: dict[str, object], sound: bool, over: tuple[str, ...]
) -> None:
    assert are_named(body) is sound
    assert over_in(body) == over


@given(st.lists(st.sampled_from(["left", "right"]), min_size=1, max_size=6))
def test_whoever_knows_all_others_has_the_last_word(said: list[str]) -> None:
    known = [answer(str(number), one) for number, one in enumerate(said)]
    last = answer("last", "right", *(one.event for one in known))
    assert settled([*known, last]) == last
    agreed = len(set(said)) == 1
    assert (settled(known) is not None) is agreed
    assert bool(contrary(known)) is not agreed
