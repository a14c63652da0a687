"""Score, coverage and bounds, exact (rules S1, S2, S3)."""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given

from observe.domain import gestures
from observe.domain.board import Verdict
from observe.domain.form import Credit, Mode, Rule
from observe.domain.marks import (
    DID_NOT_ARISE,
    DONE,
    NOT_APPLICABLE,
    NOT_DONE,
    NOT_SEEN,
    Mark,
    State,
    credit,
)
from observe.domain.profile import Departure, Doing, Profile
from observe.domain.scoring import ZERO, Cut, Evidence, Share, completed, evidence, score
from tests.domain.builders import APPROVED, Log, a_critical, a_form, a_step, seen, steps
from tests.domain.strategies import evidences

ONE = Fraction(1)


def test_f16_worked_example() -> None:
    """Bounds worked by hand: 7/9, coverage 9/11, between 63.636 and 81.818 %."""
    weights = {"a": 1, "b": 2, "c": 2, "d": 1, "e": 3, "f": 1, "g": 2}
    form = a_form(
        [a_step(id, weight=weight, not_applicable=id == "f") for id, weight in weights.items()]
    )
    marks = {
        "a": DONE,
        "b": DONE,
        "c": Mark(State.DONE, 2),
        "d": NOT_DONE,
        "e": DONE,
        "f": NOT_APPLICABLE,
    }
    whole = score(seen(form, marks)).whole
    assert whole.value == Fraction(7, 9)
    assert whole.coverage == Fraction(9, 11)
    assert (whole.low, whole.high) == (Fraction(7, 11), Fraction(9, 11))


def test_s1_the_score_is_a_ratio_over_what_was_seen() -> None:
    assert score(seen(a_form(steps(4)), "dn..")).whole.value == Fraction(1, 2)


@pytest.mark.parametrize("mark", [NOT_APPLICABLE, DID_NOT_ARISE])
def test_s1_not_applicable_and_did_not_arise_leave_the_denominator(mark: Mark) -> None:
    form = a_form(steps(3, when="bone is met", not_applicable=True))
    whole = score(seen(form, {"1": DONE, "2": NOT_DONE, "3": mark})).whole
    assert (whole.value, whole.applicable, whole.coverage) == (Fraction(1, 2), Fraction(2), ONE)


def test_s1_a_step_that_is_not_scored_weighs_nothing() -> None:
    form = a_form([a_step("1"), a_step("2", scored=False, weight=9)])
    scored = score(seen(form, "d."))
    assert (scored.whole.value, scored.whole.coverage) == (ONE, ONE)
    assert scored.unseen == ("2",)


def test_s1_credits_of_the_forms_table_are_used() -> None:
    form = a_form(steps(2), credit=Credit(not_done=Fraction(1, 4)))
    assert score(seen(form, "dn")).whole.value == Fraction(5, 8)


def test_s2_coverage_is_weight_with_an_outcome_over_applicable_weight() -> None:
    form = a_form([a_step("1", weight=3), a_step("2"), a_step("3", not_applicable=True)])
    scored = score(seen(form, {"1": NOT_DONE, "3": NOT_APPLICABLE}))
    assert scored.whole.coverage == Fraction(3, 4)


def test_s2_not_applicable_weight_is_counted_over_all_that_arose() -> None:
    form = a_form(
        [
            a_step("1", weight=3),
            a_step("2", weight=1, not_applicable=True),
            a_step("3", weight=4, when="bone is met"),
            a_step("4", weight=8, scored=False, not_applicable=True),
        ]
    )
    marks = {"1": DONE, "2": NOT_APPLICABLE, "3": DID_NOT_ARISE, "4": NOT_APPLICABLE}
    scored = score(seen(form, marks))
    assert scored.not_applicable == ("2", "4")
    assert scored.not_applicable_share == Fraction(1, 4)


def test_s3_every_unseen_step_0_then_1() -> None:
    whole = score(seen(a_form(steps(4)), "dn..")).whole
    assert (whole.low, whole.high) == (Fraction(1, 4), Fraction(3, 4))


def test_s3_nothing_seen_has_no_score_and_whole_bounds() -> None:
    whole = score(seen(a_form(steps(2)), "..")).whole
    assert (whole.value, whole.coverage, whole.low, whole.high) == (None, ZERO, ZERO, ONE)


def test_s3_nothing_applicable_has_neither_score_nor_bounds() -> None:
    whole = Share(ZERO, ZERO, ZERO)
    assert (whole.value, whole.coverage, whole.low, whole.high) == (None, ZERO, None, None)


