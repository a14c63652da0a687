"""What would settle an undecided attempt: the two fewest lists (rule D2)."""

from collections.abc import Iterable
from fractions import Fraction
from itertools import combinations
from typing import Any

import pytest
from hypothesis import assume, given, settings

from observe.domain.board import Verdict
from observe.domain.decision import Outcome, decide
from observe.domain.form import Credit, CriticalKind, Form, Mode, Rule, RuleKind
from observe.domain.marks import DONE, NOT_APPLICABLE, NOT_DONE, Mark, State
from observe.domain.scoring import Cut, Evidence
from observe.domain.settling import Settling, settling
from tests.domain.builders import a_critical, a_form, a_step, seen, steps
from tests.domain.strategies import evidences

TEN = a_form(steps(10))
FREE = Rule(coverage={})


def settled(shown: Evidence) -> Settling:
    lists = settling(shown, decide(shown))
    assert lists is not None
    return lists


def of(form: Form, marks: str, **more: Any) -> Settling:  # noqa: ANN401 - any field of evidence
    return settled(seen(form, marks, **more))


@pytest.mark.parametrize("marks", ["ddddddddd.", "nnn......."])
def test_d2_only_an_undecided_attempt_has_lists(marks: str) -> None:
    shown = seen(TEN, marks)
    assert settling(shown, decide(shown)) is None


def test_d2_eight_done_two_unseen() -> None:
    """One more step gives coverage; none can sink the score: 8 of 10 stay."""
    assert of(TEN, "dddddddd..") == Settling(("9",), None)


def test_d2_seven_done_two_not_done_one_unseen() -> None:
    assert of(TEN, "dddddddnn.") == Settling(("10",), ("10",))


def test_d2_nothing_seen() -> None:
    lists = of(TEN, "..........")
    assert (len(lists.to_pass or ()), len(lists.to_remediate or ())) == (9, 3)


def test_d2_heavier_steps_settle_more() -> None:
    form = a_form([a_step("1"), a_step("2", weight=5), a_step("3", weight=4)], rule=FREE)
    assert of(form, "...") == Settling(("2", "3"), ("2",))


def test_d2_all_unseen_essentials_belong_to_the_first_list_and_one_to_the_second() -> None:
    made_of = [a_step("1", weight=20), *(a_step(id, essential=True) for id in "23")]
    assert of(a_form(made_of, rule=FREE), "d..") == Settling(("2", "3"), ("2",))


def test_d2_all_unwatched_criticals_belong_to_the_first_list() -> None:
    form = a_form(steps(10), criticals=(a_critical("X", "10"),), rule=FREE)
    assert of(form, "ddddddddn.") == Settling(("10",), None)
    attested = seen(form, "ddddddddn.", attested=frozenset({"X"}))
    assert decide(attested).outcome is Outcome.PASS


def test_d2_formative_does_not_ask_for_unwatched_criticals() -> None:
    form = a_form(steps(10), criticals=(a_critical("X", "10"),))
    assert of(form, "ddddddd...", mode=Mode.FORMATIVE) == Settling(("8",), ("8", "9", "10"))


def test_c1_a_recovered_item_must_be_watched_to_the_end_to_pass() -> None:
    item = a_critical("X", "3", kind=CriticalKind.RECOVERABLE)
    form = a_form(steps(10), criticals=(item,))
    lists = of(form, "dd.ddddddd", verdicts={"X": (Verdict.RECOVERED,)})
    assert lists.to_pass == ("3",)


def test_d2_domains_that_fall_short_are_asked_first() -> None:
    made_of = [a_step("1", weight=9), a_step("2"), a_step("3", domain="asepsis")]
    rule = Rule(RuleKind.CONJUNCTIVE, minima={"asepsis": Fraction(1, 2)}, coverage={})
    lists = of(a_form(made_of, rule=rule), "d..")
    assert lists == Settling(("3",), ("3",))


def test_d2_k_of_n_takes_the_cheapest_domains() -> None:
    made_of = [
        a_step("1", weight=20, domain="speech"),
        *(a_step(id, domain="hands") for id in "23"),
        a_step("4", domain="asepsis"),
    ]
    minima = {"hands": Fraction(1), "asepsis": Fraction(1)}
    rule = Rule(RuleKind.K_OF_N, minima=minima, k=1, coverage={})
    assert of(a_form(made_of, rule=rule), "d...") == Settling(("4",), ("2", "4"))


@pytest.mark.parametrize(
    ("rule", "more"),
    [
        (Rule(overall_minimum=3), {"overall": None}),
        (Rule(time_limit_s=60), {"elapsed_s": None}),
        (Rule(), {"newer": 1}),
        (Rule(), {"cut": Cut(Fraction(4, 5))}),
    ],
)
def test_d2_no_steps_pass_what_is_open_for_another_reason(
    rule: Rule, more: dict[str, object]
) -> None:
    assert of(a_form(steps(10), rule=rule), "dddddddd..", **more).to_pass is None


def test_d2_too_much_not_applicable_cannot_be_settled_by_seeing_more() -> None:
    form = a_form(steps(10, not_applicable=True))
    marks = {str(n): DONE for n in range(1, 8)} | {"9": NOT_APPLICABLE, "10": NOT_APPLICABLE}
    assert settled(seen(form, marks)).to_pass is None


def test_d2_a_provisional_cut_sinks_nobody_in_summative_mode() -> None:
    assert of(TEN, "..........", cut=Cut(Fraction(4, 5))) == Settling(None, None)


def test_d2_credit_for_not_done_makes_sinking_harder() -> None:
    form = a_form(steps(10), credit=Credit(not_done=Fraction(1, 2)))
    assert len(of(form, "..........").to_remediate or ()) == 5


# Brute force


def subsets(ids: list[str]) -> Iterable[tuple[str, ...]]:
    for size in range(len(ids) + 1):
        yield from combinations(ids, size)


def fewest(shown: Evidence, mark: Mark, outcome: Outcome) -> int | None:
    """The size of the smallest set of unseen steps that, so marked, gives an outcome."""
    unseen = [id for id, one in shown.marks.items() if one.state is State.NOT_SEEN]
    for chosen in subsets(unseen):
        if decide(shown.with_marks(dict.fromkeys(chosen, mark))).outcome is outcome:
            return len(chosen)
    return None


@settings(max_examples=200)
@given(evidences(little_seen=True))
def test_d2_brute_force_over_all_subsets_agrees(shown: Evidence) -> None:
    decided = decide(shown)
    assume(decided.outcome is Outcome.UNDECIDED)
    lists = settled(shown)
    order = [step.id for step in shown.steps]
    for listed, mark, outcome in (
        (lists.to_pass, DONE, Outcome.PASS),
        (lists.to_remediate, NOT_DONE, Outcome.REMEDIATE),
    ):
        size = fewest(shown, mark, outcome)
        assert (None if listed is None else len(listed)) == size
        if listed is not None:
            after = decide(shown.with_marks(dict.fromkeys(listed, mark)))
            assert after.outcome is outcome
            assert all(shown.marks[id].state is State.NOT_SEEN for id in listed)
            assert list(listed) == sorted(listed, key=order.index)
