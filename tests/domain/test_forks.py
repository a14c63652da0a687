"""Which events of a forked device are in force (rule E5)."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from observe.domain.forks import Adoption, Fork, InForce, Link, in_force


def chain(start: int, names: str, before: str) -> list[Link]:
    """Links a, b, c … each naming the one before."""
    links = []
    for seq, name in enumerate(names, start=start):
        links.append(Link(seq, name, before))
        before = name
    return links


COMMON = Link(4, "r", "q")
TAILS = [COMMON, *chain(5, "abc", "r"), *chain(5, "xyz", "r")]


def test_e5_what_comes_before_a_fork_is_in_force_and_neither_tail() -> None:
    found = in_force("d", TAILS, [])
    assert found == InForce(4, frozenset(), (Fork("d", 5, ("a", "x")),))
    assert found.holds(4, "r")
    assert not found.holds(5, "a")


def test_e5_an_adopted_tail_is_in_force_as_it_was_written() -> None:
    found = in_force("d", TAILS, [Adoption("d", 5, "x")])
    assert found.chosen == set("xyz")
    assert found.forks == (Fork("d", 5, ("a", "x"), "x"),)


def test_e5_of_two_tails_adopted_against_each_other_none_is_in_force() -> None:
    both = [Adoption("d", 5, "a", "e/1", "anna"), Adoption("d", 5, "x", "f/1", "ben")]
    found = in_force("d", TAILS, both)
    assert found.chosen == frozenset()
    assert found.forks == (Fork("d", 5, ("a", "x"), "", ("a", "x")),)
    chosen = Adoption("d", 5, "x", "g/1", "cleo", frozenset({"e/1", "f/1"}))
    settled = in_force("d", TAILS, [*both, chosen])
    assert settled.chosen == set("xyz")
    assert settled.forks == (Fork("d", 5, ("a", "x"), "x"),)


def test_e5_who_adopts_the_same_tail_twice_adopts_it() -> None:
    twice = [Adoption("d", 5, "a", "e/1"), Adoption("d", 5, "a", "f/1")]
    assert in_force("d", TAILS, twice).chosen == set("abc")


def test_an_adoption_of_another_device_or_of_nothing_changes_nothing() -> None:
    some = [Adoption("e", 5, "x"), Adoption("d", 6, "y"), Adoption("d", 5, "nowhere")]
    assert in_force("d", TAILS, some) == in_force("d", TAILS, [])


def test_a_tail_that_forks_again_needs_a_second_adoption() -> None:
    links = [*TAILS, *chain(7, "wv", "y")]
    first = in_force("d", links, [Adoption("d", 5, "x")])
    assert first.chosen == set("xy")
    assert [fork.seq for fork in first.forks] == [5, 7]
    both = in_force("d", links, [Adoption("d", 5, "x"), Adoption("d", 7, "w")])
    assert both.chosen == set("xywv")


def test_an_event_that_was_withheld_follows_the_one_before_it() -> None:
    links = [COMMON, *chain(5, "ab", "r"), Link(7, "c", None), Link(8, "d", "c"), Link(5, "x", "r")]
    assert in_force("d", links, [Adoption("d", 5, "a")]).chosen == set("abcd")


def test_one_that_could_follow_either_tail_follows_neither() -> None:
    links = [*TAILS, Link(8, "?", None)]
    assert in_force("d", links, [Adoption("d", 5, "a")]).chosen == set("abc")


@given(st.permutations(TAILS), st.sampled_from(["", "a", "x"]))
def test_the_order_in_which_tails_came_changes_nothing(links: list[Link], taken: str) -> None:
    adoptions = [Adoption("d", 5, taken)] if taken else []
    assert in_force("d", links, adoptions) == in_force("d", TAILS, adoptions)