def test_domains_share_out_the_whole() -> None:
    form = a_form([a_step("1"), a_step("2", domain="asepsis", weight=2), a_step("3")])
    scored = score(seen(form, "dn."))
    assert scored.domains["hands"] == Share(Fraction(1), Fraction(1), Fraction(2))
    assert scored.domains["asepsis"] == Share(Fraction(0), Fraction(2), Fraction(2))


def oracle(shown: Evidence, marks: Mapping[str, Mark]) -> Fraction | None:
    """The score, from the definition: the plain way to add it up."""
    outcomes = [one for one in shown.steps if one.scored and marks[one.id].state.is_outcome]
    weight = sum(one.weight for one in outcomes)
    earned = sum(one.weight * credit(marks[one.id], shown.form.credit) for one in outcomes)
    return Fraction(earned) / weight if weight else None


def completions(shown: Evidence, choices: tuple[Mark, ...]) -> Iterable[Mapping[str, Mark]]:
    unseen = [id for id, mark in shown.marks.items() if mark == NOT_SEEN]
    for chosen in product(choices, repeat=len(unseen)):
        yield {**shown.marks, **dict(zip(unseen, chosen, strict=True))}


@given(evidences(most=5))
def test_s1_agrees_with_the_definition(shown: Evidence) -> None:
    assert score(shown).whole.value == oracle(shown, shown.marks)


@given(evidences(most=5))
def test_s3_every_completion_stays_inside_the_bounds(shown: Evidence) -> None:
    """Also one in which an unseen step turns out not to apply."""
    whole = score(shown).whole
    for marks in completions(shown, (DONE, NOT_DONE, NOT_APPLICABLE)):
        value = oracle(shown, marks)
        if value is not None:
            assert whole.low is not None
            assert whole.high is not None
            assert whole.low <= value <= whole.high


@given(evidences(most=5))
def test_s3_the_upper_bound_is_reached_and_so_is_the_lower_one(shown: Evidence) -> None:
    whole = score(shown).whole
    if whole.high is not None:
        assert score(completed(shown, well=True)).whole.value == whole.high
        if shown.form.credit.not_done == 0:
            assert score(completed(shown, well=False)).whole.value == whole.low


def test_evidence_of_an_observation() -> None:
    form = a_form(
        [a_step("1"), a_step("2", domain="speech"), a_step("3", not_applicable=True)],
        criticals=(a_critical("X", "1"), a_critical("Y", "1")),
        rule=Rule(cut=Fraction(7, 10)),
    )
    profile = Profile(form.whole_digest, (Departure("2", Doing.NOT_TODAY, "no time"),))
    log = Log(form, profile=profile)
    log.mark("1")
    log.occur("X", Verdict.AVERTED)
    log.occur("X", Verdict.FATAL)
    log.occur("Y", Verdict.WITHDRAWN)
    log.do(gestures.attest_watched, ["Y"])
    log.seal()
    shown = evidence(log.state)
    assert [step.id for step in shown.steps] == ["1", "3"]
    assert shown.marks == {"1": DONE, "3": NOT_SEEN}
    assert shown.cut == Cut(Fraction(7, 10))
    assert shown.cut.is_provisional
    assert shown.verdicts == {
        "X": (Verdict.AVERTED, Verdict.FATAL),
        "Y": (Verdict.WITHDRAWN,),
    }
    assert shown.attested == {"Y"}
    assert (shown.overall, shown.mode, shown.newer, shown.void) == (3, Mode.FORMATIVE, 0, False)
    assert shown.left_out == {"speech"}
    assert shown.elapsed_s == log.second - 1


def test_f7_an_approved_standard_goes_before_the_forms_cut() -> None:
    shown = evidence(Log(a_form(steps(1))).state, APPROVED)
    assert shown.cut == APPROVED
    assert not shown.cut.is_provisional


def test_no_clock_is_no_time() -> None:
    assert evidence(Log(a_form(steps(1))).state).elapsed_s is None


def test_m6_a_void_attempt_gives_void_evidence() -> None:
    log = Log(a_form(steps(1)))
    log.do(gestures.void, "the trainer leaked")
    assert evidence(log.state).void


def test_an_item_that_is_not_classified_gives_no_evidence() -> None:
    log = Log(a_form(steps(1), criticals=(a_critical("X", "1"),)))
    log.occur("X")
    log.occur("")
    assert evidence(log.state).verdicts == {}
