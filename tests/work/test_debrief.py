"""Nothing is revealed before the seal; afterwards every number has its trace."""

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.decision import ENGINE, Outcome
from observe.domain.marks import DONE, INCORRECT, NOT_APPLICABLE, Mark, State
from observe.domain.pairing import Joint
from observe.domain.troubles import Refused
from observe.work.debrief import (
    attempt_result,
    reveal,
    sealed_observations,
    sign_decision,
    standing_signature,
)

if TYPE_CHECKING:
    from tests.work.conftest import Bench

MIXED = {"LPX-16": INCORRECT, "LPX-17": NOT_APPLICABLE, "LPX-18": Mark(State.DONE, 2)}


def test_d3_nothing_is_revealed_before_the_seal(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    bench.mark_all(session)
    with pytest.raises(Refused, match="after the seal"):
        reveal(session.state)


def test_a_sealed_attempt_is_revealed_with_its_trace(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    bench.mark_all(session, but=MIXED)
    bench.seal(session)
    shown = reveal(session.state)
    assert shown.decision.outcome is Outcome.PASS
    # 66 points less 1 not applicable; 2 lost at step 16, half of 3 at step 18.
    assert shown.decision.score.whole.value == Fraction(123, 130)
    assert shown.as_record()["score"]["value"] == "123/130"
    assert shown.as_record()["engine"] == ENGINE
    assert "Score: 61.5 of the 65 points seen, 94.6 %." in shown.as_sentences()


def test_an_undecided_attempt_names_what_would_settle_it(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    for step in session.state.steps[:20]:
        session.do(gestures.mark, step.id, DONE) if step.id != "LPX-17" else None
    bench.seal(session)
    shown = reveal(session.state)
    assert shown.decision.outcome is Outcome.UNDECIDED
    said = shown.as_sentences()
    assert any(one.startswith("Pass would follow if these steps were done: ") for one in said)
    assert any(one.startswith("Remediate would follow if these steps") for one in said)


def test_t3_nothing_comes_out_before_both_have_sealed(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    first, second = bench.session(1, seat.first), bench.session(1, seat.second)
    bench.mark_all(first)
    bench.seal(first)
    assert sealed_observations(bench.logbook, bench.workshop, seat) == ()
    assert attempt_result(bench.logbook, bench.workshop, seat).reveals == ()
    bench.mark_all(second)
    bench.seal(second)
    result = attempt_result(bench.logbook, bench.workshop, seat)
    assert [one.observation.observer for one in result.reveals] == [seat.first, seat.second]


def test_t1_a_contested_critical_item_leaves_the_attempt_undecided(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    first, second = bench.session(1, seat.first), bench.session(1, seat.second)
    first.do(gestures.record_critical, "LPX-C2")
    first.do(gestures.classify, first.state.occurrences[0].id, Verdict.FATAL)
    for session in (first, second):
        bench.mark_all(session)
        bench.seal(session)
    result = attempt_result(bench.logbook, bench.workshop, seat)
    assert result.outcome is Outcome.UNDECIDED
    assert result.pairing is not None
    assert result.pairing.joint is Joint.CONTESTED


def test_t1_what_both_saw_together_decides_where_neither_could_alone(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    first, second = bench.session(1, seat.first), bench.session(1, seat.second)
    ids = [step.id for step in first.state.steps]
    for session, mine in ((first, ids[:15]), (second, ids[12:])):
        for step in mine:
            session.do(gestures.mark, step, DONE)
        bench.seal(session)
    result = attempt_result(bench.logbook, bench.workshop, seat)
    assert [one.decision.outcome for one in result.reveals] == [Outcome.UNDECIDED] * 2
    assert result.outcome is Outcome.PASS
    assert result.pairing is not None
    assert result.pairing.joint is Joint.POOLED
    assert result.together is not None
    assert result.deciding is result.together
    record = result.together.as_record()
    assert record["outcome"] == "pass"
    assert record["score"]["seen"] == record["score"]["applicable"]
    event = sign_decision(bench.logbook, bench.workshop, result, by=seat.first)
    assert event.body["outcome"] == "pass"


def test_t1_where_two_saw_a_step_differently_the_trace_keeps_the_mean(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    first, second = bench.session(1, seat.first), bench.session(1, seat.second)
    ids = [step.id for step in first.state.steps]
    bench.mark_all(first)
    for step in ids[:4]:
        second.do(gestures.mark, step, Mark(State.DONE, 2) if step == ids[2] else DONE)
    for session in (first, second):
        bench.seal(session)
    result = attempt_result(bench.logbook, bench.workshop, seat)
    assert result.together is not None
    assert result.together.as_record()["pool"]["credits"] == {ids[2]: "3/4"}
    assert "pool" not in result.reveals[0].as_record()


def test_m6_a_void_attempt_has_no_decision_to_sign(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    session.do(gestures.mark, "LPX-01", DONE)
    session.do(gestures.void, "The trainer broke.")
    session.do(gestures.seal)
    shown = reveal(session.state)
    assert shown.decision.outcome is None or shown.observation.void
    assert shown.as_sentences() == (shown.sentence,)
    seat = bench.workshop.seats[0]
    second = bench.session(1, seat.second)
    second.do(gestures.void, "The trainer broke.")
    second.do(gestures.seal)
    with pytest.raises(Refused):
        sign_decision(
            bench.logbook,
            bench.workshop,
            attempt_result(bench.logbook, bench.workshop, seat),
            by="o1",
        )


def test_d4_a_person_signs_the_joint_decision_and_d5_the_engine_is_pinned(
    bench: "Bench",
) -> None:
    seat = bench.workshop.seats[0]
    for observer in seat.observers:
        session = bench.session(1, observer)
        if observer == seat.first:
            session.do(gestures.record_critical, "LPX-C1")
            session.do(gestures.classify, session.state.occurrences[0].id, Verdict.FATAL)
        bench.mark_all(session)
        bench.seal(session)
    result = attempt_result(bench.logbook, bench.workshop, seat)
    event = sign_decision(bench.logbook, bench.workshop, result, by=seat.second)
    assert event.by == seat.second
    assert event.body["outcome"] == "undecided"
    assert event.body["engine"] == ENGINE
    assert standing_signature(bench.logbook, result) == event


def test_d4_nothing_is_signed_before_every_planned_observer_has_sealed(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    bench.mark_all(session)
    bench.seal(session)
    result = attempt_result(bench.logbook, bench.workshop, bench.workshop.seats[0])
    with pytest.raises(Refused):
        sign_decision(bench.logbook, bench.workshop, result, by="o1")


def test_an_amendment_stands_in_the_trace(bench: "Bench") -> None:
    session = bench.session(1, "o1")
    bench.mark_all(session)
    bench.seal(session)
    session.do(gestures.amend_step, "LPX-16", INCORRECT, reason="Wrong key pressed.")
    said = reveal(session.state).as_sentences()
    assert "Amended after the seal: step 16, from done to incorrect." in said
