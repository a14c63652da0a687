"""What waits, in sentences with names, and with ids where they are asked for."""

from __future__ import annotations

from pathlib import Path

from observe.domain.marks import INCORRECT
from observe.work.linking import link_learners
from observe.work.wanted import wanted
from observe.work.wanted_text import Telling, further, sentences
from tests.work.machines import copy_of, lead_desk, new_desk


def test_every_kind_of_waiting_is_a_sentence(tmp_path: Path) -> None:
    desk = lead_desk(tmp_path)
    seat = desk.workshop.seats[0]
    desk.seal(desk.watch(1, seat.first))
    desk.seal(desk.watch(1, seat.second, mark=INCORRECT))
    desk.seal(desk.watch(2, desk.workshop.seats[1].first))
    copy = copy_of(desk, tmp_path)
    desk.watch(2, desk.workshop.seats[1].second, upto=1)
    copy.watch(2, desk.workshop.seats[1].second, upto=1, mark=INCORRECT)
    desk.take(copy.packet("o1"))
    names = desk.logbook.names()
    fork, dispute = sentences(wanted(desk.logbook), Telling(names))
    assert fork.startswith("A fork: two machines wrote on as ")
    assert dispute.startswith("Skills afternoon, seat 1, Lina One: a third person decides.")
    fork, dispute = sentences(wanted(desk.logbook), Telling(names, ids=True))
    assert "Its tails: " in fork
    assert seat.attempt in dispute
    (held,) = further(wanted(desk.logbook), Telling(names))
    assert "a person gives it up" in held
    for one in (desk, copy):
        one.logbook.close()


def test_e7_what_one_said_against_another_is_told_and_waits_for_nobody(tmp_path: Path) -> None:
    lead, other = lead_desk(tmp_path, looks=0), new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    link_learners(lead.logbook, lead.workshop, "l1", "l2", by="o1")
    link_learners(other.logbook, other.workshop, "l2", "l1", by="o2")
    (told,) = lead.take(other.packet("o2"))
    assert not told.waits
    (said,) = sentences(told.waiting, Telling(lead.logbook.names()))
    assert "said that two learners are one" in said
    assert "it was not done" in said
    (record,) = told.as_record()["not_applied"]
    assert (record["kind"], record["by"] in {"o1", "o2"}) == ("same learner", True)
    for desk in (lead, other):
        desk.logbook.close()
