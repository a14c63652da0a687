"""What waits for a person is decided on the page, by name (rules T1, E5, T5, E7)."""

from __future__ import annotations

from pathlib import Path

from observe.desk.records.page import Section
from observe.domain.adjudication import Ruling
from observe.domain.decision import Outcome
from observe.domain.marks import INCORRECT
from observe.work.adjudicating import adjudicate
from observe.work.debrief import attempt_result
from observe.work.retest import agree, agreed
from tests.desk.records.conftest import Opened
from tests.work.machines import Desk, copy_of, lead_desk, new_desk


def dispute(lead: Desk) -> None:
    seat = lead.workshop.seats[0]
    lead.seal(lead.watch(1, seat.first))
    lead.seal(lead.watch(1, seat.second, mark=INCORRECT))


def test_t1_a_third_person_rules_with_a_reason(lead: Desk, opened: Opened) -> None:
    dispute(lead)
    page = opened(lead)
    assert page.wanted.count == 1
    page.list.keys[0].click()
    panel = page.panel
    who, reason = panel.lines
    assert who.text() == "Anna"
    panel.keys["outcome", "pass"].click()
    panel.keys["conflict", "none"].click()
    reason.setText("Both were asked, and the film was watched.")
    panel.confirm_key.click()
    assert panel.trouble is not None  # Anna watched it herself.
    who.setText("Dr Rhea Sol")
    panel.confirm_key.click()
    result = attempt_result(lead.logbook, lead.workshop, lead.workshop.seats[0])
    assert result.outcome is Outcome.PASS
    assert result.ruling is not None
    assert lead.logbook.names()[result.ruling.by] == "Dr Rhea Sol"
    assert page.wanted.count == 0
    assert page.said == "Kept."


def test_e5_a_tail_is_adopted(lead: Desk, opened: Opened, tmp_path: Path) -> None:
    copy = copy_of(lead, tmp_path)
    lead.watch(2, "o1", upto=3)
    copy.watch(2, "o1", upto=2)
    lead.take(copy.packet("o1"))
    copy.logbook.close()
    page = opened(lead)
    assert len(page.list.keys) == 2
    page.list.keys[0].click()
    page.panel.confirm_key.click()
    assert page.wanted.count == 0
    assert lead.logbook.log.forks()[0].adopted


def test_t5_marks_of_one_machine_are_chosen(lead: Desk, opened: Opened, tmp_path: Path) -> None:
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    lead.seal(lead.watch(1, lead.workshop.seats[0].second))
    for desk in (lead, other):
        desk.seal(desk.watch(1, "o1"))
    other.take(lead.packet("o1"))
    lead.take(other.packet("o1"))
    other.logbook.close()
    page = opened(lead)
    (key, *_) = page.list.keys
    key.click()
    page.panel.confirm_key.click()
    assert page.wanted.divided == ()


def test_t2_a_second_look_is_given_up_and_taken_back_in(
    lead: Desk, opened: Opened, tmp_path: Path
) -> None:
    other = new_desk(tmp_path, "other")
    other.take(lead.plan_packet())
    watcher = lead.workshop.seats[0].second
    other.seal(other.watch(1, watcher))
    lead.seal(lead.watch(1, "o1"))
    page = opened(lead)
    page.choose(Section.COMING)
    (key,) = (one for one in page.list.keys if one.isVisible())
    assert key.accessibleName().startswith("Give up the second look at seat 1")
    key.click()
    _, reason = page.panel.lines
    page.panel.confirm_key.click()
    assert page.panel.trouble is not None
    reason.setText("Ben fell ill.")
    page.panel.confirm_key.click()
    assert lead.workshop.seats[0].second == ""
    other.take(lead.packet("o1"))
    lead.take(other.packet(watcher))
    other.logbook.close()
    page.choose(Section.WANTED)
    page.list.keys[0].click()
    page.panel.lines[1].setText("It came after all.")
    page.panel.confirm_key.click()
    assert lead.workshop.seats[0].second == watcher


def test_t1_who_ruled_against_each_other_is_named(
    lead: Desk, opened: Opened, tmp_path: Path
) -> None:
    dispute(lead)
    other = new_desk(tmp_path, "other")
    other.take(lead.packet("o1"))
    seat = lead.workshop.seats[0]
    third = next(one for one in ("o2", "o3") if one != seat.second)
    for desk, outcome, by in ((lead, Outcome.PASS, third), (other, Outcome.REMEDIATE, "o9")):
        ruling = Ruling(outcome, frozenset(), frozenset(), "", by)
        adjudicate(desk.logbook, desk.workshop, seat, ruling, reason="So.", no_conflict=True)
    lead.take(other.packet("o1"))
    other.logbook.close()
    page = opened(lead)
    (block,) = page.list.blocks
    assert "ruled on it differently" in block.sentences[0]
    assert lead.logbook.names()[third] in block.sentences[0]


def test_a_plan_whose_day_is_past_is_closed_by_name(opened: Opened, tmp_path: Path) -> None:
    desk = lead_desk(tmp_path, looks=0)
    desk.seal(desk.watch(1, "o1", mark=INCORRECT))
    result = attempt_result(desk.logbook, desk.workshop, desk.workshop.seats[0])
    agree(desk.logbook, desk.workshop, result, desk.workshop.date, "", by="o1")
    page = opened(desk)
    assert page.list.blocks[0].title == "Nothing waits for anybody."
    desk.machine.seconds += 2 * 24 * 3600
    page.refresh()
    assert "To decide, 1" in page.rows[Section.WANTED].accessibleName()
    (block,) = page.list.blocks
    assert block.title == "Skills afternoon, Lina One: the day to show it again is past"
    page.list.keys[0].click()
    panel = page.panel
    panel.keys["ending", "not held"].click()
    panel.confirm_key.click()
    assert panel.trouble is not None  # Not held, and no reason.
    panel.lines[1].setText("The learner moved away.")
    panel.confirm_key.click()
    assert page.said == "Kept."
    assert page.due == ()
    plan = agreed(desk.logbook, result.seat)
    assert plan is not None
    assert plan.closed is not None
    assert plan.closed.reason == "The learner moved away."
    desk.logbook.close()
