"""What leaves a machine, and what stays (rules T3, E6, P1)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain import gestures
from observe.domain.marks import DONE, INCORRECT
from observe.domain.troubles import BadInput, Refused, Surroundings
from observe.store.packet.container import opened
from observe.trust.signature import verified
from observe.work.packets import LEARNER, OBSERVER, Scope, send_plan, send_record
from observe.work.session import Room
from tests.work.machines import Desk, lead_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    desk = lead_desk(tmp_path)
    yield desk
    desk.logbook.close()


def text_of(packet: Path) -> bytes:
    """Everything that a packet holds, as one text."""
    with opened(packet) as one:
        return b"\n".join([one.manifest_bytes, *one.lines()])


def test_a_plan_holds_who_and_what_and_nothing_that_was_marked(lead: Desk) -> None:
    lead.watch(1, "o1", mark=INCORRECT, upto=3)
    packet = lead.plan_packet()
    held = text_of(packet)
    for said in (b"Lina One", b"Otto Two", b"Cleo", b"attempt-planned", b"workshop-planned"):
        assert said in held
    for silent in (b"mark-set", b"observation-opened", b"clock-started", b"incorrect"):
        assert silent not in held


def test_a_packet_names_whose_it_is(lead: Desk) -> None:
    packet = lead.packet("o2")
    with opened(packet) as one:
        signed = verified(one.manifest_bytes, one.signature, where="p")
        assert (one.manifest.by, one.manifest.name) == ("o2", "Ben")
        assert signed.name == "Ben"
        assert one.manifest.device == lead.logbook.log.device


def test_t3_an_open_packet_holds_nothing_of_an_attempt_that_not_all_have_sealed(
    lead: Desk,
) -> None:
    session = lead.watch(1, "o1", mark=INCORRECT)
    lead.seal(session)
    sent = send_record(lead.logbook, lead.workshop, lead.folder / "one.packet", by="o1")
    assert [seat.number for seat in sent.withheld] == [1, 2]
    held = text_of(sent.path)
    for silent in (b"incorrect", b"mark-set", b"overall-given", b"Seen by o1"):
        assert silent not in held
    assert b'"seal-told"' in held
    assert b'"kind":"sealed"' not in held


def test_what_was_sent_is_noted(lead: Desk) -> None:
    """The disclosure log: which packet, about whom, by whom."""
    lead.packet("o1", Scope(LEARNER, "l2"))
    (noted,) = lead.logbook.log.read(kinds=("packet-sent",))
    assert noted.by == "o1"
    assert (noted.body["kind"], noted.body["scope"], noted.body["of"]) == ("record", LEARNER, "l2")


@pytest.mark.parametrize("scope", [Scope(LEARNER, "o1"), Scope(OBSERVER, ""), Scope("room", "1")])
def test_a_scope_that_is_none_is_told(lead: Desk, scope: Scope) -> None:
    with pytest.raises(BadInput, match="no such"):
        lead.packet("o1", scope)
    assert [*lead.folder.glob("*.packet")] == []


def test_only_who_observes_writes_a_packet(lead: Desk) -> None:
    with pytest.raises(Refused):
        send_plan(lead.logbook, lead.workshop, lead.folder / "one.packet", by="l1")


def test_a_folder_that_cannot_be_written_is_told_and_nothing_is_noted(lead: Desk) -> None:
    with pytest.raises(Surroundings):
        send_plan(lead.logbook, lead.workshop, lead.folder / "none" / "one.packet", by="o1")
    assert lead.logbook.log.read(kinds=("packet-sent",)) == []


def test_t3_marks_moved_to_a_blind_attempt_do_not_leave_from_where_they_were(
    tmp_path: Path,
) -> None:
    lead = lead_desk(tmp_path, looks=1)
    blind = next(one for one in lead.workshop.seats if one.second)
    alone = next(one for one in lead.workshop.seats if not one.second)
    room = Room(lead.logbook, lead.workshop, "o1")
    by_seat = {one.seat.number: one for one in room.every}
    source, target = by_seat[alone.number], by_seat[blind.number]
    source.do(gestures.mark, source.state.steps[0].id, DONE)
    source.do(gestures.mark, source.state.steps[1].id, INCORRECT)
    room.move_marks(source, target)
    held = text_of(lead.packet("o1"))
    assert b'"incorrect"' not in held
    assert b"taken-back" not in held
    assert source.state.steps[0].id.encode() in held
    lead.logbook.close()
