"""The decision on one observation (rules D1, S3, S4, S5, F6, F7, M3, M6)."""

import re
from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.board import Verdict
from observe.domain.criticals import standings
from observe.domain.decision import ENGINE, Decision, Line, Outcome, Standing, decide
from observe.domain.form import Form, Mode, Rule, RuleKind
from observe.domain.marks import DID_NOT_ARISE, DONE, NOT_APPLICABLE, NOT_DONE, Mark, State, at_most
from observe.domain.scoring import Cut, Evidence, score
from tests.domain.builders import APPROVED, a_critical, a_form, a_step, seen, steps
from tests.domain.strategies import FLAT_CREDITS, evidences, outcomes

MET, FAILED, OPEN, NOT_ASKED = Standing.MET, Standing.FAILED, Standing.OPEN, Standing.NOT_ASKED
PASS, REMEDIATE, UNDECIDED = Outcome.PASS, Outcome.REMEDIATE, Outcome.UNDECIDED
TEN = a_form(steps(10))


@pytest.mark.parametrize(
    ("marks", "outcome"),
    [
        ("ddddddddd.", PASS),
        ("dddddddd..", UNDECIDED),
        ("ddddddddn.", PASS),
        ("dddddddnn.", UNDECIDED),
        ("dddddddnnn", REMEDIATE),
        ("nnn.......", REMEDIATE),
    ],
)
def test_d1_the_six_vectors(marks: str, outcome: Outcome) -> None:
    """Ten steps of weight 1, cut .8, minimum coverage .9, no essentials."""
    assert decide(seen(TEN, marks)).outcome is outcome


@pytest.mark.parametrize(
    ("marks", "outcome"),
    [
        ("ddddddddd.", PASS),
        ("dddddddd..", PASS),
        ("ddddddd...", UNDECIDED),
        ("dddddddd.n", PASS),
        ("ddddddd..n", UNDECIDED),
        ("dddddddnnn", REMEDIATE),
    ],
)
def test_d1_the_same_function_so_far_with_the_formative_coverage(
    marks: str, outcome: Outcome
) -> None:
    decided = decide(seen(TEN, marks, mode=Mode.FORMATIVE, cut=Cut(Fraction(4, 5))))
    assert decided.outcome is outcome


def test_d1_the_formative_evidence_minimum_is_three_quarters() -> None:
    low = {"mode": Mode.FORMATIVE, "cut": Cut(Fraction(7, 10), "approved")}
    assert decide(seen(TEN, "ddddddd...", **low)).line("evidence").standing is OPEN
    assert decide(seen(TEN, "dddddddd..", **low)).line("evidence").standing is MET
    eight = a_form(steps(8))
    assert decide(seen(eight, "dddddd..", **low)).line("evidence").standing is MET


def test_d1_practice_prints_no_decision() -> None:
    decided = decide(seen(TEN, "nnnnnnnnnn", mode=Mode.PRACTICE))
    assert decided.outcome is None
    assert decided.line("cut").standing is FAILED
    assert decided.line("evidence").standing is MET


def test_m6_void_is_no_decision() -> None:
    assert decide(seen(TEN, "dddddddddd", void=True)).outcome is None


def test_d5_a_decision_is_pinned_to_the_engine() -> None:
    assert decide(seen(TEN, "..........")).engine == ENGINE


def test_d1_at_or_above_the_cut_is_exact() -> None:
    third = a_form(steps(3), rule=Rule(coverage={}))
    cut = Cut(Fraction(2, 3), "approved")
    assert decide(seen(third, "ddn", cut=cut)).outcome is PASS
    barely = Cut(Fraction(2, 3) + Fraction(1, 10**15), "approved")
    assert decide(seen(third, "ddn", cut=barely)).outcome is REMEDIATE


@pytest.mark.parametrize(
    ("marks", "standing"),
    [("dddd.", MET), ("ddd..", OPEN), ("dddnn", FAILED), ("dd..n", OPEN), ("d..nn", FAILED)],
)
def test_d1_cut_line_by_the_bounds(marks: str, standing: Standing) -> None:
    line = decide(seen(a_form(steps(5)), marks)).line("cut")
    assert line.standing is standing
    assert line.steps == (
        tuple(step for step in "12345" if marks[int(step) - 1] == ".") * (standing is OPEN)
    )


