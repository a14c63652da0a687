"""Evidence put together: credit the mean, coverage the union, a tally never the sum (T1, T5)."""

from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import assume, given, settings

from observe.domain.board import Verdict
from observe.domain.criticals import Finding, standings
from observe.domain.decision import Outcome, Standing, decide
from observe.domain.form import CriticalKind, Mode, Rule
from observe.domain.marks import (
    DID_NOT_ARISE,
    DONE,
    INCORRECT,
    NOT_APPLICABLE,
    NOT_DONE,
    NOT_SEEN,
    Mark,
    State,
)
from observe.domain.pooling import can_pool, joined, pooled
from observe.domain.scoring import Evidence, Share, score
from observe.domain.settling import settling
from tests.domain.builders import a_critical, a_form, a_step, seen, steps
from tests.domain.strategies import evidences, same_attempt
from tests.domain.test_settling import fewest

FOUR = a_form(steps(4))
TEN = a_form(steps(10))


def unseen(evidence: Evidence) -> Evidence:
    """The observation of the same attempt by someone who saw nothing of it."""
    return replace(
        evidence,
        marks=dict.fromkeys(evidence.marks, NOT_SEEN),
        verdicts={},
        attested=frozenset(),
        overall=None,
        elapsed_s=None,
        newer=0,
        void=False,
    )


def width(share: Share) -> Fraction:
    assert share.low is not None
    assert share.high is not None
    return share.high - share.low


def test_t1_credit_is_the_mean_of_those_who_saw_the_step() -> None:
    guided = Mark(State.DONE, 2)
    one = seen(FOUR, {"1": DONE, "2": guided, "3": DONE})
    other = seen(FOUR, {"1": NOT_DONE, "2": DONE})
    both = pooled(one, other)
    halfway = (FOUR.credit.done[0] + FOUR.credit.done[2]) / 2
    assert [both.credit(id) for id in "123"] == [Fraction(1, 2), halfway, Fraction(1)]
    assert both.marks["4"] == NOT_SEEN


def test_t1_coverage_is_the_union() -> None:
    both = pooled(seen(TEN, "ddddd....."), seen(TEN, "...dddd..."))
    assert score(both).whole.coverage == Fraction(7, 10)
    assert score(both).unseen == ("8", "9", "10")


@pytest.mark.parametrize(
    ("one", "other", "together"),
    [
        (NOT_APPLICABLE, NOT_SEEN, NOT_APPLICABLE),
        (NOT_APPLICABLE, INCORRECT, INCORRECT),
        (DID_NOT_ARISE, NOT_SEEN, DID_NOT_ARISE),
        (DID_NOT_ARISE, NOT_APPLICABLE, NOT_APPLICABLE),
        (DONE, NOT_DONE, NOT_DONE),
    ],
)
def test_t1_who_saw_a_step_says_what_it_was(one: Mark, other: Mark, together: Mark) -> None:
    form = a_form([a_step("1", not_applicable=True, when="bone is met"), a_step("2")])
    for first, second in ((one, other), (other, one)):
        assert pooled(seen(form, {"1": first}), seen(form, {"1": second})).marks["1"] == together


def test_t1_a_tally_is_the_greatest_by_one_observer_never_the_sum() -> None:
    item = a_critical("X", "1", kind=CriticalKind.TALLY, tally=3)
    form = a_form(steps(10), criticals=(item,))
    two, one = (Verdict.COUNTED,) * 2, (Verdict.COUNTED,)
    both = pooled(seen(form, "d" * 10, verdicts={"X": two}), seen(form, "d" * 10))
    assert standings(both)["X"].count == 2
    both = pooled(
        seen(form, "d" * 10, verdicts={"X": two}), seen(form, "d" * 10, verdicts={"X": one})
    )
    assert (standings(both)["X"].count, standings(both)["X"].finding) == (2, Finding.COUNTED)
    assert decide(both).outcome is Outcome.PASS


