"""Score, domains and grades as printed (rules S1 to S4)."""

from dataclasses import replace
from fractions import Fraction

from observe.look.marks import LineLook
from observe.look.tokens import Token
from observe.sheets.blocks import Block, Line
from observe.sheets.content import DomainScore, GradeNote
from observe.sheets.numbers import (
    domains,
    grade_text,
    numbers,
    overall,
    printed_score,
    score,
    score_sentence,
    standard_sentence,
)
from observe.sheets.setting import SETTINGS
from tests.sheets.samples import passed, practice, remediate, scored_of, void

ROOM = 295.0
NORMAL = SETTINGS[1]
SCORED = scored_of(remediate())


def text(block: Block) -> str:
    return " ".join(item.text for item in block.items if isinstance(item, Line))


def test_s4_a_failing_score_never_prints_as_the_cut() -> None:
    close = replace(SCORED, value=Fraction(77999, 100000), cut=Fraction(78, 100))
    assert printed_score(close) == "77.999"
    assert "cut 78.000" in text(score(close, NORMAL, ROOM))


def test_f7_a_provisional_cut_is_called_so() -> None:
    assert "provisional cut 78.0" in text(score(SCORED, NORMAL, ROOM))
    assert "provisional" in score_sentence(SCORED)
    approved = replace(SCORED, is_provisional=False)
    assert "provisional" not in text(score(approved, NORMAL, ROOM))


def test_s2_coverage_and_not_applicable_are_printed_with_count_and_weight() -> None:
    said = score_sentence(SCORED)
    assert "96.9 % of the weight that applies was seen." in said
    assert "Not applicable: 1 step, 1.6 % of the weight." in said


def test_s3_the_sentence_names_both_bounds_and_what_they_mean_for_the_cut() -> None:
    assert "from 82.3 (the unseen step not done) to 85.4 (done)" in score_sentence(SCORED)
    assert "stays at or over the cut" in score_sentence(SCORED)
    under = replace(SCORED, high=Fraction(7, 10), low=Fraction(6, 10), value=Fraction(65, 100))
    assert "stays under the cut" in score_sentence(under)
    either = replace(SCORED, low=Fraction(7, 10), unseen=4)
    assert "all 4 unseen steps not done" in score_sentence(either)
    assert "either side" in score_sentence(either)


def test_nothing_seen_has_no_score_and_says_so() -> None:
    nothing = replace(SCORED, value=None)
    assert text(score(nothing, NORMAL, ROOM)).endswith("no step with a weight was seen.")


def test_practice_shows_no_cut() -> None:
    assert "cut" not in text(score(scored_of(practice()), NORMAL, ROOM))


def test_a_known_error_of_measurement_is_drawn_and_named() -> None:
    known = replace(SCORED, error=Fraction(31, 1000))
    assert "± 3.1, one standard error between observers." in score_sentence(known)
    before, after = score(SCORED, NORMAL, ROOM), score(known, NORMAL, ROOM)
    assert len(after.items) > len(before.items)


def test_a_failed_domain_is_told_by_colour_and_weight_and_line() -> None:
    block = domains(remediate().domains, NORMAL, 176)
    failed = next(i for i in block.items if isinstance(i, Line) and i.text.startswith("58.0"))
    assert failed.style.ink is Token.WRONG
    assert "upright line: minimum" in text(block)


def test_s3_a_domain_without_evidence_is_open_never_zero() -> None:
    unseen = DomainScore("Closing", None, Fraction(0), Fraction(1), Fraction(6, 10), LineLook.OPEN)
    assert text(domains((unseen,), NORMAL, 176)).endswith("Closing not seen")
    left_out = DomainScore("Closing", None, None, None, None, LineLook.NOT_ASKED)
    assert text(domains((left_out,), NORMAL, 176)).endswith("Closing not today")
    assert "minimum" not in text(domains((left_out,), NORMAL, 176))


def test_a_grade_names_the_borderline_once() -> None:
    assert grade_text(GradeNote("Overall", 3, 5, "Competent")) == "3 of 5, Competent"
    assert grade_text(GradeNote("Overall", 2, 5, "Borderline", is_borderline=True)) == (
        "2 of 5, Borderline"
    )
    assert grade_text(GradeNote("Overall", 2, 5, "Nearly", is_borderline=True)) == (
        "2 of 5, Nearly, borderline"
    )
    assert grade_text(GradeNote("Trouble", None, 5, "")) == "not observable"


def test_the_overall_grade_comes_with_its_anchor_and_independence() -> None:
    content = remediate()
    assert content.overall is not None
    said = text(overall(content.overall, content.independence, NORMAL, ROOM))
    assert "3 of 5, Competent with help near" in said
    assert "Completes the procedure safely" in said
    assert "Independence: prompted at points." in said


def test_score_grade_and_domains_stand_side_by_side() -> None:
    block = numbers(remediate(), NORMAL, 493)
    assert block.width == 493
    assert "Overall grade" in text(block)
    assert "Domains" in text(block)


def test_a_void_attempt_has_no_numbers() -> None:
    assert numbers(void(), NORMAL, ROOM).height == 0


def test_a1_the_score_stands_with_its_absolute_error_or_with_the_reason_why_not() -> None:
    known = replace(SCORED, error=Fraction(31, 1000), error_basis="from 14 attempts seen by two")
    assert (
        "Grey: 84.9 ± 3.1, one standard error between observers, from 14 attempts seen by two."
        in score_sentence(known)
    )
    unknown = replace(SCORED, error_basis="Standard error between observers: not estimable.")
    assert "Standard error between observers: not estimable." in score_sentence(unknown)


def test_a9_a_standard_says_what_it_rests_on_and_what_it_is_not() -> None:
    standard = passed().standard
    said = standard_sentence(standard)
    assert said.startswith(
        "Standard: Angoff, mean, 8 judges, standard error 2.1, in effect from 1 March 2026. It is"
    )
    assert said in text(numbers(passed(), NORMAL, 480))
    assert standard is not None
    bare = replace(standard, error=None, is_not="")
    assert standard_sentence(bare).endswith(
        "without a standard error, in effect from 1 March 2026."
    )
    assert standard_sentence(None) == ""