def test_f7_the_provisional_cut_is_never_used_in_summative_mode() -> None:
    shown = seen(TEN, "dddddddddd", cut=Cut(Fraction(4, 5)))
    assert decide(shown).outcome is UNDECIDED
    assert "provisional" in decide(shown).line("cut").sentence
    failing = decide(seen(TEN, "nnnnnnnnnn", cut=Cut(Fraction(4, 5))))
    assert failing.line("cut").standing is OPEN


def test_f7_the_provisional_cut_prints_as_provisional() -> None:
    so_far = seen(TEN, "dddddddddd", cut=Cut(Fraction(4, 5)), mode=Mode.FORMATIVE)
    assert "cut 80.0 % (provisional)" in decide(so_far).line("cut").sentence
    assert "provisional" not in decide(seen(TEN, "dddddddddd")).line("cut").sentence


# Critical items


WATCHED = a_form(steps(2), criticals=(a_critical("X", "1"),), rule=Rule(coverage={}))


def critical_line(marks: str, form: Form = WATCHED, **more: Any) -> Line:  # noqa: ANN401 - any field
    return decide(seen(form, marks, **more)).line("critical")


def test_d1_the_critical_line_fails_on_a_fatal_item() -> None:
    line = critical_line("dd", verdicts={"X": (Verdict.FATAL,)})
    assert (line.standing, line.sentence) == (FAILED, "Item X: fatal.")
    assert decide(seen(WATCHED, "dd", verdicts={"X": (Verdict.FATAL,)})).outcome is REMEDIATE


def test_d1_the_critical_line_is_open_while_an_item_is_not_watched() -> None:
    line = critical_line(".d")
    assert (line.standing, line.steps) == (OPEN, ("1",))
    assert critical_line(".d", attested=frozenset({"X"})).standing is MET
    assert critical_line("d.").standing is MET


def test_d1_formative_lists_unwatched_items_beside_the_decision() -> None:
    form = a_form(steps(10), criticals=(a_critical("X", "1"), a_critical("Y", "2")))
    decided = decide(seen(form, ".ddddddddd", mode=Mode.FORMATIVE))
    assert decided.outcome is PASS
    assert decided.unwatched == ("X",)
    assert decided.line("critical").steps == ()
    assert "1 of 2 watched" in decided.line("critical").sentence


def test_d1_formative_stays_open_where_the_form_says_so() -> None:
    form = replace(WATCHED, rule=Rule(coverage={}, unwatched_open_in_formative=True))
    assert critical_line(".d", form, mode=Mode.FORMATIVE).standing is OPEN


def test_c1_an_item_that_was_put_right_once_must_still_be_watched_to_the_end() -> None:
    line = critical_line(".d", verdicts={"X": (Verdict.RECOVERED,)})
    assert line.standing is OPEN
    assert "Item X: recovered." in line.sentence


def test_d1_a_fatal_item_is_not_listed_as_unwatched() -> None:
    decided = decide(seen(WATCHED, ".d", verdicts={"X": (Verdict.FATAL,)}))
    assert decided.unwatched == ()
    assert decided.line("critical").steps == ()


# Essentials


ESSENTIAL = a_form([a_step("1", essential=True), a_step("2")], rule=Rule(coverage={}))


@pytest.mark.parametrize(
    ("mark", "standing"),
    [
        (DONE, MET),
        (Mark(State.DONE, 1), MET),
        (Mark(State.DONE, 2), FAILED),
        (NOT_DONE, FAILED),
        (Mark(State.INCORRECT), FAILED),
        (Mark(State.NOT_SEEN), OPEN),
    ],
)
def test_m3_essential_is_met_when_done_with_little_enough_prompt(
    mark: Mark, standing: Standing
) -> None:
    line = decide(seen(ESSENTIAL, {"1": mark, "2": DONE})).line("essential")
    assert line.standing is standing
    assert line.steps == (() if standing is MET else ("1",))


def test_m3_the_form_sets_the_essential_prompt() -> None:
    form = replace(ESSENTIAL, rule=Rule(coverage={}, essential_prompt=0))
    line = decide(seen(form, {"1": Mark(State.DONE, 1)})).line("essential")
    assert line.standing is FAILED


def test_f6_an_essential_step_stands_whatever_the_score() -> None:
    form = a_form([a_step("1", essential=True), *(a_step(str(n)) for n in range(2, 11))])
    assert decide(seen(form, "nddddddddd")).outcome is REMEDIATE
    assert decide(seen(form, ".ddddddddd")).outcome is UNDECIDED


