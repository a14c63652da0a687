"""Who holds what, what has not come, and what left (rules E6, P1)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain.events import Draft
from observe.work.debrief import attempt_result, sign_decision
from observe.work.packets import LEARNER, Scope
from observe.work.press import Press
from observe.work.records import Coming, Way, disclosures, holders, lacks, missing
from tests.work.machines import Desk, lead_desk, new_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    desk = lead_desk(tmp_path, looks=1)
    yield desk
    desk.logbook.close()


@pytest.fixture
def other(lead: Desk, tmp_path: Path) -> Iterator[Desk]:
    desk = new_desk(tmp_path, "other")
    desk.take(lead.plan_packet())
    yield desk
    desk.logbook.close()


def test_each_machine_is_named_with_who_wrote_on_it(lead: Desk, other: Desk) -> None:
    (seat,) = [one for one in lead.workshop.seats if one.second]
    other.seal(other.watch(seat.number, seat.second))
    lead.take(other.packet(seat.second))
    here, there = holders(lead.logbook)
    assert (here.here, there.here) == (True, False)
    assert there.device == other.logbook.log.device
    assert lead.logbook.names()[seat.second] in there.people
    assert there.sentences[-1] == "It has taken in all that was written here."


def test_what_the_other_machine_took_in_is_known_from_its_packet(lead: Desk, other: Desk) -> None:
    number = next(one.number for one in lead.workshop.seats if not one.second)
    lead.watch(number, "o1", upto=3)
    other.take(lead.packet("o1"))
    lead.take(other.packet("o2"))
    assert holders(lead.logbook)[1].told
    lead.watch(number, "o1", upto=1)
    found = holders(lead.logbook)[1]
    assert not found.told
    assert found.sentences[-1].startswith("As far as is known 1 event of this machine")


def test_e6_what_a_partial_packet_left_out_is_counted_as_not_there(lead: Desk, other: Desk) -> None:
    two_looks = next(one for one in lead.workshop.seats if one.second)
    alone = next(one for one in lead.workshop.seats if not one.second)
    lead.watch(two_looks.number, "o1", upto=4)
    lead.watch(alone.number, "o1", upto=2)
    other.take(lead.packet("o1", Scope(LEARNER, alone.learner)))
    lead.take(other.packet("o2"))
    before = holders(lead.logbook)[1].lack
    assert before > 4  # The other attempt, and notes of it that name its learner.
    other.take(lead.packet("o1"))
    lead.take(other.packet("o2"))
    assert 4 <= holders(lead.logbook)[1].lack < before  # Marks that stay until both sealed.


def test_what_has_not_come_is_listed_by_seat_and_observer(lead: Desk, other: Desk) -> None:
    (seat,) = [one for one in lead.workshop.seats if one.second]
    assert {one.how for one in missing(lead.logbook, lead.workshop)} == {Coming.NOTHING}
    lead.watch(seat.number, "o1", upto=2)
    other.seal(other.watch(seat.number, seat.second))
    lead.take(other.packet(seat.second))
    found = {
        (one.seat.number, one.observer): one.how for one in missing(lead.logbook, lead.workshop)
    }
    assert found[seat.number, "o1"] is Coming.BEGUN
    assert found[seat.number, seat.second] is Coming.WITHHELD
    assert found[3 - seat.number, "o1"] is Coming.NOTHING


def test_p1_what_was_handed_out_is_kept_with_about_whom_and_by_whom(
    lead: Desk, other: Desk, tmp_path: Path
) -> None:
    number = next(one.number for one in lead.workshop.seats if not one.second)
    lead.seal(lead.watch(number, "o1"))
    seat = lead.workshop.seats[number - 1]
    result = attempt_result(lead.logbook, lead.workshop, seat)
    sign_decision(lead.logbook, lead.workshop, result, by="o1")
    Press(lead.logbook, lead.workshop, tmp_path).issue(result, by="o1")
    lead.packet("o1", Scope(LEARNER, "l2"))
    sent, sheet, plan = disclosures(lead.logbook)
    assert (sent.way, sent.about, sent.by) == (Way.SENT, "Otto Two", "Anna")
    assert sent.sentence.startswith("Record packet of Otto Two, sent by Anna, at 09:")
    assert (sheet.way, sheet.kind) == (Way.ISSUED, "sheet")
    assert plan.as_record()["kind"] == "plan packet"
    (taken,) = disclosures(other.logbook)
    assert (taken.way, taken.digest) == (Way.TAKEN_IN, plan.digest)


def test_a_machine_says_what_it_lacks(lead: Desk, other: Desk) -> None:
    assert lacks(lead.logbook, lead.workshop) == ()
    assert lacks(other.logbook, other.workshop) == ()
    body = {"title": "T", "place": "", "date": "2026-03-02", "mode": "formative", "form": "00" * 32}
    plan = {**body, "scoring": "", "profile": [], "seed": "", "observers": ["o8"]}
    lead.logbook.append([Draft("workshop-planned", plan, workshop="w-new")])
    told = lacks(lead.logbook, lead.logbook.workshops()["w-new"])
    assert len(told) == 3
    assert "does not hold this form" in told[0]
    assert "o8" in told[1]
