"""Plans after remediation followed up: which are open, what was shown since, how they ended."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from observe.domain.decision import Outcome
from observe.domain.marks import NOT_DONE
from observe.domain.troubles import Refused
from observe.work.debrief import attempt_result, sign_decision
from observe.work.issued import changes_since
from observe.work.plans import Shown, close, open_plans, plan_lines
from observe.work.press import Press
from observe.work.retest import Closing, Ending, agree, agreed, plan_sentence
from tests.work.conftest import a_plan
from tests.work.machines import lead_desk, new_desk
from tests.work.test_retest import remediated

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def test_a_plan_is_open_until_it_is_closed_and_a_new_one_is_open_again(bench: "Bench") -> None:
    result, seat = remediated(bench), bench.workshop.seats[0]
    with pytest.raises(Refused, match="No plan"):
        close(bench.logbook, bench.workshop, seat, Ending.MET, "", by="o1")
    agree(bench.logbook, bench.workshop, result, "2026-03-26", "", by="o1")
    assert [one.seat.attempt for one in open_plans(bench.logbook)] == [seat.attempt]
    with pytest.raises(Refused, match="has a reason"):
        close(bench.logbook, bench.workshop, seat, Ending.NOT_HELD, " ", by="o1")
    close(bench.logbook, bench.workshop, seat, Ending.NOT_HELD, "The learner was ill.", by="o1")
    plan = agreed(bench.logbook, seat)
    assert plan is not None
    assert plan.closed == Closing(Ending.NOT_HELD, "The learner was ill.", "o1")
    assert plan_sentence(plan, {}).endswith("Closed, not held: The learner was ill.")
    assert open_plans(bench.logbook) == ()
    agree(bench.logbook, bench.workshop, result, "2026-04-02", "", by="o1")
    (again,) = open_plans(bench.logbook)
    assert (again.agreed.day, again.agreed.closed) == ("2026-04-02", None)


def test_a_plan_is_overdue_after_its_day_while_nothing_was_shown(bench: "Bench") -> None:
    result = remediated(bench)
    agree(bench.logbook, bench.workshop, result, bench.workshop.date, "", by="o1")
    (plan,) = open_plans(bench.logbook)
    assert not plan.is_overdue(bench.workshop.date)
    assert not plan.is_due(bench.workshop.date)
    assert plan.is_overdue("2026-12-01")
    assert plan.is_due("2026-12-01")
    (line,) = plan_lines(bench.logbook)
    assert line.due == bench.workshop.date
    assert line.sentence.startswith(line.learner)


def shows_it_again(bench: "Bench", learner: str, day: str) -> str:
    """The same learner's next attempt, passed; its id."""
    first = bench.workshop
    plan = a_plan(first.forms[0].form, date=day, looks=0, seed=f"again {day}")
    bench.plan(replace(plan, places=tuple(replace(one, ordinal=2) for one in plan.places)))
    seat = next(one for one in bench.workshop.seats if one.learner == learner)
    session = bench.session(seat.number, seat.first)
    bench.mark_all(session)
    bench.seal(session)
    return seat.attempt


@pytest.mark.parametrize("day", ["2026-03-02", "2026-03-09"])
def test_what_was_shown_since_is_told_that_day_or_later(bench: "Bench", day: str) -> None:
    result = remediated(bench)
    agree(bench.logbook, bench.workshop, result, "2026-03-09", "", by="o1")
    shown = shows_it_again(bench, result.seat.learner, day)
    (open_plan,) = open_plans(bench.logbook)
    assert open_plan.shown == Shown(shown, Outcome.PASS)
    assert open_plan.is_due("2026-03-02")
    assert not open_plan.is_overdue("2030-01-01")
    (line,) = plan_lines(bench.logbook)
    assert "Shown since: pass; close it." in line.sentence


def test_a_plan_is_closed_with_the_attempt_in_which_it_was_shown(bench: "Bench") -> None:
    result, first = remediated(bench), bench.workshop
    agree(bench.logbook, first, result, "2026-03-09", "", by="o1")
    shown = shows_it_again(bench, result.seat.learner, "2026-03-09")
    close(bench.logbook, first, result.seat, Ending.MET, "", by="o1")
    plan = agreed(bench.logbook, result.seat)
    assert plan is not None
    assert plan.closed == Closing(Ending.MET, "", "o1", shown)


def test_e2_a_plan_is_closed_and_not_one_that_another_machine_agreed_on_meanwhile(
    tmp_path: Path,
) -> None:
    lead, other = lead_desk(tmp_path, looks=0), new_desk(tmp_path, "other")
    first = lead.workshop.seats[0]
    lead.seal(lead.watch(1, "o1", mark=NOT_DONE))
    result = attempt_result(lead.logbook, lead.workshop, first)
    agree(lead.logbook, lead.workshop, result, "2026-03-09", "", by="o1")
    other.take(lead.plan_packet(), lead.packet("o1"))
    agree(other.logbook, other.workshop, result, "2026-03-16", "", by="o3")
    close(lead.logbook, lead.workshop, first, Ending.NOT_HELD, "Ill.", by="o1")
    lead.take(other.packet("o3"))
    other.take(lead.packet("o1"))
    for desk in (lead, other):
        (plan,) = open_plans(desk.logbook)
        assert plan.agreed.day == "2026-03-16"
        desk.logbook.close()


def test_a_closed_plan_changes_no_sheet(bench: "Bench", tmp_path: Path) -> None:
    result = remediated(bench)
    agree(bench.logbook, bench.workshop, result, "2026-03-26", "", by="o1")
    sign_decision(bench.logbook, bench.workshop, result, by="o1")
    press = Press(bench.logbook, bench.workshop, tmp_path)
    press.issue(result, by="o1")
    sheet = press.newest(result.seat)
    assert sheet is not None
    close(bench.logbook, bench.workshop, result.seat, Ending.MET, "", by="o1")
    assert changes_since(bench.logbook, result.seat, sheet) == ()