def test_a_failed_essential_hides_no_unseen_one() -> None:
    form = a_form([a_step("1", essential=True), a_step("2", essential=True)])
    line = decide(seen(form, "n.")).line("essential")
    assert (line.standing, line.steps) == (FAILED, ("1",))


def test_an_essential_step_that_did_not_arise_is_not_asked() -> None:
    form = a_form([a_step("1", essential=True, when="bone is met"), a_step("2")])
    line = decide(seen(form, {"1": DID_NOT_ARISE, "2": DONE})).line("essential")
    assert line.standing is NOT_ASKED


# The evidence minimum


def excused(count: int) -> Evidence:
    form = a_form(steps(10, not_applicable=True))
    marks = {str(n): NOT_APPLICABLE if n <= count else DONE for n in range(1, 11)}
    return seen(form, marks)


def test_s2_not_applicable_cannot_buy_coverage() -> None:
    assert decide(excused(1)).outcome is PASS
    two = decide(excused(2))
    assert (two.outcome, two.line("evidence").standing) == (UNDECIDED, OPEN)
    assert two.line("evidence").steps == ()


def test_s2_not_applicable_count_and_weight_are_printed() -> None:
    sentence = decide(excused(2)).line("evidence").sentence
    assert "2 steps not applicable, 20.0 % of the weight, 10.0 % allowed." in sentence
    assert "1 step not applicable, 10.0 %" in decide(excused(1)).line("evidence").sentence
    assert "not applicable" not in decide(excused(0)).line("evidence").sentence


def test_s4_not_applicable_weight_over_the_allowance_prints_over_it() -> None:
    form = a_form([a_step("1", weight=10_004, not_applicable=True), a_step("2", weight=89_996)])
    line = decide(seen(form, {"1": NOT_APPLICABLE, "2": DONE})).line("evidence")
    assert line.standing is OPEN
    assert "10.004 % of the weight, 10.000 % allowed" in line.sentence


def test_s2_coverage_at_the_minimum_is_enough() -> None:
    assert decide(seen(TEN, "ddddddddd.")).line("evidence").standing is MET
    line = decide(seen(TEN, "dddddddd..")).line("evidence")
    assert (line.standing, line.steps) == (OPEN, ("9", "10"))


def test_steps_that_weigh_nothing_are_not_what_is_missing() -> None:
    form = a_form([a_step("1"), a_step("2", scored=False), a_step("3")])
    decided = decide(seen(form, "d.."))
    assert decided.line("evidence").steps == decided.line("cut").steps == ("3",)
    assert decide(seen(form, "...")).line("cut").steps == ("1", "3")


def test_e1_a_record_with_a_part_that_cannot_be_read_is_undecidable() -> None:
    decided = decide(seen(TEN, "dddddddddd", newer=1))
    assert decided.outcome is UNDECIDED
    assert "cannot be read" in decided.line("evidence").sentence


def test_d1_evidence_never_rescues_a_failed_line() -> None:
    assert decide(seen(TEN, "nnn.......", newer=1)).outcome is REMEDIATE


# Domains


def two_domains(rule: Rule) -> Form:
    made_of = [a_step("1"), a_step("2"), *(a_step(id, domain="asepsis") for id in "34")]
    return a_form(made_of, rule=rule)


HALVES = {"hands": Fraction(1, 2), "asepsis": Fraction(1, 2)}
LOW = Cut(Fraction(1, 10), "approved")


def rule_of(kind: RuleKind, **more: Any) -> Rule:  # noqa: ANN401 - any field of a rule
    return Rule(**{"kind": kind, "minima": HALVES, "coverage": {}, **more})


@pytest.mark.parametrize(
    ("marks", "hands", "asepsis"),
    [
        ("dndn", MET, MET),
        ("d.nn", MET, FAILED),
        ("n.d.", OPEN, MET),
        ("nn..", FAILED, OPEN),
    ],
)
def test_f6_conjunctive_asks_each_domain_minimum(
    marks: str, hands: Standing, asepsis: Standing
) -> None:
    decided = decide(seen(two_domains(rule_of(RuleKind.CONJUNCTIVE)), marks, cut=LOW))
    assert decided.line("domain:hands").standing is hands
    assert decided.line("domain:asepsis").standing is asepsis


def test_s3_a_domain_without_evidence_is_open_never_met() -> None:
    rule = rule_of(RuleKind.CONJUNCTIVE, minima={"asepsis": Fraction(0)})
    line = decide(seen(two_domains(rule), "dd..", cut=LOW)).line("domain:asepsis")
    assert (line.standing, line.steps) == (OPEN, ("3", "4"))
    assert "Nothing was seen" in line.sentence


