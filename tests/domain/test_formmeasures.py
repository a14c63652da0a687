"""Grades, credit and rule arrive exactly, or their faults are named (F2, F6, F7, M3)."""

from fractions import Fraction

import pytest

from observe.domain.form import Grade, Independence, Mode, RuleKind
from tests.domain.smallform import SMALL, changed, form_of, only_fault


def test_grades_arrive_with_their_anchors() -> None:
    form = form_of()
    assert form.overall.label == "Overall grade"
    assert form.overall.grades[1] == Grade(2, "Borderline", "Unclear.")
    assert form.overall.borderline == 2
    assert form.dimensions[0].grades[0] == Grade(1, "Rough", "Hurts.")
    assert form.independence == (Independence(1, "With help"), Independence(2, "Alone"))


def test_f6_a_rule_arrives_exactly() -> None:
    rule = form_of().rule
    assert rule.kind is RuleKind.CONJUNCTIVE
    assert rule.cut == Fraction(4, 5)
    assert rule.minima == {"technique": Fraction(3, 5)}
    assert rule.coverage == {Mode.FORMATIVE: Fraction(3, 4), Mode.SUMMATIVE: Fraction(9, 10)}
    assert (rule.overall_minimum, rule.time_limit_s) == (2, 90)


def test_m3_a_credit_table_left_out_is_the_usual_one() -> None:
    table = SMALL[SMALL.index("[credit]") : SMALL.index("[rule]\n")]
    assert form_of(changed(table, "")).credit == form_of().credit


def test_s2_coverage_left_out_is_the_usual_one() -> None:
    table = SMALL[SMALL.index("[rule.coverage]") : SMALL.index("[rule.minima]")]
    assert form_of(changed(table, "")).rule.coverage == form_of().rule.coverage


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('kind = "conjunctive"', 'kind = "both"', "The rule: kind is “both”, which is not one"),
        ("cut = 0.8", "cut = 1.01", "cut is 1.01; it has to be above 0 and at most 1."),
        ("cut = 0.8", "cut = 0", "cut is 0; it has to be above 0 and at most 1."),
        ("cut = 0.8\n", "", "The rule has no cut."),
        ("essential_prompt = 1", "essential_prompt = 4", "essential_prompt is 4; a whole number"),
        ("formative = 0.75", "formativ = 0.75", "The least coverage has the key “formativ”"),
        ("technique = 0.6", "technique = 1.5", "technique is 1.5; it has to be above 0"),
        ("time_limit_minutes = 1.5", "time_limit_minutes = 0.001", "not a whole number of seconds"),
        ("time_limit_minutes = 1.5", "time_limit_minutes = 0", "has to be above 0 and at most 600"),
    ],
)
def test_one_wrong_entry_is_one_fault(old: str, new: str, sentence: str) -> None:
    fault = only_fault(changed(old, new))
    assert sentence in fault.sentence


@pytest.mark.parametrize("name", ["[overall]", "[rule]"])
def test_tables_that_every_form_has(name: str) -> None:
    key = name.strip("[]")
    start = SMALL.index(f"{name}\n")
    end = SMALL.index("[[dimensions]]" if key == "overall" else "[[kit]]")
    text = SMALL[:start] + SMALL[end:]
    if key == "overall":
        text = changed("overall_minimum = 2\n", "", text)
    assert f"has no {key}" in only_fault(text).sentence
