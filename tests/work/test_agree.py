"""Agreement on second looks drawn before the day (rules A2, A3, T3, T4)."""

from typing import TYPE_CHECKING

import pytest

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.marks import DONE, INCORRECT, NOT_APPLICABLE, Mark, State
from observe.work.agree import (
    Agreement,
    StepAgreement,
    agreement,
    agreements,
    as_record,
    as_text,
)

if TYPE_CHECKING:
    from tests.work.conftest import Bench


def looked_twice(bench: "Bench") -> Agreement:
    """Both seats seen by both observers; they differ at steps 16 and 17 of seat 1."""
    for seat in bench.workshop.seats:
        for observer in seat.observers:
            session = bench.session(seat.number, observer)
            differs = seat.number == 1 and observer == seat.second
            marks = {"LPX-16": INCORRECT, "LPX-17": NOT_APPLICABLE, "LPX-18": Mark(State.DONE, 1)}
            if seat.number == 1 and observer == seat.first:
                session.do(gestures.record_critical, "LPX-C1")
                session.do(gestures.classify, session.state.occurrences[0].id, Verdict.FATAL)
            bench.mark_all(session, but=marks if differs else {"LPX-18": Mark(State.DONE, 1)})
            bench.seal(session)
    return agreement(bench.logbook, bench.workshop)


def of(found: Agreement, step: str) -> StepAgreement:
    return next(one for one in found.steps if one.step.id == step)


def test_a3_steps_are_compared_by_full_credit_or_not(bench: "Bench") -> None:
    found = looked_twice(bench)
    assert of(found, "LPX-15").counts == (2, 0, 0, 0)
    assert of(found, "LPX-16").counts == (1, 1, 0, 0)
    assert of(found, "LPX-18").counts == (0, 0, 0, 2)
    assert of(found, "LPX-16").percent.value == 0.5


def test_a3_disagreement_on_whether_a_step_applies_is_counted_apart(bench: "Bench") -> None:
    found = of(looked_twice(bench), "LPX-17")
    assert found.pairs == 1
    assert found.applicability == 1


def test_a2_few_pairs_give_an_exact_interval_and_kappa_as_a_point(bench: "Bench") -> None:
    found = of(looked_twice(bench), "LPX-16")
    # Clopper-Pearson, 1 of 2: solves (1-p)^2 = .975 and p^2 = .975.
    assert found.percent.low == pytest.approx(1 - 0.975**0.5, abs=1e-9)
    assert found.percent.high == pytest.approx(0.975**0.5, abs=1e-9)
    assert found.kappa.value == 0
    assert found.kappa.low is None


def test_kappa_of_two_constant_observers_is_not_estimable_and_says_why(bench: "Bench") -> None:
    found = of(looked_twice(bench), "LPX-15")
    assert found.kappa.value is None
    assert found.kappa.undefined


def test_opposite_decisions_and_contested_items_are_named_by_seat(bench: "Bench") -> None:
    found = looked_twice(bench)
    assert [one.seat.number for one in found.opposite] == [1]
    assert [one.seat.number for one in found.contested] == [1]
    assert found.decisions.value == 0.5
    text = as_text(found)
    assert "Opposite decisions: 1 (seat 1)." in text
    assert "Contested critical items: 1 (seat 1)." in text


def test_t3_a_second_look_counts_only_once_both_have_sealed(bench: "Bench") -> None:
    first = bench.session(1, "o1")
    bench.mark_all(first)
    bench.seal(first)
    found = agreement(bench.logbook, bench.workshop)
    assert found.planned == 2
    assert found.complete == ()
    assert "Both observers sealed: 0." in as_text(found)


def test_f5_only_the_steps_that_all_variants_share_are_pooled(bench: "Bench") -> None:
    pooled = {one.step.id for one in looked_twice(bench).steps}
    assert pooled.isdisjoint({"LPX-06L", "LPX-06S", "LPX-22"})
    assert len(pooled) == 29


def test_an_unseen_step_is_left_out_of_the_pairs_and_counted(bench: "Bench") -> None:
    seat = bench.workshop.seats[0]
    for observer in seat.observers:
        session = bench.session(1, observer)
        if observer == seat.first:
            session.do(gestures.mark, "LPX-01", DONE)
        bench.seal(session)
    found = of(agreement(bench.logbook, bench.workshop), "LPX-01")
    assert (found.pairs, found.one_sided) == (0, 1)


def test_the_record_holds_no_number_that_is_not_one(bench: "Bench") -> None:
    record = as_record(looked_twice(bench))
    kappas = [step["cohen_kappa"] for step in record["steps"]]
    for kappa in kappas:
        assert (kappa["value"] is None) is (kappa["undefined"] is not None)


def test_a4_each_form_of_a_workshop_is_pooled_by_itself(two_forms: "Bench") -> None:
    for seat in two_forms.workshop.seats:
        for observer in seat.observers:
            session = two_forms.session(seat.number, observer)
            two_forms.mark_all(session)
            two_forms.seal(session)
    first, second = agreements(two_forms.logbook, two_forms.workshop)
    assert (first.planned, second.planned) == (2, 1)
    assert (len(first.complete), len(second.complete)) == (2, 1)
    assert of(first, "LPX-15").pairs == 2
    assert of(second, "IUP-01").pairs == 1
    assert (first.form.id, second.form.id) == ("LPX", "IUP")
    assert first.title != second.title