def test_a_domain_that_is_left_out_today_is_not_asked() -> None:
    form = two_domains(rule_of(RuleKind.CONJUNCTIVE))
    shown = seen(form, "dd..", cut=LOW, left_out=frozenset({"asepsis"}))
    assert decide(shown).line("domain:asepsis").standing is NOT_ASKED


def test_a_domain_line_names_the_steps_that_fell_short() -> None:
    form = two_domains(rule_of(RuleKind.CONJUNCTIVE, minima={"hands": Fraction(1)}))
    marks = {"1": Mark(State.DONE, voiced=True), "2": Mark(State.DONE, 1), "3": NOT_DONE}
    line = decide(seen(form, marks, cut=LOW)).line("domain:hands")
    assert (line.standing, line.steps) == (FAILED, ("2",))


def test_f6_compensatory_asks_no_domain() -> None:
    form = two_domains(rule_of(RuleKind.COMPENSATORY))
    assert [line.id for line in decide(seen(form, "ddnn", cut=LOW)).lines] == [
        "critical",
        "essential",
        "evidence",
        "cut",
    ]


@pytest.mark.parametrize(
    ("k", "marks", "standing"),
    [
        (1, "ddnn", MET),
        (1, "nnnn", FAILED),
        (1, "nn..", OPEN),
        (2, "ddnn", FAILED),
        (2, "dddn", MET),
        (2, "dd..", OPEN),
    ],
)
def test_f6_k_of_n_asks_at_least_k_domain_minima(k: int, marks: str, standing: Standing) -> None:
    form = two_domains(rule_of(RuleKind.K_OF_N, k=k))
    line = decide(seen(form, marks, cut=LOW)).line("domains")
    assert line.standing is standing
    assert (line.steps == ()) is (standing is MET)


def test_k_of_n_asks_no_more_domains_than_are_in_play() -> None:
    form = two_domains(rule_of(RuleKind.K_OF_N, k=2))
    shown = seen(form, "dd..", cut=LOW, left_out=frozenset({"asepsis"}))
    line = decide(shown).line("domains")
    assert (line.standing, line.sentence) == (MET, "1 of 1 domain minima met, 1 needed.")


# Grade and time


@pytest.mark.parametrize(("overall", "standing"), [(None, OPEN), (2, FAILED), (3, MET), (4, MET)])
def test_f6_an_overall_grade_minimum(overall: int | None, standing: Standing) -> None:
    form = a_form(steps(1), rule=Rule(overall_minimum=3))
    assert decide(seen(form, "d", overall=overall)).line("overall").standing is standing


@pytest.mark.parametrize(("elapsed", "standing"), [(None, OPEN), (600, MET), (601, FAILED)])
def test_f6_a_time_limit(elapsed: int | None, standing: Standing) -> None:
    line = decide(seen(a_form(steps(1), rule=Rule(time_limit_s=600)), "d", elapsed_s=elapsed)).line(
        "time"
    )
    assert line.standing is standing
    assert "10:00" in line.sentence


def test_f6_neither_is_asked_unless_the_form_adds_it() -> None:
    ids = {line.id for line in decide(seen(TEN, "dddddddddd")).lines}
    assert ids == {"critical", "essential", "evidence", "cut"}


# Sentences


def test_s4_bounds_of_a_failing_line_never_print_at_the_cut() -> None:
    form = a_form([a_step("1", weight=20_004), a_step("2", weight=79_995), a_step("3")])
    line = decide(seen(form, "nd.")).line("cut")
    assert line.standing is FAILED
    assert "Between 80.0 and" not in line.sentence
    assert "and 79.996 %" in line.sentence


# Properties


def completed_lines(shown: Evidence) -> Iterable[Decision]:
    """The decisions on every completion: each unseen step done, or as bad as the form knows."""
    unseen = [id for id, mark in shown.marks.items() if mark.state is State.NOT_SEEN]
    for chosen in product((DONE, Mark(State.INCORRECT, 4), NOT_DONE), repeat=len(unseen)):
        yield decide(shown.with_marks(dict(zip(unseen, chosen, strict=True))))


def over_completions(shown: Evidence, line: str) -> Standing:
    stands = {one.line(line).standing for one in completed_lines(shown)}
    return stands.pop() if len(stands) == 1 else OPEN


def has_evidence(shown: Evidence, domain: str | None = None) -> bool:
    return any(
        step.scored and domain in (None, step.domain) and shown.marks[step.id].state.is_outcome
        for step in shown.steps
    )