def test_c1_an_item_is_watched_when_the_two_together_saw_its_steps() -> None:
    form = a_form(steps(4), criticals=(a_critical("X", "1", "4"),), rule=Rule(coverage={}))
    one, other = seen(form, "dd.."), seen(form, "..dd")
    for alone in (one, other):
        assert standings(alone)["X"].finding is Finding.NOT_WATCHED
    assert standings(pooled(one, other))["X"].finding is Finding.CLEAR
    assert decide(pooled(one, other)).outcome is Outcome.PASS


def test_an_overall_grade_on_either_side_of_its_minimum_stays_open() -> None:
    form = a_form(steps(10), rule=Rule(overall_minimum=3))
    one, other = seen(form, "d" * 10, overall=4), seen(form, "d" * 10, overall=2)
    line = decide(pooled(one, other)).line("overall")
    assert (line.standing, line.sentence) == (Standing.OPEN, "2 and 4, at least 3 needed.")
    same = decide(pooled(one, replace(other, overall=3))).line("overall")
    assert same.standing is Standing.MET


def test_two_clocks_on_either_side_of_the_limit_stay_open() -> None:
    form = a_form(steps(10), rule=Rule(time_limit_s=60))
    one, other = seen(form, "d" * 10, elapsed_s=60), seen(form, "d" * 10, elapsed_s=61)
    line = decide(pooled(one, other)).line("time")
    assert (line.standing, line.sentence) == (Standing.OPEN, "01:00 and 01:01, limit 01:00.")


def test_different_steps_are_not_pooled() -> None:
    assert not can_pool(seen(FOUR, "...."), seen(TEN, "." * 10))
    with pytest.raises(ValueError, match="same steps"):
        pooled(seen(FOUR, "...."), seen(TEN, "." * 10))


# Handed over


def test_t5_two_parts_of_one_watch_make_one_evidence() -> None:
    left = seen(TEN, "ddddd.....", elapsed_s=300)
    came = seen(TEN, ".....dddd.", overall=4, elapsed_s=600)
    whole = joined((left, came))
    assert decide(whole).outcome is Outcome.PASS
    assert (whole.overall, whole.elapsed_s) == (4, 600)
    assert whole.grades == {4}
    assert whole.seconds == {600}
    assert joined((left,)) is left


def test_t5_who_comes_later_attests_for_their_own_part_only() -> None:
    form = a_form(steps(4), criticals=(a_critical("X", "1"),), rule=Rule(coverage={}))
    left, came = seen(form, ".d.."), seen(form, "..dd", attested=frozenset({"X"}))
    assert standings(joined((left, came)))["X"].finding is Finding.NOT_WATCHED
    attests = replace(left, attested=frozenset({"X"}))
    assert standings(joined((attests, came)))["X"].finding is Finding.CLEAR


def test_f5_the_last_variant_stands_and_marks_it_lacks_are_gone() -> None:
    form = a_form([a_step("1"), a_step("2L", variants=("L",)), a_step("2R", variants=("R",))])
    none = seen(form, {})
    left = replace(none, steps=form.steps[:2], marks={"1": DONE, "2L": NOT_DONE})
    came = replace(none, steps=form.steps[::2], marks={"1": NOT_SEEN, "2R": DONE})
    whole = joined((left, came))
    assert dict(whole.marks) == {"1": DONE, "2R": DONE}


@given(same_attempt())
def test_t5_three_parts_weigh_alike_in_whatever_order_they_came(
    both: tuple[Evidence, Evidence],
) -> None:
    first, second = both
    three = joined((first, second, unseen(first)))
    assert score(three) == score(pooled(first, second))


# Properties


@given(evidences())
def test_pooling_with_an_observation_that_saw_nothing_changes_nothing(shown: Evidence) -> None:
    for both in (pooled(shown, unseen(shown)), pooled(unseen(shown), shown)):
        assert decide(both) == decide(shown)
        assert both.marks == shown.marks


