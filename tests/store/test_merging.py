"""A union of events in one transaction: what fits is taken in, all else refuses the whole."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from observe.domain.events import FIRST, Event, commitment, hash_of
from observe.domain.troubles import Doubtful
from observe.store.chain import verify
from observe.store.log import Log
from observe.store.merging import Intake, taking_in
from observe.store.packet.lines import TextLine, event_line, stub_line, text_line
from tests.store.builders import EVENT, fill
from tests.store.test_standing import chain, event


@pytest.fixture
def log(tmp_path: Path) -> Iterator[Log]:
    with Log.open(tmp_path / "logbook.observe", create=True) as opened:
        yield opened


def take(log: Log, *lines: bytes) -> Intake:
    with taking_in(log) as taking:
        return taking.take_in(lines)


def lines(events: list[Event]) -> list[bytes]:
    return [event_line(one) for one in events]


def ids(log: Log) -> list[str]:
    return [one.id for one in log.read()]


def test_what_is_new_is_taken_in_and_what_is_known_is_left(log: Log) -> None:
    events = chain("a", 3)
    assert take(log, *lines(events[:2])).new == {"a": 2}
    again = take(log, *lines(events))
    assert (again.new, again.known) == ({"a": 1}, 2)
    assert log.read() == events
    assert not take(log, *lines(events)).is_news
    assert again.heads == {"a": (3, events[-1].hash)}


def test_thousands_of_events_are_taken_in_at_once(log: Log) -> None:
    events = chain("a", 1234)
    assert take(log, *lines(events)).events == 1234
    assert take(log, *lines(events)).known == 1234
    assert verify(log).is_sound


def test_an_event_that_is_not_known_here_is_kept_and_counted(log: Log) -> None:
    """Rule E1: kept, relayed, shown as newer."""
    newer = [event("a", 1, kind="hologram-shown"), event("b", 1)]
    newer[1] = replace(newer[1], version=99)
    newer[1] = replace(newer[1], hash=hash_of(newer[1]))
    told = take(log, *lines(newer))
    assert told.kinds == {"hologram-shown": 1, "looked": 1}
    assert ids(log) == ["a/1", "b/1"]


def test_e6_a_stub_holds_the_place_of_what_comes_later(log: Log) -> None:
    events = chain("a", 4)
    told = take(
        log,
        event_line(events[0]),
        stub_line(events[1]),
        stub_line(events[2]),
        event_line(events[3]),
    )
    assert (told.events, told.stubs) == (2, 2)
    assert verify(log).is_sound
    take(log, *lines(events))
    assert log.read() == events
    assert verify(log).is_sound


def test_e6_a_chain_may_begin_in_its_middle(log: Log) -> None:
    events = chain("a", 4)
    take(log, *lines(events[2:]))
    assert ids(log) == ["a/3", "a/4"]
    assert verify(log).is_sound
    take(log, *lines(events[:2]))
    assert log.read() == events


def test_e5_what_stands_in_the_way_is_kept_apart(log: Log) -> None:
    common = chain("a", 2)
    mine = chain("a", 2, 3, common[-1].hash, mine=True)
    theirs = chain("a", 3, 3, common[-1].hash)
    take(log, *lines([*common, *mine]))
    told = take(log, *lines([*common, *theirs]))
    assert told.forked == {"a": 3}
    assert told.new == {}
    assert ids(log) == ["a/1", "a/2"]
    assert not take(log, *lines([*common, *theirs])).is_news
    later = chain("a", 1, 6, theirs[-1].hash)
    assert take(log, *lines(later)).forked == {"a": 6}
    assert verify(log).is_sound


def test_e5_a_stub_that_is_another_ones_leaves_what_follows_apart(log: Log) -> None:
    common = chain("a", 1)
    mine = chain("a", 1, 2, common[-1].hash, mine=True)
    theirs = chain("a", 2, 2, common[-1].hash)
    take(log, *lines([*common, *mine]))
    take(log, event_line(common[0]), stub_line(theirs[0]), event_line(theirs[1]))
    assert ids(log) == ["a/1", "a/2"]
    take(log, *lines([*common, *theirs]))
    assert ids(log) == ["a/1"]


def test_texts_stand_beside_their_events(log: Log) -> None:
    held = {"name": commitment("Zoë", "5a")}
    one = event("a", 1, kind="person-named", body={"person": "p", "texts": held})
    text = text_line(TextLine("a", 1, "name", "Zoë", "5a"))
    assert take(log, event_line(one), text).texts == 1
    assert log.text("a/1", "name") == "Zoë"
    assert not take(log, event_line(one), text).is_news
    assert verify(log).is_sound


def test_texts_of_a_tail_are_seen_once_it_is_adopted(log: Log) -> None:
    common = chain("a", 1)
    held = {"note": commitment("theirs", "5a")}
    mine = event("a", 2, common[0].hash)
    theirs = event("a", 2, common[0].hash, body={"texts": held})
    take(log, *lines([*common, mine]))
    take(
        log,
        *lines([*common, theirs]),
        text_line(TextLine("a", 2, "note", "theirs", "5a")),
        event_line(_adoption(theirs)),
    )
    assert log.text("a/2", "note") == "theirs"


def _adoption(tail: Event) -> Event:
    body = {"device": tail.device, "seq": tail.seq, "hash": tail.hash}
    made = replace(EVENT, device="b", seq=1, kind="fork-adopted", gesture="adopt", body=body)
    made = replace(made, prev=FIRST)
    return replace(made, hash=hash_of(made))


@pytest.mark.parametrize(
    "twist",
    [
        lambda some: [*some, b"{}"],
        lambda some: [*some, b""],
        lambda some: [*lines(chain("b", 1)), *some],
        lambda some: [*some, *lines(chain("Z", 1))],
        lambda some: [text_line(TextLine("a", 1, "note", "t", "s")), *some],
        lambda some: [*some, text_line(TextLine("a", 2, "note", "t", "s"))],
        lambda some: [*some, text_line(TextLine("a", 9, "note", "t", "s"))],
        lambda some: [some[0].replace(b'"kind":"looked"', b'"kind" :"looked"')],
        lambda some: [*some, *lines([replace(event("b", 1), gesture="a1")])],
        lambda some: [*some, *lines([replace(event("b", 1), prev="1" * 64)])],
    ],
)
def test_one_line_that_does_not_fit_refuses_the_whole(
    log: Log, twist: Callable[[list[bytes]], list[bytes]]
) -> None:
    mine = fill(log, 2)
    with pytest.raises(Doubtful) as told:
        take(log, *twist(lines(chain("a", 2))))
    assert "Nothing of it was taken in" in told.value.remedy
    assert log.read() == mine
    assert log.device == mine[0].device
