"""Rule T5: an observation is written on one machine at a time."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from observe.domain.events import Event
from observe.domain.writers import Follows, branch, lineage, writers
from tests.store.builders import EVENT


def an_event(device: str, seq: int, kind: str = "mark-set") -> Event:
    return replace(EVENT, device=device, seq=seq, kind=kind)


def named(device: str, follows: str, upto: int) -> Event:
    body = {"follows": {"device": follows, "seq": upto, "hash": "h"}, "turn": upto}
    return replace(an_event(device, 1, "device-named"), body=body)


def test_a_machine_that_goes_on_under_a_new_id_is_the_same_one() -> None:
    known = lineage([named("b", "a", 3), named("c", "b", 9)])
    assert known == {"b": Follows("a", 3), "c": Follows("b", 9)}
    events = [an_event("a", 2), an_event("b", 4), an_event("c", 2)]
    (one,) = writers(events, known)
    assert one.device == "c"
    assert all(one.holds(event) for event in events)
    assert not one.holds(an_event("a", 4))


def test_a_copy_and_its_original_that_both_go_on_are_two() -> None:
    known = lineage([named("b", "a", 3)])
    events = [an_event("a", 2), an_event("a", 4), an_event("b", 2)]
    assert [one.device for one in writers(events, known)] == ["a", "b"]


def test_who_only_opened_is_no_writer() -> None:
    events = [an_event("a", 1, "observation-opened"), an_event("b", 4)]
    assert [one.device for one in writers(events, {})] == ["b"]
    assert [one.device for one in writers(events[:1], {})] == ["a"]
    assert writers([], {}) == ()


def test_names_that_follow_each_other_in_a_ring_end() -> None:
    found = branch("a", {"a": Follows("b", 1), "b": Follows("a", 1)})
    assert set(found.upto) == {"a", "b"}


def test_a_name_that_cannot_be_read_follows_nothing() -> None:
    bodies: list[dict[str, object]] = [{}, {"follows": 1}, {"follows": {"device": 1, "seq": "x"}}]
    assert lineage(replace(named("b", "a", 3), body=body) for body in bodies) == {}


@given(st.lists(st.tuples(st.sampled_from("abcd"), st.integers(1, 9)), unique=True, min_size=1))
def test_every_event_was_written_by_one_of_them(places: list[tuple[str, int]]) -> None:
    known = {"b": Follows("a", 4), "c": Follows("b", 5)}
    events = [an_event(*place) for place in places]
    found = writers(events, known)
    assert all(any(one.holds(event) for one in found) for event in events)
    assert found == writers(events[::-1], known)
