"""The smallest change that flips a decision (rule A9), against every change there is."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import assume, given, settings

from observe.domain.board import Verdict
from observe.domain.criticals import Finding, standings
from observe.domain.decision import Outcome, decide
from observe.domain.flipping import Flip, changed, smallest_flip
from observe.domain.form import Rule, RuleKind
from observe.domain.marks import DONE, NOT_DONE, State
from observe.domain.scoring import Evidence
from tests.domain.builders import a_critical, a_form, a_step, seen, steps
from tests.domain.strategies import evidences

TEN = a_form(steps(10))


@pytest.mark.parametrize(
    ("marks", "flip"),
    [
        ("dddddddddn", Flip(Outcome.REMEDIATE, ("1", "2"))),
        ("ddddddnnnn", Flip(Outcome.PASS, ("7", "8"))),
        ("dddddddnnn", Flip(Outcome.PASS, ("8",))),
    ],
)
def test_ten_alike_steps_and_a_cut_of_four_fifths(marks: str, flip: Flip) -> None:
    assert smallest_flip(seen(TEN, marks)) == flip


def test_one_essential_step_is_enough_to_fail() -> None:
    form = a_form([*steps(9), a_step("10", essential=True)])
    assert smallest_flip(seen(form, "dddddddddd")) == Flip(Outcome.REMEDIATE, ("10",))


def test_a_fatal_item_and_what_else_stands_between() -> None:
    form = a_form(steps(10), criticals=(a_critical("X", "3"),))
    shown = seen(form, "dddddddnnn", verdicts={"X": (Verdict.FATAL,)})
    assert smallest_flip(shown) == Flip(Outcome.PASS, ("8",), ("X",))


def test_the_lightest_domain_that_can_fail_is_taken() -> None:
    made_of = [*(a_step(id, domain="hands") for id in "12345678"), a_step("9", domain="asepsis")]
    rule = Rule(RuleKind.CONJUNCTIVE, minima={"asepsis": Fraction(1, 2)}, coverage={})
    assert smallest_flip(seen(a_form(made_of, rule=rule), "ddddddddd")) == Flip(
        Outcome.REMEDIATE, ("9",)
    )


def test_what_no_marks_decide_says_so() -> None:
    form = a_form(steps(10), rule=Rule(overall_minimum=3))
    found = smallest_flip(seen(form, "dddddddddd", overall=1))
    assert found is not None
    assert found.why


def test_an_undecided_attempt_has_no_flip() -> None:
    assert smallest_flip(seen(TEN, "dddddddd..")) is None


# Brute force


def subsets(ids: list[str]) -> Iterable[tuple[str, ...]]:
    for size in range(len(ids) + 1):
        yield from combinations(ids, size)


@settings(max_examples=250)
@given(evidences())
def test_a9_brute_force_over_all_changes_agrees(shown: Evidence) -> None:
    outcome = decide(shown).outcome
    assume(outcome in (Outcome.PASS, Outcome.REMEDIATE))
    to = Outcome.REMEDIATE if outcome is Outcome.PASS else Outcome.PASS
    fatal = [one.item.id for one in standings(shown).values() if one.finding is Finding.FATAL]
    freed = changed(shown, Flip(to, (), tuple(fatal))) if to is Outcome.PASS else shown
    mark = DONE if to is Outcome.PASS else NOT_DONE
    fixed = (State.NOT_APPLICABLE, State.DID_NOT_ARISE)
    movable = [step.id for step in shown.steps if shown.marks[step.id].state not in fixed]
    size = next(
        (
            len(chosen)
            for chosen in subsets(movable)
            if decide(freed.with_marks(dict.fromkeys(chosen, mark))).outcome is to
        ),
        None,
    )
    found = smallest_flip(shown)
    assert found is not None
    if size is None:
        assert found.why
        return
    assert len(found.steps) == size, (found, size)
    assert decide(changed(shown, found)).outcome is to
