"""Unplanned learners and attempts joined by a person (rule E7)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain import gestures
from observe.domain.decision import Outcome
from observe.domain.marks import INCORRECT
from observe.domain.troubles import Refused
from observe.work.agree import agreement
from observe.work.debrief import attempt_result
from observe.work.linking import attempt_pairs, learner_pairs, link_attempts, link_learners
from observe.work.planning import Person
from observe.work.seating import Late, add_late
from tests.work.machines import Desk, lead_desk, new_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    """Two machines took in the same latecomer, under two ids; the lead's knows of both."""
    lead = lead_desk(tmp_path, looks=0)
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    for desk, learner, observer in ((lead, "x1", "o1"), (other, "x2", "o2")):
        add_late(
            desk.logbook,
            desk.workshop,
            Late(Person(learner, "Late  Comer"), "sitting"),
            by=observer,
        )
        seat = desk.workshop.seats[-1].number
        session = desk.session(seat, observer)
        session.do(gestures.start_clock)
        desk.seal(desk.watch(seat, observer))
    lead.take(other.packet("o2"))
    other.logbook.close()
    yield lead
    lead.logbook.close()


def joined(desk: Desk) -> None:
    """Both joined, as a person would: the learner first, then the attempt."""
    (pair,) = learner_pairs(desk.logbook, desk.workshop)
    link_learners(desk.logbook, desk.workshop, pair.other.learner, pair.kept.learner, by="o1")
    (again,) = attempt_pairs(desk.logbook, desk.workshop)
    link_attempts(desk.logbook, desk.workshop, again.other, again.kept, by="o1")


def test_e7_learners_of_one_name_are_offered_and_joined(lead: Desk) -> None:
    (pair,) = learner_pairs(lead.logbook, lead.workshop)
    assert "Late" in pair.why
    before = len(lead.workshop.seats)
    link_learners(lead.logbook, lead.workshop, pair.other.learner, pair.kept.learner, by="o1")
    same = [seat for seat in lead.workshop.seats if seat.learner == pair.kept.learner]
    assert sorted(seat.ordinal for seat in same) == [1, 2]
    assert len(lead.workshop.seats) == before
    assert learner_pairs(lead.logbook, lead.workshop) == ()


def test_e7_two_attempts_that_were_one_have_two_looks(lead: Desk, tmp_path: Path) -> None:
    number = len(lead.workshop.seats)
    joined(lead)
    assert len(lead.workshop.seats) == number - 1
    (seat,) = [one for one in lead.workshop.seats if one.linked]
    result = attempt_result(lead.logbook, lead.workshop, seat)
    assert len(result.reveals) == 2
    assert result.outcome is Outcome.PASS
    assert {one.observation.observer for one in result.reveals} == {"o1", "o2"}
    third = new_desk(tmp_path, "third")
    third.take(lead.packet("o1"))
    assert third.digest == lead.digest
    third.logbook.close()


def test_t4_what_was_joined_on_the_day_is_no_planned_second_look(lead: Desk) -> None:
    joined(lead)
    assert agreement(lead.logbook, lead.workshop).planned == 0


def test_an_amendment_of_a_joined_observation_belongs_to_its_own_attempt(lead: Desk) -> None:
    joined(lead)
    (seat,) = [one for one in lead.workshop.seats if one.linked]
    session = lead.session(seat.number, seat.second)
    step = session.state.steps[0].id
    session.do(gestures.amend_step, step, INCORRECT, reason="The film shows it.")
    event = lead.logbook.log.read(observation=session.state.id)[-1]
    assert event.attempt == dict(seat.linked)[seat.second]


def test_what_cannot_be_one_is_refused(lead: Desk) -> None:
    first, second, *_ = lead.workshop.seats
    with pytest.raises(Refused, match="cannot be one attempt"):
        link_attempts(lead.logbook, lead.workshop, first, second, by="o1")
    for pair in (("l1", "l1"), ("l1", "nobody")):
        with pytest.raises(Refused, match="not two learners"):
            link_learners(lead.logbook, lead.workshop, *pair, by="o1")
    with pytest.raises(Refused, match="named person"):
        link_learners(lead.logbook, lead.workshop, "l1", "l2", by="")
    link_learners(lead.logbook, lead.workshop, "x2", "x1", by="o1")
    with pytest.raises(Refused, match="joined to this learner already"):
        link_learners(lead.logbook, lead.workshop, "x1", "l1", by="o1")


def test_t3_attempts_are_joined_after_the_seals(tmp_path: Path) -> None:
    desk = lead_desk(tmp_path, looks=0)
    for learner, observer in (("x1", "o1"), ("x2", "o2")):
        add_late(
            desk.logbook, desk.workshop, Late(Person(learner, "Late Comer"), "sitting"), by=observer
        )
        desk.watch(len(desk.workshop.seats), observer, upto=2)
    link_learners(desk.logbook, desk.workshop, "x2", "x1", by="o1")
    one, other = desk.workshop.seats[-2:]
    with pytest.raises(Refused, match="all who watched have sealed"):
        link_attempts(desk.logbook, desk.workshop, other, one, by="o1")
    desk.logbook.close()
