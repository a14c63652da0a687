"""Attempts recorded for each other's learners: exchanged, signed anew, superseded (rule E3)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain.decision import Outcome
from observe.domain.marks import INCORRECT
from observe.domain.troubles import Refused
from observe.work.debrief import attempt_result, sign_decision, standing_signature
from observe.work.issued import changes_since, issued, latest
from observe.work.press import Press
from observe.work.reattributing import reattribute
from observe.work.verify import verify_file
from tests.work.machines import Desk, lead_desk, new_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    """Lina passed and Otto did not, as it was recorded."""
    desk = lead_desk(tmp_path, looks=0)
    desk.seal(desk.watch(1, "o1"))
    desk.seal(desk.watch(2, "o1", mark=INCORRECT))
    yield desk
    desk.logbook.close()


def exchange(desk: Desk, *, by: str = "o1", reason: str = "They had changed seats.") -> None:
    reattribute(desk.logbook, desk.workshop, *desk.workshop.seats, reason=reason, by=by)


def outcomes(desk: Desk) -> dict[str, Outcome | None]:
    return {
        desk.logbook.names()[seat.learner]: attempt_result(
            desk.logbook, desk.workshop, seat
        ).outcome
        for seat in desk.workshop.seats
    }


def test_e3_each_learner_has_what_they_did(lead: Desk) -> None:
    assert outcomes(lead) == {"Lina One": Outcome.PASS, "Otto Two": Outcome.REMEDIATE}
    exchange(lead)
    assert outcomes(lead) == {"Otto Two": Outcome.PASS, "Lina One": Outcome.REMEDIATE}
    assert [seat.number for seat in lead.workshop.seats] == [1, 2]


def test_e3_both_sheets_are_superseded_and_both_decisions_signed_anew(
    lead: Desk, tmp_path: Path
) -> None:
    press = Press(lead.logbook, lead.workshop, tmp_path / "sheets")
    old = []
    for seat in lead.workshop.seats:
        result = attempt_result(lead.logbook, lead.workshop, seat)
        sign_decision(lead.logbook, lead.workshop, result, by="o1")
        old.append(press.issue(result, by="o1"))
    exchange(lead)
    sheets = latest(issued(lead.logbook))
    for seat in lead.workshop.seats:
        (why,) = changes_since(lead.logbook, seat, sheets[seat.attempt])
        assert why == "the record was found to be another learner's"
        result = attempt_result(lead.logbook, lead.workshop, seat)
        assert standing_signature(lead.logbook, result) is None
        assert press.standing(seat) is None
        sign_decision(lead.logbook, lead.workshop, result, by="o1")
        Press(lead.logbook, lead.workshop, tmp_path / "sheets").issue(result, by="o1")
    for path in old:
        told = verify_file(path, logbook=lead.logbook)
        assert "superseded" in " ".join(told.sentences).lower()
    assert {one.revision for one in latest(issued(lead.logbook)).values()} == {2}


def test_e2_exchanged_on_two_machines_it_is_exchanged_once(lead: Desk, tmp_path: Path) -> None:
    other = new_desk(tmp_path, "other")
    other.take(lead.packet("o1"))
    exchange(lead)
    exchange(other, by="o2")
    lead.take(other.packet("o2"))
    other.take(lead.packet("o1"))
    assert other.digest == lead.digest
    assert outcomes(lead) == {"Otto Two": Outcome.PASS, "Lina One": Outcome.REMEDIATE}
    other.logbook.close()


def test_exchanged_back_it_is_as_it_was(lead: Desk) -> None:
    before = outcomes(lead)
    exchange(lead)
    exchange(lead)
    assert outcomes(lead) == before


@pytest.mark.parametrize(("by", "reason"), [("", "So."), ("l1", "So."), ("o1", " ")])
def test_it_takes_a_person_who_is_no_learner_and_a_reason(lead: Desk, by: str, reason: str) -> None:
    with pytest.raises(Refused):
        exchange(lead, by=by, reason=reason)


def test_before_the_seal_marks_are_moved_instead(tmp_path: Path) -> None:
    desk = lead_desk(tmp_path, looks=0)
    desk.seal(desk.watch(1, "o1"))
    desk.watch(2, "o1", upto=2)
    with pytest.raises(Refused, match="sealed"):
        exchange(desk)
    seat = desk.workshop.seats[0]
    with pytest.raises(Refused, match="same learner"):
        reattribute(desk.logbook, desk.workshop, seat, seat, reason="So.", by="o1")
    desk.logbook.close()