@given(evidences(most=4))
def test_d1_lines_agree_with_all_completions(shown: Evidence) -> None:
    """Cut, domains and essentials: met if met by all completions, failed if failed by all."""
    decided = decide(shown)
    if has_evidence(shown):
        assert decided.line("cut").standing is over_completions(shown, "cut")
    assert decided.line("essential").standing is over_completions(shown, "essential")
    for line in decided.lines:
        kind, _, domain = line.id.partition(":")
        if kind == "domain" and (line.standing is NOT_ASKED or has_evidence(shown, domain)):
            assert line.standing is over_completions(shown, line.id)
    in_play = [id for id in shown.form.rule.minima if id not in shown.left_out]
    if shown.form.rule.kind is RuleKind.K_OF_N and all(has_evidence(shown, id) for id in in_play):
        assert decided.line("domains").standing is over_completions(shown, "domains")


@given(evidences(most=4))
def test_d1_outcome_follows_from_the_lines(shown: Evidence) -> None:
    decided = decide(shown)
    stands = [line.standing for line in decided.lines]
    expected = PASS
    if OPEN in stands:
        expected = UNDECIDED
    if FAILED in stands:
        expected = REMEDIATE
    assert decided.outcome is expected


@given(evidences(most=4))
def test_d1_a_decided_attempt_stays_decided_by_every_completion(shown: Evidence) -> None:
    """What was not seen cannot overturn pass or remediate."""
    outcome = decide(shown).outcome
    if outcome is not UNDECIDED:
        enough = shown.mode is Mode.SUMMATIVE or shown.form.rule.unwatched_open_in_formative
        for one in completed_lines(shown):
            assert one.outcome is outcome or not enough


RANK: dict[object, int] = {FAILED: 0, OPEN: 1, MET: 2, REMEDIATE: 0, UNDECIDED: 1, PASS: 2}


@given(evidences(tables=FLAT_CREDITS), st.data())
def test_s5_raising_a_mark_never_lowers_score_outcome_or_any_line(
    shown: Evidence, data: st.DataObject
) -> None:
    marked = [id for id, mark in shown.marks.items() if mark.state.is_outcome]
    if not marked:
        return
    id = data.draw(st.sampled_from(marked))
    raised = data.draw(outcomes.filter(lambda mark: at_most(shown.marks[id], mark)))
    better = shown.with_marks({id: raised})
    before, after = decide(shown), decide(better)
    low, high = score(shown).whole.value, score(better).whole.value
    assert low is None or (high is not None and low <= high)
    assert RANK[before.outcome] <= RANK[after.outcome]
    for line in before.lines:
        if line.standing is not NOT_ASKED:
            assert RANK[line.standing] <= RANK[after.line(line.id).standing]


@given(evidences())
def test_d1_unwatched_lists_what_was_neither_watched_nor_fatal(shown: Evidence) -> None:
    decided = decide(shown)
    assert decided.criticals == tuple(standings(shown).values())
    for one in decided.criticals:
        listed = one.item.id in decided.unwatched
        assert listed is (not one.watched and one.finding.value != "fatal")


@given(evidences())
def test_s4_the_cut_line_never_contradicts_its_numbers(shown: Evidence) -> None:
    line = decide(shown).line("cut")
    numbers = re.match(r"([\d.]+) %, cut ([\d.]+) %", line.sentence)
    if numbers and line.standing is not OPEN:
        printed, cut = Fraction(numbers[1]), Fraction(numbers[2])
        assert (printed >= cut) is (line.standing is MET)


@given(evidences())
def test_sentences_are_sentences_whatever_is_missing(shown: Evidence) -> None:
    for line in decide(shown).lines:
        assert line.sentence.endswith(".")
        assert not re.search(r"\bnan\b|\binf\b|Fraction|None %", line.sentence)


def test_an_approved_standard_decides_in_summative_mode() -> None:
    assert decide(seen(TEN, "dddddddddd", cut=APPROVED)).outcome is PASS


def test_c1_an_item_whose_steps_are_all_left_out_is_not_said_to_be_watched() -> None:
    form = a_form(steps(2), criticals=(a_critical("C1", "1"), a_critical("C2", "2")))
    evidence = seen(form, "dd", steps=form.steps[:1], mode=Mode.FORMATIVE)
    line = decide(evidence).line("critical")
    assert line.standing is Standing.MET
    assert line.sentence == "All 1 watched, none fatal. Not in play today: Item C2."
