"""What a packet carries: what fits, stubs between, tails after their chain (rules E5, E6)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.store.log import Log
from observe.store.merging import taking_in
from observe.store.outgoing import lines
from observe.store.packet.lines import EventLine, StubLine, TextLine, event_line, read_line
from tests.store.builders import a_mark, a_name, append
from tests.store.test_standing import chain


@pytest.fixture
def log(tmp_path: Path) -> Iterator[Log]:
    with Log.open(tmp_path / "logbook.observe", create=True) as opened:
        yield opened


def kinds(log: Log, *steps: str) -> list[str]:
    """What the lines of a packet of some steps are, in short."""
    short = {EventLine: "event", StubLine: "stub", TextLine: "text"}
    carried = lines(log, lambda one: one.body.get("step") in steps, workshops=("w1",))
    return [short[type(read_line(line))] for line in carried]


def test_what_is_withheld_between_leaves_a_stub_and_at_the_ends_none(log: Log) -> None:
    for step in "abcde":
        append(log, a_mark(step))
    assert kinds(log, "b", "d") == ["event", "stub", "event"]
    assert kinds(log, *"abcde") == ["event"] * 5
    assert kinds(log) == []


def test_texts_follow_their_event(log: Log) -> None:
    append(log, a_name())
    carried = [read_line(one) for one in lines(log, lambda _: True, workshops=())]
    assert [type(one) for one in carried] == [EventLine, TextLine]


def test_a_packet_of_one_workshop_does_not_look_at_another(log: Log) -> None:
    append(log, a_mark("a"))
    assert [*lines(log, lambda _: True, workshops=("w2",))] == []


def test_e5_tails_travel_so_that_others_learn_of_the_fork(log: Log, tmp_path: Path) -> None:
    common = chain("a", 2)
    tails = [chain("a", 2, 3, common[-1].hash, n=number) for number in range(3)]
    for tail in tails:
        with taking_in(log) as taking:
            taking.take_in([event_line(one) for one in (*common, *tail)])
    carried = [*lines(log, lambda _: True, workshops=("w",))]
    assert len(carried) == 8
    with Log.open(tmp_path / "other.observe", create=True) as other:
        with taking_in(other) as taking:
            taking.take_in(carried)
        assert other.read() == log.read() == common


def test_e5_a_part_of_a_record_carries_no_tail(log: Log) -> None:
    common = chain("a", 2)
    tails = [chain("a", 2, 3, common[-1].hash, n=number) for number in range(2)]
    for tail in tails:
        with taking_in(log) as taking:
            taking.take_in([event_line(one) for one in (*common, *tail)])
    carried = [*lines(log, lambda _: True, workshops=("w",), tails=False)]
    assert carried == [event_line(one) for one in common]
