"""What was decided or issued, and is otherwise after new events (rules T1, D4)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain import gestures
from observe.domain.marks import INCORRECT
from observe.work.consequences import consequences, results, signed_otherwise
from observe.work.debrief import attempt_result, sign_decision
from observe.work.press import Press
from tests.work.machines import Desk, lead_desk, new_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    desk = lead_desk(tmp_path, looks=0)
    yield desk
    desk.logbook.close()


def test_what_another_machine_decided_is_told_when_it_comes(lead: Desk, tmp_path: Path) -> None:
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    other.seal(other.watch(1, "o1"))
    (told,) = lead.take(other.packet("o1"))
    (found,) = told.consequences
    assert (found.before, found.now, found.signed) == ("", "pass", ())
    place = "Skills afternoon, seat 1, Lina One"
    assert found.sentences == (f"{place}: now pass. Every line of the rule is met.",)
    assert told.as_record()["consequences"][0]["now"] == "pass"
    other.logbook.close()


def test_d4_what_was_issued_is_never_reversed_in_silence(lead: Desk, tmp_path: Path) -> None:
    session = lead.watch(1, "o1")
    lead.seal(session)
    seat = lead.workshop.seats[0]
    result = attempt_result(lead.logbook, lead.workshop, seat)
    sign_decision(lead.logbook, lead.workshop, result, by="o1")
    assert signed_otherwise(lead.logbook, result) == ()
    sheet = Press(lead.logbook, lead.workshop, tmp_path).issue(result, by="o1")
    printed = sheet.read_bytes()
    was = results(lead.logbook, [lead.workshop])
    for step in session.state.steps[:12]:
        session.do(gestures.amend_step, step.id, INCORRECT, reason="The film shows it.")
    now = results(lead.logbook, [lead.workshop])
    (found,) = consequences(lead.logbook, was, now, lead.logbook.names())
    assert (found.before, found.now) == ("pass", "remediate")
    (signed,) = found.signed
    assert (signed.was, signed.issued) == ("pass", 1)
    assert "signed as pass" in found.sentences[1]
    assert "revision 1, stays as it is" in found.sentences[1]
    assert sheet.read_bytes() == printed


def test_nothing_new_has_no_consequence(lead: Desk) -> None:
    lead.seal(lead.watch(1, "o1"))
    now = results(lead.logbook, [lead.workshop])
    assert consequences(lead.logbook, now, now, {}) == ()
