"""What waits for a person before it counts."""

from __future__ import annotations

from pathlib import Path

from observe.domain.marks import INCORRECT
from observe.work.debrief import attempt_result, sign_decision
from observe.work.wanted import wanted
from tests.work.machines import copy_of, lead_desk


def test_nothing_waits_at_first(tmp_path: Path) -> None:
    desk = lead_desk(tmp_path)
    assert wanted(desk.logbook).count == 0
    desk.logbook.close()


def test_a_dispute_a_fork_and_what_was_signed_wait(tmp_path: Path) -> None:
    desk = lead_desk(tmp_path)
    copy = copy_of(desk, tmp_path)
    seat = desk.workshop.seats[0]
    desk.seal(desk.watch(1, seat.first))
    desk.seal(desk.watch(1, seat.second, mark=INCORRECT))
    sign_decision(
        desk.logbook, desk.workshop, attempt_result(desk.logbook, desk.workshop, seat), by="o3"
    )
    found = wanted(desk.logbook)
    assert [result.seat.number for _, result in found.disputes] == [1]
    assert found.overtaken == ()
    copy.watch(2, "o1", upto=2)
    desk.take(copy.packet("o1"))
    found = wanted(desk.logbook)
    assert len(found.tails) == 2
    assert found.count == 1  # what was marked after the fork does not count yet
    for one in (desk, copy):
        one.logbook.close()
