"""The whole rule, recorded anew by observers who err (rule A7)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.board import Verdict
from observe.domain.troubles import BadInput, Stopped
from observe.standards.whole_rule import error_from_disagreement, whole_rule
from tests.domain.builders import a_critical, a_form, a_step, seen, steps

TEN = a_form(steps(10))
PASS, FAIL = seen(TEN, "dddddddddd"), seen(TEN, "nnnnnnnnnn")


def test_who_never_errs_decides_alike() -> None:
    found = whole_rule([PASS, FAIL], 0.0)
    assert (found.false_pass, found.false_fail, found.same) == (0, 0, 1)


def test_one_essential_step_fails_as_often_as_it_is_mistaken() -> None:
    """A pass that hangs on one step: it fails wrongly with the chance to err on that step."""
    form = a_form([a_step("1", essential=True), a_step("2", weight=50)])
    shown = seen(form, "dd")
    found = whole_rule([shown], 0.1, records=20_000, seed=4)
    error = found.false_fail_error
    assert found.false_fail == pytest.approx(1 - 0.9 * 0.9, abs=4 * error)


def test_a_fatal_item_that_is_missed_passes_wrongly() -> None:
    form = a_form(steps(10), criticals=(a_critical("X", "3"),))
    shown = seen(form, "dddddddddd", verdicts={"X": (Verdict.FATAL,)})
    found = whole_rule([shown], 0.0, critical_error=0.2, records=10_000)
    assert found.false_pass == pytest.approx(0.2, abs=4 * found.false_pass_error)


def test_the_same_seed_gives_the_same() -> None:
    assert whole_rule([PASS], 0.2, seed=3) == whole_rule([PASS], 0.2, seed=3)


@pytest.mark.parametrize(
    ("attempts", "error"),
    [([PASS], 0.5), ([PASS], -0.1), ([], 0.1), ([seen(TEN, "dddddddd..")], 0.1)],
)
def test_what_cannot_be_simulated_is_told(attempts: list, error: float) -> None:  # type: ignore[type-arg]
    with pytest.raises(BadInput):
        whole_rule(attempts, error)


def test_it_can_be_stopped() -> None:
    def stop(done: int, total: int) -> None:
        raise Stopped(f"{done} of {total}")

    with pytest.raises(Stopped):
        whole_rule([PASS], 0.1, tick=stop)


@given(st.floats(0.001, 0.45))
def test_the_chance_to_err_is_had_back_from_how_often_two_differ(error: float) -> None:
    differing = round(1_000_000 * 2 * error * (1 - error))
    found = error_from_disagreement(differing, 1_000_000)
    assert found == pytest.approx(error, abs=0.001)


@pytest.mark.parametrize(("differing", "pairs"), [(0, 0), (5, 10), (9, 10)])
def test_where_half_differ_or_nobody_was_seen_twice_it_cannot_be_told(
    differing: int, pairs: int
) -> None:
    assert error_from_disagreement(differing, pairs) is None
