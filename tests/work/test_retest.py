"""A day to show it again is agreed after remediation, and stands on the sheet."""

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from observe.domain.marks import NOT_DONE
from observe.domain.troubles import Refused
from observe.sheets.content import Revision, Signer
from observe.work.debrief import AttemptResult, attempt_result, sign_decision
from observe.work.issued import changes_since
from observe.work.press import Press
from observe.work.retest import (
    Retest,
    agree,
    agreed,
    numbers_of,
    plan_sentence,
    steps_named,
)
from observe.work.sheet_content import Composer

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def remediated(bench: "Bench", *, passes: bool = False) -> AttemptResult:
    for observer in bench.workshop.seats[0].observers:
        session = bench.session(1, observer)
        bench.mark_all(session, but={} if passes else {"LPX-25": NOT_DONE})
        bench.seal(session)
    return attempt_result(bench.logbook, bench.workshop, bench.workshop.seats[0])


def test_the_day_stands_on_the_sheet_with_time_and_place(bench: "Bench") -> None:
    result = remediated(bench)
    seat = bench.workshop.seats[0]
    assert agreed(bench.logbook, seat) is None
    agree(bench.logbook, bench.workshop, result, "2026-03-12", "9:00", by="o1")
    said = " 2026-03-26 ", "10:00,  skills room 2"
    plan = agree(bench.logbook, bench.workshop, result, *said, by="o1")
    assert plan == Retest("2026-03-26", "10:00, skills room 2", "o1", event=plan.event)
    assert agreed(bench.logbook, seat) == plan
    signer = Signer("Anna", "observer", "", "", "")
    content = Composer(bench.logbook, bench.workshop, result).content(signer, Revision(), "0" * 64)
    assert content.advice.next_when == "26 March 2026, 10:00, skills room 2"
    assert content.advice.next_step == "Practise step 25, then show the procedure again."


def test_e4_time_and_place_stand_beside_the_event(bench: "Bench") -> None:
    agree(bench.logbook, bench.workshop, remediated(bench), "2026-03-26", "room 2", by="o1")
    (event,) = bench.logbook.log.read(kinds=("retest-agreed",))
    assert "room" not in str(event.body["day"])
    assert set(event.body) == {"day", "texts"}


def test_a_sheet_that_was_issued_before_is_of_an_earlier_state(
    bench: "Bench", tmp_path: Path
) -> None:
    result = remediated(bench)
    sign_decision(bench.logbook, bench.workshop, result, by="o1")
    press = Press(bench.logbook, bench.workshop, tmp_path)
    press.issue(result, by="o1")
    sheet = press.newest(result.seat)
    assert sheet is not None
    assert changes_since(bench.logbook, result.seat, sheet) == ()
    agree(bench.logbook, bench.workshop, result, "2026-03-26", "", by="o1")
    said = changes_since(bench.logbook, result.seat, sheet)
    assert said == ("a day to show it again was agreed",)


@pytest.mark.parametrize(
    ("day", "where", "what"),
    [
        ("", "", "no day"),
        ("26.3.2026", "", "no day"),
        ("20260326", "", "no day"),
        ("2026-02-30", "", "no day"),
        ("2026-03-01", "", "before the attempt"),
        ("2026-03-26", "x" * 121, "more than 120 letters"),
    ],
)
def test_what_cannot_be_is_refused(bench: "Bench", day: str, where: str, what: str) -> None:
    result = remediated(bench)
    with pytest.raises(Refused, match=what):
        agree(bench.logbook, bench.workshop, result, day, where, by="o1")
    assert agreed(bench.logbook, result.seat) is None


def test_nothing_is_agreed_after_a_pass(bench: "Bench") -> None:
    result = remediated(bench, passes=True)
    with pytest.raises(Refused, match="after remediation alone"):
        agree(bench.logbook, bench.workshop, result, "2026-03-26", "", by="o1")


def test_chosen_steps_stand_on_the_sheet_instead_of_those_of_the_decision(bench: "Bench") -> None:
    result, seat = remediated(bench), bench.workshop.seats[0]
    steps = steps_named("3, 15", bench.logbook, bench.workshop, seat)
    agree(bench.logbook, bench.workshop, result, "2026-03-26", "", by="o1", steps=steps)
    plan = agreed(bench.logbook, seat)
    assert plan is not None
    assert plan.steps == steps
    numbers = numbers_of(bench.logbook, bench.workshop, seat)
    assert plan_sentence(plan, numbers) == "Practises steps 3 and 15; shows it again on 2026-03-26."
    signer = Signer("Anna", "observer", "", "", "")
    content = Composer(bench.logbook, bench.workshop, result).content(signer, Revision(), "0" * 64)
    assert content.advice.next_step == "Practise steps 3 and 15, then show the procedure again."


def test_a_step_that_there_is_not_is_refused(bench: "Bench") -> None:
    result, seat = remediated(bench), bench.workshop.seats[0]
    with pytest.raises(Refused, match="no step “99”"):
        steps_named("3 99", bench.logbook, bench.workshop, seat)
    with pytest.raises(Refused, match="no step of this form"):
        agree(bench.logbook, bench.workshop, result, "2026-03-26", "", by="o1", steps=["X-1"])
