"""A second look that nobody will take does not hold an attempt up for good (rule T2)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain.decision import Outcome
from observe.domain.troubles import Refused
from observe.work.agree import agreement
from observe.work.debrief import attempt_result
from observe.work.dropping import drop_look, droppable, held_up, restore_look
from observe.work.planning import Person
from observe.work.seating import Late, add_late
from observe.work.strays import strays
from tests.work.machines import Desk, lead_desk, new_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    desk = lead_desk(tmp_path)
    yield desk
    desk.logbook.close()


def drop(desk: Desk, *, reason: str = "Ben fell ill.", by: str = "o3") -> None:
    drop_look(desk.logbook, desk.workshop, desk.workshop.seats[0], reason=reason, by=by)


def outcome(desk: Desk) -> Outcome | None:
    return attempt_result(desk.logbook, desk.workshop, desk.workshop.seats[0]).outcome


def test_t2_what_waits_for_a_second_look_is_named(lead: Desk) -> None:
    assert [*held_up(lead.logbook, lead.workshop)] == []
    lead.seal(lead.watch(1, "o1"))
    assert [seat.number for seat, _ in held_up(lead.logbook, lead.workshop)] == [1]


def test_t2_an_attempt_is_decided_by_its_one_observer_once_the_look_is_given_up(
    lead: Desk, tmp_path: Path
) -> None:
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    lead.seal(lead.watch(1, "o1"))
    assert outcome(lead) is None
    drop(lead)
    assert outcome(lead) is Outcome.PASS
    assert lead.workshop.seats[0].dropped
    other.take(lead.packet("o1"))
    assert outcome(other) is Outcome.PASS
    assert other.digest == lead.digest
    other.logbook.close()


def test_t2_a_record_that_comes_after_all_is_kept_and_taken_back_in(
    lead: Desk, tmp_path: Path
) -> None:
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    watcher = lead.workshop.seats[0].second
    other.seal(other.watch(1, watcher))
    lead.seal(lead.watch(1, "o1"))
    drop(lead)
    other.take(lead.packet("o1"))
    lead.take(other.packet(watcher))
    (stray,) = strays(lead.logbook, lead.workshop)
    assert stray.given_up
    seat = lead.workshop.seats[0]
    restore_look(lead.logbook, lead.workshop, seat, reason="It came.", by="o3")
    assert [*strays(lead.logbook, lead.workshop)] == []
    assert len(attempt_result(lead.logbook, lead.workshop, lead.workshop.seats[0]).reveals) == 2
    other.logbook.close()


def test_a_look_that_was_begun_and_never_sealed_is_given_up_with_its_marks_kept(
    lead: Desk,
) -> None:
    seat = lead.workshop.seats[0]
    lead.watch(1, seat.second, upto=2)
    lead.seal(lead.watch(1, "o1"))
    drop(lead)
    assert outcome(lead) is Outcome.PASS
    (stray,) = strays(lead.logbook, lead.workshop)
    assert (stray.marks, stray.given_up) == (2, True)


def test_a_look_that_is_sealed_is_not_given_up(lead: Desk) -> None:
    seat = lead.workshop.seats[0]
    lead.seal(lead.watch(1, seat.second))
    assert not droppable(lead.logbook, seat)
    with pytest.raises(Refused, match="could be given up"):
        drop(lead)


def test_e7_a_look_that_came_by_planning_twice_is_given_up_too(lead: Desk, tmp_path: Path) -> None:
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    known = Late(Person("again", "Known Before"), "sitting")
    for desk, observer in ((lead, "o1"), (other, "o2")):
        add_late(desk.logbook, desk.workshop, known, by=observer)
    other.watch(3, "o2", upto=1)
    lead.seal(lead.watch(3, "o1"))
    lead.take(other.packet("o2"))
    seat = lead.workshop.seats[2]
    assert len(seat.observers) == 2
    assert [(one.number, who) for one, who in held_up(lead.logbook, lead.workshop)] == [(3, "o2")]
    drop_look(lead.logbook, lead.workshop, seat, reason="Left.", by="o3")
    seat = lead.workshop.seats[2]
    assert (seat.observers, seat.dropped) == (("o1",), "o2")
    assert attempt_result(lead.logbook, lead.workshop, seat).outcome is Outcome.PASS
    restore_look(lead.logbook, lead.workshop, seat, reason="Here after all.", by="o3")
    assert {*lead.workshop.seats[2].observers} == {"o1", "o2"}
    other.logbook.close()


@pytest.mark.parametrize(("reason", "by"), [(" ", "o3"), ("Ill.", ""), ("Ill.", "l1")])
def test_it_takes_a_named_person_who_is_no_learner_and_a_reason(
    lead: Desk, reason: str, by: str
) -> None:
    with pytest.raises(Refused):
        drop(lead, reason=reason, by=by)


def test_nothing_that_was_not_given_up_is_taken_back_in(lead: Desk) -> None:
    seat = lead.workshop.seats[0]
    with pytest.raises(Refused, match="No second look"):
        restore_look(lead.logbook, lead.workshop, seat, reason="It came.", by="o3")


def test_t3_who_saw_the_others_decision_does_not_take_up_the_look_again(
    lead: Desk, tmp_path: Path
) -> None:
    watcher = lead.workshop.seats[0].second
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    other.watch(1, watcher, upto=3)
    lead.seal(lead.watch(1, "o1"))
    drop(lead)
    other.take(lead.packet("o1"))
    seat = other.workshop.seats[0]
    assert len(attempt_result(other.logbook, other.workshop, seat).reveals) == 1
    for by in (watcher, "o3"):
        with pytest.raises(Refused, match="would not be their own"):
            restore_look(other.logbook, other.workshop, seat, reason="Well again.", by=by)
    other.logbook.close()


def test_t4_a_look_that_was_given_up_and_taken_back_in_feeds_no_agreement(
    lead: Desk, tmp_path: Path
) -> None:
    watcher = lead.workshop.seats[0].second
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    other.seal(other.watch(1, watcher))
    lead.seal(lead.watch(1, "o1"))
    before = agreement(lead.logbook, lead.workshop).planned
    drop(lead)
    lead.take(other.packet(watcher))
    seat = lead.workshop.seats[0]
    restore_look(lead.logbook, lead.workshop, seat, reason="It came.", by="o3")
    assert lead.workshop.seats[0].second == watcher
    assert not lead.workshop.seats[0].is_second_planned
    assert agreement(lead.logbook, lead.workshop).planned == before - 1
    other.logbook.close()
