"""A director's word and the observers' stand side by side, on every machine (rule D4)."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain import gestures
from observe.domain.decision import Outcome
from observe.domain.marks import INCORRECT
from observe.domain.troubles import Refused
from observe.work.debrief import AttemptResult, attempt_result, sign_decision, standing_signature
from observe.work.overruling import overrule
from observe.work.press import Press
from tests.work.machines import Desk, lead_desk, new_desk


@pytest.fixture
def lead(tmp_path: Path) -> Iterator[Desk]:
    """The first learner passed."""
    desk = lead_desk(tmp_path, looks=0)
    desk.seal(desk.watch(1, "o1"))
    yield desk
    desk.logbook.close()


def result_of(desk: Desk) -> AttemptResult:
    return attempt_result(desk.logbook, desk.workshop, desk.workshop.seats[0])


def say(
    desk: Desk, outcome: Outcome = Outcome.REMEDIATE, *, by: str = "o3", why: str = "Film."
) -> None:
    seat = desk.workshop.seats[0]
    overrule(desk.logbook, desk.workshop, seat, outcome, reason=why, by=by)


def test_d4_both_stay(lead: Desk) -> None:
    say(lead)
    found = result_of(lead)
    assert (found.outcome, found.decided) == (Outcome.REMEDIATE, Outcome.PASS)
    assert found.sentence == (
        "Overruled by Cleo: Film. Decided was pass: Every line of the rule is met."
    )


def test_d4_what_was_signed_has_to_be_signed_anew(lead: Desk) -> None:
    sign_decision(lead.logbook, lead.workshop, result_of(lead), by="o1")
    assert standing_signature(lead.logbook, result_of(lead)) is not None
    say(lead)
    assert standing_signature(lead.logbook, result_of(lead)) is None
    say(lead, Outcome.REMEDIATE, by="o2")
    sign_decision(lead.logbook, lead.workshop, result_of(lead), by="o2")
    assert standing_signature(lead.logbook, result_of(lead)) is not None


def test_d4_an_overruling_falls_with_what_it_rested_on(lead: Desk) -> None:
    say(lead)
    session = lead.session(1, "o1")
    session.do(gestures.amend_step, session.state.steps[0].id, INCORRECT, reason="Seen again.")
    assert result_of(lead).overruled is None


def test_d4_it_is_the_same_on_another_machine_and_contrary_ones_count_for_nothing(
    lead: Desk, tmp_path: Path
) -> None:
    other = new_desk(tmp_path, "other")
    other.take(lead.packet("o1"))
    say(lead)
    lead_packet = lead.packet("o1")
    other.take(lead_packet)
    assert other.digest == lead.digest
    third = new_desk(tmp_path, "third")
    third.take(lead.sent[0])
    say(third, by="o2", why="No.")
    lead.take(third.packet("o2"))
    assert result_of(lead).outcome is Outcome.REMEDIATE  # Two who say the same agree.
    for desk in (other, third):
        desk.logbook.close()


def test_d4_the_sheet_says_both(lead: Desk, tmp_path: Path) -> None:
    say(lead, why="The film shows the field broken.")
    sign_decision(lead.logbook, lead.workshop, result_of(lead), by="o1")
    path = Press(lead.logbook, lead.workshop, tmp_path).issue(result_of(lead), by="o1")
    said = subprocess.run(["pdftotext", str(path), "-"], capture_output=True, text=True, check=True)
    text = " ".join(said.stdout.split())
    assert "Overruled by Cleo: The film shows the field broken." in text
    assert "Decided was pass" in text


@pytest.mark.parametrize(("by", "why"), [("o1", "Film."), ("l1", "Film."), ("o3", " ")])
def test_who_may_not_and_without_a_reason_nothing_is_kept(lead: Desk, by: str, why: str) -> None:
    with pytest.raises(Refused):
        say(lead, by=by, why=why)
    assert lead.logbook.log.read(kinds=("overruled",)) == []
