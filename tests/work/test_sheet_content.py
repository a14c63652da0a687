"""What a sheet says of an attempt, in the learner's words."""

from fractions import Fraction
from typing import TYPE_CHECKING

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.marks import DONE, INCORRECT, NOT_APPLICABLE, NOT_DONE, Mark, State
from observe.domain.standard import Rounding
from observe.look.marks import DecisionLook, LineLook, MarkLook
from observe.look.signs import SignLook
from observe.sheets.content import Revision, SheetContent, Signer
from observe.work.approving import approve, standard_of
from observe.work.debrief import attempt_result
from observe.work.sheet_content import Composer, mark_look
from tests.work.conftest import a_plan

if TYPE_CHECKING:
    from tests.work.conftest import Bench

SIGNER = Signer("Anna", "observer", "2 March 2026, 10:00", "unconfirmed", "ab" * 32)


def composed(bench: "Bench", seat: int) -> SheetContent:
    result = attempt_result(bench.logbook, bench.workshop, bench.workshop.seats[seat - 1])
    return Composer(bench.logbook, bench.workshop, result).content(SIGNER, Revision(), "0" * 64)


def seal_both(bench: "Bench", seat: int, **marks: Mark) -> None:
    for observer in bench.workshop.seats[seat - 1].observers:
        session = bench.session(seat, observer)
        but = {name.replace("_", "-"): mark for name, mark in marks.items()}
        bench.mark_all(session, but=but)
        bench.seal(session)


def test_a_pass_says_so_and_that_it_is_so_far(bench: "Bench") -> None:
    seal_both(bench, 1)
    content = composed(bench, 1)
    assert content.decision.look is DecisionLook.PASS
    assert content.decision.word == "Pass so far"
    assert content.occasion.learner == "Lina One"
    assert content.advice.strength == "Steady hands."


def test_what_stands_between_is_named_with_its_steps(bench: "Bench") -> None:
    seal_both(bench, 1, LPX_25=NOT_DONE)
    content = composed(bench, 1)
    expected = "One thing stands between you and a pass: essential steps (step 25)."
    assert content.decision.sentence == expected
    failed = [line.title for line in content.lines if line.look is LineLook.FAILED]
    assert failed == ["Essential steps"]


def test_a_critical_event_stands_with_its_time_and_what_became_of_it(bench: "Bench") -> None:
    for observer in bench.workshop.seats[0].observers:
        session = bench.session(1, observer)
        bench.machine.seconds += 5
        session.do(gestures.record_critical, "LPX-C2")
        bench.machine.seconds += 95
        session.do(gestures.classify, session.state.occurrences[0].id, Verdict.RECOVERED)
        bench.mark_all(session)
        bench.seal(session)
    first, second = composed(bench, 1).criticals
    assert (first.sign, first.word) == (SignLook.RECOVERED, "noticed and put right")
    assert (first.time, first.step) == ("00:00", 1)
    assert second.note == "recorded by the second observer"


def test_a_void_attempt_says_why_and_shows_no_rule(bench: "Bench") -> None:
    for observer in bench.workshop.seats[0].observers:
        session = bench.session(1, observer)
        session.do(gestures.void, "The pad leaked.")
        session.do(gestures.seal)
    content = composed(bench, 1)
    assert content.decision.look is DecisionLook.VOID
    assert "The pad leaked." in content.decision.sentence
    assert (content.lines, content.unwatched) == ((), ())


def test_the_reason_for_not_applicable_stands_at_the_step(bench: "Bench") -> None:
    seal_both(bench, 1, LPX_17=NOT_APPLICABLE)
    note = next(one for one in composed(bench, 1).steps if one.number == 17)
    assert (note.look, note.note) == (MarkLook.NOT_APPLICABLE, "atraumatic needle")


def test_an_amendment_says_who_when_what_and_why(bench: "Bench") -> None:
    seal_both(bench, 1)
    session = bench.session(1, "o1")
    session.do(gestures.amend_step, "LPX-16", INCORRECT, reason="Wrong key pressed.")
    (said,) = composed(bench, 1).amendments
    assert said.startswith("Step 16, amended ")
    assert said.endswith("by Anna: done became incorrect. “Wrong key pressed.”")


def test_p1_a_sheet_holds_one_learner(bench: "Bench") -> None:
    seal_both(bench, 1)
    assert "Otto" not in str(composed(bench, 1))


def test_every_mark_has_its_picture() -> None:
    assert mark_look(Mark(State.DONE)) is MarkLook.DONE
    assert mark_look(Mark(State.DONE, 3)) is MarkLook.PROMPT_3
    assert {mark_look(Mark(state)) for state in State} <= set(MarkLook)


def test_numbers_follow_the_variant_that_was_done(bench: "Bench") -> None:
    seal_both(bench, 2)
    assert [one.number for one in composed(bench, 2).steps] == list(range(1, 31))


def test_t1_the_sheet_of_pooled_evidence_shows_what_both_saw(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    first, second = bench.session(1, seat.first), bench.session(1, seat.second)
    ids = [step.id for step in first.state.steps]
    for step in ids[:15]:
        first.do(gestures.mark, step, DONE)
    for step in ids[12:]:
        second.do(gestures.mark, step, Mark(State.DONE, 1) if step == ids[12] else DONE)
    for session in (first, second):
        bench.seal(session)
    content = composed(bench, 1)
    assert content.decision.word == "Pass so far"
    assert content.scored is not None
    assert content.scored.coverage == 1
    assert content.lines[-1].look is LineLook.MET
    notes = {step.number: step.note for step in content.steps if step.note}
    names = bench.logbook.names()
    assert notes == {13: f"{names[seat.first]}: done; {names[seat.second]}: done, prompt 1 (asked)"}


def test_earlier_attempts_at_the_same_form_are_told_and_nobody_elses(bench: "Bench") -> None:
    first = bench.workshop
    seal_both(bench, 1, LPX_25=NOT_DONE)
    seal_both(bench, 2)
    later = a_plan(first.forms[0].form, date="2026-03-30", seed="later", title="Again")
    bench.plan(later)
    seal_both(bench, 1)
    assert composed(bench, 1).earlier == ("2 March 2026, formative: remediate.",)
    bench.workshop = first
    assert composed(bench, 1).earlier == ()


def test_an_appeal_has_a_last_day(bench: "Bench") -> None:
    seal_both(bench, 1)
    assert "by 16 March 2026" in composed(bench, 1).disagree


def test_f7_a_sheet_says_what_its_standard_rests_on_and_is_not(bench: "Bench") -> None:
    workshop = bench.workshop
    form = bench.logbook.form(workshop.forms[0].form)
    standard = standard_of(
        {
            "method": "angoff",
            "statistic": "mean",
            "cut": 71,
            "se": 2,
            "maximum": 100,
            "n": 8,
            "of": "judges",
        },
        form,
        variant="side-lying",
        rounding=Rounding.NEAREST,
        places=1,
        effective=workshop.date,
    )
    approve(bench.logbook, standard, by="Anna")
    seal_both(bench, 1)
    note = composed(bench, 1).standard
    assert note is not None
    assert (note.method, note.basis, note.effective) == ("Angoff, mean", "8 judges", "2 March 2026")
    assert note.error == Fraction(2, 100)
    assert "not a measurement of learners" in note.is_not