@given(evidences())
def test_pooling_with_oneself_changes_nothing(shown: Evidence) -> None:
    both = pooled(shown, replace(shown, newer=0))
    assert decide(both) == decide(shown)


@given(same_attempt())
def test_pooling_is_symmetric(both: tuple[Evidence, Evidence]) -> None:
    first, second = both
    assert decide(pooled(first, second)) == decide(pooled(second, first))
    assert pooled(first, second).marks == pooled(second, first).marks


@given(same_attempt())
def test_s3_pooled_bounds_are_never_wider_than_the_narrower(
    both: tuple[Evidence, Evidence],
) -> None:
    first, second = (score(one).whole for one in both)
    together = score(pooled(*both)).whole
    assume(first.applicable and second.applicable and together.applicable)
    assert width(together) <= min(width(first), width(second))
    assert together.coverage >= max(first.coverage, second.coverage)


MARKS = (DONE, NOT_DONE, NOT_SEEN, NOT_APPLICABLE)
SMALL = a_form(
    [a_step(id, weight=weight, not_applicable=True) for id, weight in (("1", 2), ("2", 1))]
)


def test_s3_bounds_by_brute_force_over_all_marks_of_two_steps() -> None:
    """Where they agree on what both saw, the pooled bounds lie within those of each."""
    evidence = [seen(SMALL, dict(zip("12", two, strict=True))) for two in product(MARKS, repeat=2)]
    tried = 0
    for first, second in product(evidence, repeat=2):
        together = score(pooled(first, second)).whole
        for alone in (score(first).whole, score(second).whole):
            if not (together.applicable and alone.applicable):
                continue
            assert width(together) <= width(alone)
            if _agree(first, second):
                tried += 1
                assert alone.low <= together.low <= together.high <= alone.high  # type: ignore[operator]  # they apply
    assert tried > 50


def _agree(first: Evidence, second: Evidence) -> bool:
    return all(
        NOT_SEEN in (mark, second.marks[id]) or mark == second.marks[id]
        for id, mark in first.marks.items()
    )


@given(same_attempt())
def test_t1_a_pooled_credit_lies_between_the_two(both: tuple[Evidence, Evidence]) -> None:
    together = pooled(*both)
    for id, mark in together.marks.items():
        each = [one.credit(id) for one in both if one.marks[id].state.is_outcome]
        if each:
            assert min(each) <= together.credit(id) <= max(each)
            assert together.credit(id) == sum(each, Fraction(0)) / len(each)
        else:
            assert not mark.state.is_outcome


@settings(max_examples=60)
@given(same_attempt(most=5, little_seen=True))
def test_d2_what_would_settle_pooled_evidence_agrees_with_brute_force(
    both: tuple[Evidence, Evidence],
) -> None:
    shown = pooled(*both)
    decision = decide(shown)
    lists = settling(shown, decision)
    if decision.outcome is not Outcome.UNDECIDED:
        assert lists is None
        return
    assert lists is not None
    for listed, mark, outcome in (
        (lists.to_pass, DONE, Outcome.PASS),
        (lists.to_remediate, NOT_DONE, Outcome.REMEDIATE),
    ):
        assert (None if listed is None else len(listed)) == fewest(shown, mark, outcome)


def test_summative_averted_counts_in_a_tally_only_where_a_hand_is_fatal() -> None:
    item = a_critical("X", "1", kind=CriticalKind.TALLY, tally=2)
    form = a_form(steps(2), criticals=(item,))
    one = seen(form, "dd", verdicts={"X": (Verdict.AVERTED, Verdict.AVERTED)})
    other = seen(form, "dd", verdicts={"X": (Verdict.COUNTED,)})
    assert standings(pooled(one, other))["X"].finding is Finding.FATAL
    calm = [replace(each, mode=Mode.FORMATIVE) for each in (one, other)]
    assert standings(pooled(*calm))["X"].count == 1
