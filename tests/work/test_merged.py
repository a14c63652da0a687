"""What a merge tells people and programs."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain import gestures
from observe.domain.decision import Outcome
from observe.domain.marks import DONE
from observe.work.debrief import attempt_result
from observe.work.packets import LEARNER, Scope
from observe.work.planning import Person
from observe.work.seating import Late, add_late
from tests.work.machines import Desk, lead_desk, new_desk

KNOWN = Person("again", "Known Before")


@pytest.fixture
def two(tmp_path: Path) -> Iterator[tuple[Desk, Desk]]:
    lead, other = lead_desk(tmp_path, looks=0), new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    yield lead, other
    for desk in (lead, other):
        desk.logbook.close()


def late(desk: Desk, observer: str, learner: Person, *, at: int = 0) -> None:
    """Somebody who comes late is added, watched and sealed."""
    desk.machine.seconds += at
    add_late(desk.logbook, desk.workshop, Late(learner, "sitting"), by=observer)
    seat = desk.workshop.seats[-1].number
    desk.session(seat, observer).do(gestures.start_clock)
    desk.seal(desk.watch(seat, observer))


def test_e7_one_learner_added_on_two_machines_is_one_attempt_with_two_looks(
    two: tuple[Desk, Desk],
) -> None:
    lead, other = two
    late(lead, "o1", KNOWN)
    late(other, "o2", KNOWN)
    (told,) = lead.take(other.packet("o2"))
    (seat,) = told.joined
    assert (seat.learner, {*seat.observers}) == ("again", {"o1", "o2"})
    assert not seat.is_second_planned
    assert any("on two machines: one attempt with two looks" in one for one in told.sentences)
    other.take(lead.packet("o1"))
    lead.take(other.packet("o2"))
    assert lead.digest == other.digest
    result = attempt_result(lead.logbook, lead.workshop, lead.workshop.seat_of(seat.attempt))
    assert (len(result.reveals), result.outcome) == (2, Outcome.PASS)
    assert told.as_record()["joined_attempts"] == [seat.attempt]


def test_e7_learners_who_may_be_one_are_told_with_what_follows(two: tuple[Desk, Desk]) -> None:
    lead, other = two
    late(lead, "o1", Person("", "Late Comer"))
    late(other, "o2", Person("", "Late Comer"))
    (told,) = lead.take(other.packet("o2"))
    assert told.waits
    (pair,) = told.as_record()["maybe_one_learner"]
    assert "Late Comer" in pair["why"]
    assert any("neither observer is blind" in one for one in told.sentences)


def test_what_is_lacking_after_one_learners_packet_is_told(lead_packet: tuple[Desk, Path]) -> None:
    desk, packet = lead_packet
    (told,) = desk.take(packet)
    assert told.lacks == (
        "Skills afternoon: 1 attempt of its plan did not come. Take the plan packet in.",
    )
    assert told.lacks[0] in told.sentences
    assert told.as_record()["lacks"] == [*told.lacks]


@pytest.fixture
def lead_packet(two: tuple[Desk, Desk], tmp_path: Path) -> Iterator[tuple[Desk, Path]]:
    third = new_desk(tmp_path, "third")
    yield third, two[0].packet("o1", Scope(LEARNER, "l1"))
    third.logbook.close()


def test_e2_clocks_started_apart_are_told_by_name_and_not_judged(tmp_path: Path) -> None:
    lead, other = lead_desk(tmp_path), new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    watcher = lead.workshop.seats[0].second
    other.machine.seconds += 400
    for desk, observer in ((lead, "o1"), (other, watcher)):
        desk.session(1, observer).do(gestures.start_clock)
        desk.seal(desk.watch(1, observer))
    other.take(lead.packet("o1"))
    (told,) = lead.take(other.packet(watcher))
    (starts,) = told.starts
    assert starts.seconds == pytest.approx(400, abs=5)
    name = lead.logbook.names()[watcher]
    said = next(one for one in told.sentences if "started the clock" in one)
    assert said.startswith(f"Anna and {name} started the clock of seat 1 ")
    assert "one began later, or the clocks differ" in said
    assert told.ahead_s > 60
    for desk in (lead, other):
        desk.logbook.close()


def test_a_dry_run_says_that_nothing_was_kept(two: tuple[Desk, Desk]) -> None:
    lead, other = two
    lead.watch(1, "o1", upto=2, mark=DONE)
    (told,) = other.try_out(lead.packet("o1"))
    assert told.sentences[-1] == "Nothing was kept: this was a dry run."
    assert told.as_record()["kept"] is False
