"""What several attempts come to."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.standards.retest import Attempt, Policy, retest

FIRST, SECOND = Attempt("2026-03-01", passed=False), Attempt("2026-04-01", passed=True)


@pytest.mark.parametrize(("policy", "passed"), [("last", True), ("best", True), ("all", False)])
def test_the_policies(policy: str, passed: bool) -> None:
    found = retest([SECOND, FIRST], Policy(policy))
    assert found.passed is passed
    assert found.counted == (1, 0)
    assert f"“{policy}” over 2 attempts" in found.sentence


def test_void_attempts_and_those_without_a_decision_are_out() -> None:
    some = [SECOND, Attempt("2026-05-01", passed=False, void=True), Attempt("2026-06-01", None)]
    found = retest(some, Policy.LAST)
    assert found.passed is True
    assert found.reasons == {1: "void", 2: "no decision"}


def test_another_mode_or_scoring_does_not_count_with_the_newest() -> None:
    some = [
        Attempt("2026-03-01", passed=True, mode="formative"),
        Attempt("2026-04-01", passed=True, mode="summative", scoring="a"),
        Attempt("2026-05-01", passed=False, mode="summative", scoring="b"),
    ]
    found = retest(some, Policy.BEST)
    assert found.passed is False
    assert found.counted == (2,)
    assert set(found.reasons.values()) == {"another mode or scoring"}


def test_nothing_that_counts_decides_nothing() -> None:
    assert retest([], Policy.LAST).passed is None


def test_attempts_of_one_day_are_in_the_order_of_entry() -> None:
    day = [Attempt("2026-03-01", passed=True), Attempt("2026-03-01", passed=False)]
    assert retest(day, Policy.LAST).passed is False


@given(st.lists(st.booleans(), min_size=1, max_size=8))
def test_all_is_never_kinder_than_last_nor_last_than_best(found: list[bool]) -> None:
    some = [Attempt(f"2026-03-{n + 1:02}", one) for n, one in enumerate(found)]
    all_, last, best = (retest(some, one).passed for one in (Policy.ALL, Policy.LAST, Policy.BEST))
    assert bool(all_) <= bool(last) <= bool(best)
