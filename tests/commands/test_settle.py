"""`observe settle`: what waits, and what a named person says of it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.commands.main import run
from observe.domain import gestures
from observe.domain.decision import Outcome
from observe.domain.marks import INCORRECT
from observe.work.debrief import attempt_result
from observe.work.planning import Person
from observe.work.seating import Late, add_late
from tests.work.machines import Desk, lead_desk, new_desk

Out = pytest.CaptureFixture[str]


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    desk = lead_desk(tmp_path)
    yield desk
    desk.logbook.close()


def settle(desk: Desk, deed: str, *more: str) -> int:
    return run(["settle", deed, str(desk.logbook.path), *more])


def test_nothing_waits_at_first(lead: Desk, capsys: Out) -> None:
    assert settle(lead, "list") == 0
    assert capsys.readouterr().out == "Nothing waits for anybody.\n"


def test_t1_a_third_person_rules(lead: Desk, capsys: Out) -> None:
    seat = lead.workshop.seats[0]
    lead.seal(lead.watch(1, seat.first))
    lead.seal(lead.watch(1, seat.second, mark=INCORRECT))
    assert settle(lead, "list", "--json") == 1
    assert json.loads(capsys.readouterr().out)["to_adjudicate"] == [seat.attempt]
    ruling = ["ruling", seat.attempt[:8], "--outcome", "pass", "--reason", "Both were asked."]
    assert settle(lead, *ruling, "--by", "Dr Rhea Sol") == 2
    assert "no interest" in capsys.readouterr().err
    assert settle(lead, *ruling, "--no-conflict", "--by", "Anna") == 2
    assert "watched" in capsys.readouterr().err
    assert settle(lead, *ruling, "--no-conflict", "--by", "Dr Rhea Sol") == 0
    assert settle(lead, "list") == 0


def test_e7_learners_and_attempts_are_joined(tmp_path: Path, capsys: Out) -> None:
    lead, other = lead_desk(tmp_path, looks=0), new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    for desk, observer in ((lead, "o1"), (other, "o2")):
        add_late(
            desk.logbook, desk.workshop, Late(Person("", "Late Comer"), "sitting"), by=observer
        )
        number = desk.workshop.seats[-1].number
        desk.session(number, observer).do(gestures.start_clock)
        desk.seal(desk.watch(number, observer))
    lead.take(other.packet("o2"))
    settle(lead, "list", "--json")
    (pair,) = json.loads(capsys.readouterr().out)["maybe_one_learner"]
    assert settle(lead, "learner", pair["kept"], pair["other"], "--by", "Anna", "--json") == 0
    (pair,) = json.loads(capsys.readouterr().out)["maybe_one_attempt"]
    assert settle(lead, "attempt", pair["kept"], pair["other"], "--by", "Anna") == 0
    assert capsys.readouterr().out == "Nothing waits for anybody.\n"
    for desk in (lead, other):
        desk.logbook.close()


def test_t5_the_marks_of_one_machine_are_chosen(tmp_path: Path, capsys: Out) -> None:
    lead, other = lead_desk(tmp_path, looks=0), new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    for desk in (lead, other):
        desk.watch(1, "o1", upto=2)
    lead.take(other.packet("o1"))
    attempt = lead.workshop.seats[0].attempt
    device = other.logbook.log.device
    assert settle(lead, "list") == 1
    assert device in capsys.readouterr().out
    assert settle(lead, "writer", attempt, "Anna", device[:8], "--by", "Cleo") == 0
    assert settle(lead, "list") == 0
    for desk in (lead, other):
        desk.logbook.close()


def test_t2_a_second_look_is_given_up_and_taken_back_in(lead: Desk, capsys: Out) -> None:
    attempt = lead.workshop.seats[0].attempt
    lead.seal(lead.watch(1, "o1"))
    assert settle(lead, "list") == 0
    assert "a person gives it up" in capsys.readouterr().out
    reason = ["--reason", "Ben fell ill.", "--by", "Cleo"]
    assert settle(lead, "drop", attempt, *reason) == 0
    assert not lead.workshop.seats[0].second
    assert settle(lead, "restore", attempt, *reason) == 0
    assert lead.workshop.seats[0].second


@pytest.mark.parametrize("named", ["a-", "nothing", " "])
def test_an_id_that_fits_none_or_several_is_told(lead: Desk, named: str, capsys: Out) -> None:
    people = dict(lead.logbook.names())
    assert settle(lead, "drop", named, "--reason", "Ill.", "--by", "Somebody New") == 2
    assert "settle list" in capsys.readouterr().err
    assert lead.logbook.names() == people


def test_d4_a_decision_is_overruled_and_e3_two_attempts_exchanged(
    tmp_path: Path, capsys: Out
) -> None:
    lead = lead_desk(tmp_path, looks=0)
    for number in (1, 2):
        lead.seal(lead.watch(number, "o1"))
    one, other = (seat.attempt for seat in lead.workshop.seats)
    reason = ["--reason", "The film shows it."]
    to = ["--outcome", "remediate", *reason]
    assert settle(lead, "overrule", one, *to, "--by", "Anna") == 2
    assert "does not overrule" in capsys.readouterr().err
    assert settle(lead, "overrule", one, *to, "--by", "Dr Rhea Sol") == 0
    seat = lead.workshop.seats[0]
    result = attempt_result(lead.logbook, lead.workshop, seat)
    assert result.outcome is Outcome.REMEDIATE
    assert settle(lead, "exchange", one, other, *reason, "--by", "Dr Rhea Sol") == 0
    assert lead.workshop.seats[0].learner == "l2"
    lead.logbook.close()
