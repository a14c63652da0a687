"""A third person decides, and what they decided is explained on every machine (rule T1)."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain import gestures
from observe.domain.adjudication import Ruling
from observe.domain.decision import Outcome
from observe.domain.events import Draft
from observe.domain.marks import INCORRECT
from observe.domain.pairing import Joint
from observe.domain.troubles import Refused
from observe.work.adjudicating import adjudicate, needs_adjudication, waiting
from observe.work.debrief import AttemptResult, attempt_result, sign_decision
from observe.work.press import Press
from tests.work.machines import Desk, lead_desk, new_desk

PASS = Ruling(Outcome.PASS, frozenset(), frozenset(), "", "o9")


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    desk = lead_desk(tmp_path)
    yield desk
    desk.logbook.close()


def opposite(desk: Desk) -> AttemptResult:
    """Two observers who decided opposite ways on the first learner."""
    seat = desk.workshop.seats[0]
    desk.seal(desk.watch(1, seat.first))
    desk.seal(desk.watch(1, seat.second, mark=INCORRECT))
    return result_of(desk)


def result_of(desk: Desk) -> AttemptResult:
    return attempt_result(desk.logbook, desk.workshop, desk.workshop.seats[0])


def rule(desk: Desk, ruling: Ruling = PASS, *, reason: str = "Both were asked.") -> None:
    seat = desk.workshop.seats[0]
    adjudicate(desk.logbook, desk.workshop, seat, ruling, reason=reason, no_conflict=True)


def test_t1_what_a_third_person_ruled_is_the_decision_on_every_machine(
    lead: Desk, tmp_path: Path
) -> None:
    before = opposite(lead)
    assert needs_adjudication(before)
    assert [one.seat for one in waiting(lead.logbook, lead.workshop)] == [before.seat]
    rule(lead)
    found = result_of(lead)
    assert found.outcome is Outcome.PASS
    assert found.pairing is not None
    assert found.pairing.joint is Joint.RULED
    assert waiting(lead.logbook, lead.workshop) == ()
    other = new_desk(tmp_path, "other")
    other.take(lead.packet("o1"))
    assert result_of(other).outcome is Outcome.PASS
    assert other.digest == lead.digest
    other.logbook.close()


def test_t1_a_ruling_falls_with_what_it_rested_on(lead: Desk) -> None:
    opposite(lead)
    rule(lead)
    session = lead.session(1, "o1")
    step = session.state.steps[0].id
    session.do(gestures.amend_step, step, INCORRECT, reason="The film shows it.")
    assert needs_adjudication(result_of(lead))
    rule(lead)
    assert result_of(lead).outcome is Outcome.PASS


def test_a_ruling_has_a_reason_and_comes_from_nobody_who_watched(lead: Desk) -> None:
    opposite(lead)
    with pytest.raises(Refused, match="reason"):
        rule(lead, reason="  ")
    with pytest.raises(Refused, match="watched"):
        rule(lead, Ruling(Outcome.PASS, frozenset(), frozenset(), "", "o1"))
    assert lead.logbook.log.read(kinds=("adjudicated",)) == []


def test_d4_a_ruling_is_signed_like_any_decision(lead: Desk) -> None:
    opposite(lead)
    rule(lead)
    event = sign_decision(lead.logbook, lead.workshop, result_of(lead), by="o9")
    assert event.body["outcome"] == "pass"


@pytest.mark.outside("pdftotext")
def test_d4_the_sheet_says_that_a_third_person_ruled(lead: Desk, tmp_path: Path) -> None:
    opposite(lead)
    rule(lead)
    result = result_of(lead)
    sign_decision(lead.logbook, lead.workshop, result, by="o9")
    sheet = Press(lead.logbook, lead.workshop, tmp_path).issue(result, by="o9")
    told = subprocess.run(
        ["pdftotext", "-layout", str(sheet), "-"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert "A third person ruled: pass." in " ".join(told.split())


def test_t1_no_learner_of_the_workshop_rules_not_even_through_a_packet(
    lead: Desk, tmp_path: Path
) -> None:
    opposite(lead)
    for learner in ("l1", "l2"):
        with pytest.raises(Refused, match="or made it"):
            rule(lead, Ruling(Outcome.PASS, frozenset(), frozenset(), "", learner))
    rule(lead)
    (event,) = lead.logbook.log.read(kinds=("adjudicated",))
    draft = Draft("adjudicated", event.body, event.workshop, event.attempt, by="l1")
    (tmp_path / "home").mkdir()
    other = lead_desk(tmp_path / "home")
    opposite(other)
    other.logbook.append([draft])
    assert needs_adjudication(result_of(other))
    other.logbook.close()


def test_t1_two_who_rule_against_each_other_rule_nothing_until_a_person_chooses(
    lead: Desk, tmp_path: Path
) -> None:
    opposite(lead)
    other = new_desk(tmp_path, "other")
    other.take(lead.packet("o1"))
    rule(lead)
    rule(other, Ruling(Outcome.REMEDIATE, frozenset(), frozenset(), "", "o8"))
    lead.take(other.packet("o1"))
    found = result_of(lead)
    assert needs_adjudication(found)
    assert found.ruling is None
    assert "ruled on it differently" in found.sentence
    rule(lead, Ruling(Outcome.REMEDIATE, frozenset(), frozenset(), "", "o9"))
    assert result_of(lead).outcome is Outcome.REMEDIATE
    other.take(lead.packet("o1"))
    assert result_of(other).outcome is Outcome.REMEDIATE
    assert other.digest == lead.digest
    other.logbook.close()
