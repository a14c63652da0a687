"""The smallest change that flips a decision (rule A9), against every change there is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from observe.domain.board import Verdict
from observe.domain.criticals import Finding, standings
from observe.domain.decision import Outcome, decide
from observe.domain.flipping import Flip, changed, smallest_flip
from observe.domain.form import Mode, Rule, RuleKind, Step
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


# An integer programme, where brute force would take ages


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a9_an_integer_programme_agrees_where_a_learner_was_stopped_early(
    data: st.DataObject,
) -> None:
    """Thirty-six steps in six domains, few of them seen, and a fatal item."""
    weights = data.draw(st.lists(st.integers(1, 5), min_size=36, max_size=36))
    marks = data.draw(st.text(alphabet="...dn", min_size=36, max_size=36))
    made_of = [
        a_step(f"{place}", weight=weight, domain=f"d{place % 6}")
        for place, weight in enumerate(weights)
    ]
    rule = Rule(
        RuleKind.CONJUNCTIVE,
        cut=Fraction(4, 5),
        minima={"d0": Fraction(3, 5), "d3": Fraction(1)},
        coverage={Mode.SUMMATIVE: Fraction(9, 10)},
    )
    form = a_form(made_of, rule=rule, criticals=(a_critical("X", "0"),))
    shown = seen(form, marks, verdicts={"X": (Verdict.FATAL,)})
    found = smallest_flip(shown)
    assert found is not None
    assert found.criticals == ("X",)
    assert len(found.steps) == fewest(made_of, marks, rule)
    assert decide(changed(shown, found)).outcome is Outcome.PASS


def fewest(made_of: Sequence[Step], marks: str, rule: Rule) -> int:
    """How many steps have to be done, by scipy's solver of integer programmes."""
    weight = np.array([float(step.weight) for step in made_of])
    done, unseen = (np.array([mark == kind for mark in marks]) for kind in "d.")
    gain = np.where(done, 0.0, weight)
    rows, least = (
        [np.where(unseen, weight, 0.0), gain],
        [
            float(rule.coverage[Mode.SUMMATIVE]) * weight.sum() - weight[~unseen].sum(),
            float(rule.cut) * weight.sum() - weight[done].sum(),
        ],
    )
    for domain, share in rule.minima.items():
        here = np.array([step.domain == domain for step in made_of])
        rows.append(np.where(here, gain, 0.0))
        least.append(float(share) * weight[here].sum() - weight[here & done].sum())
    answer = milp(
        np.ones(36),
        integrality=np.ones(36, dtype=int),
        bounds=Bounds(0, np.where(done, 0, 1)),
        constraints=LinearConstraint(np.array(rows), np.array(least) - 1e-9, np.inf),
    )
    return int(np.sum(np.asarray(answer.x) > 0.5))
