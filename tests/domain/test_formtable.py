"""Typed reading of a form's tables: what is wrong is said, with its line and a way out."""

from fractions import Fraction

import pytest

from observe.domain.form import Voice
from observe.domain.formtable import LONGEST_LABEL, MOST_ENTRIES
from tests.domain.smallform import SMALL, changed, faults_of, form_of, line_of, only_fault


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('label = "Turns the screw"', "label = 3", "Step S3: label is a number; text is needed."),
        ('label = "Turns the screw"', 'label = " "', "Step S3: label is empty."),
        ('label = "Turns the screw"', 'label = "a\\u0007b"', "label holds a sign that cannot be"),
        ('label = "Turns the screw"', 'label = "a\\u202eb"', "label holds a sign that cannot be"),
        ('done = "Half a turn, then looks."', "done = [1]", "done is a list; text is needed."),
        ("weight = 0.5", 'weight = "0.5"', "Step S3: weight is text; a number is needed."),
        ("weight = 0.5", "weight = true", "weight is true or false; a number is needed."),
        ("weight = 0.5", "weight = inf", "weight is not a number that a form can hold."),
        ("weight = 0.5", "weight = nan", "weight is not a number that a form can hold."),
        ("weight = 0.5", "weight = 1e999999999999999999999", "not a number that a form can hold"),
        ("weight = 0.5", "weight = 1e-99999", "not a number that a form can hold"),
        ("weight = 0.5", "weight = 0.1234567890", "not a number that a form can hold"),
        ("weight = 0.5", "weight = 0", "weight is 0; it has to be above 0 and at most 100."),
        ("weight = 0.5", "weight = -1", "weight is -1; it has to be above 0 and at most 100."),
        ("weight = 0.5", "weight = 2026-03-02", "weight is a date or time; a number is needed."),
        ("not_applicable = true", "not_applicable = 1", "not_applicable is a number; true or"),
        ('voice = "part"', 'voice = "maybe"', "voice is “maybe”, which is not one of its words."),
        ('voice = "part"', "voice = 1", "voice is a number, which is not one of its words."),
        ('errors = ["Forgets the thumbs"]', 'errors = "one"', "errors is text; a list is needed."),
        ('errors = ["Forgets the thumbs"]', "errors = [1]", "errors is a number; text is needed"),
        ("tally = 3", "tally = 2.5", "tally is 2.5; a whole number is needed."),
        ("tally = 3", "tally = 1", "tally is 1; a whole number is needed."),
        ("incorrect = [0, 0, 0, 0, 0]", "incorrect = [0, 0]", "holds 2 numbers; 5 are needed."),
        ("incorrect = [0, 0, 0, 0, 0]", "incorrect = 0", "incorrect is a number; a list is needed"),
        ('"S1", ["S2L", "S2R"]', '"S1", []', "after holds an empty list of alternatives."),
        ('"S1", ["S2L", "S2R"]', '"S1", 7', "after is a number; text is needed."),
    ],
)
def test_one_wrong_entry_is_one_fault_on_its_line(old: str, new: str, sentence: str) -> None:
    fault = only_fault(changed(old, new))
    assert sentence in fault.sentence
    assert fault.line == line_of(old)
    assert fault.remedy.endswith((".", "?"))
    assert fault.blocking


def test_f2_zero_is_exact_however_it_is_spelled() -> None:
    form = form_of(changed("not_done = 0", "not_done = 0e-99999999999"))
    assert form.credit.not_done == 0


def test_a_missing_entry_is_named_at_the_head_of_its_table() -> None:
    text = changed('label = "Turns the screw"\n', "")
    fault = only_fault(text)
    assert fault.sentence == "Step S3 has no label."
    assert fault.line == line_of('id = "S3"', text) - 1
    assert fault.entry == "[[steps]]"


def test_an_unknown_key_is_named_with_the_one_that_was_meant() -> None:
    fault = only_fault(changed('voice = "part"', 'voise = "part"'))
    assert fault.sentence == "Step S3 has the key “voise”, which forms do not know."
    assert fault.remedy == "Did you mean “voice”?"
    assert fault.line == line_of('voice = "part"')


def test_an_unknown_key_that_resembles_none_gets_a_way_out_all_the_same() -> None:
    fault = only_fault(changed('voice = "part"', '"\\u001b[31m" = 1'))
    assert fault.remedy == "Leave it out, or see the shipped forms."
    assert "\x1b" not in fault.sentence


def test_a_step_that_is_no_table_is_one_fault() -> None:
    text = changed('[[variants]]\nid = "left"', 'kit = [3]\n\n[[variants]]\nid = "left"')
    text = changed(text[text.index("[[kit]]") : text.index("[[sources]]")], "", text)
    fault = only_fault(text)
    assert fault.sentence == "Kit number 1 is a number; a table is needed."
    assert fault.line == line_of("kit = [3]", text)


def test_labels_have_at_most_60_signs() -> None:
    longest = "x" * LONGEST_LABEL
    assert form_of(changed('"Turns the screw"', f'"{longest}"')).step["S3"].label == longest
    fault = only_fault(changed('"Turns the screw"', f'"{longest}y"'))
    assert fault.sentence == "Step S3: label has 61 signs; 60 is the most."
    assert fault.remedy == "Shorten it by 1."


def test_a_letter_made_of_two_signs_counts_once() -> None:
    assert (
        form_of(changed('"Turns the screw"', '"' + "e\u0301" * LONGEST_LABEL + '"')).id == "SMALL"
    )


def test_identities_hold_no_blanks() -> None:
    fault = only_fault(changed('id = "touch"', 'id = "to uch"'))
    assert "signs that an identity cannot have" in fault.sentence


def test_lists_end_somewhere() -> None:
    many = ", ".join(['"x"'] * (MOST_ENTRIES + 1))
    fault = only_fault(changed('["Forgets the thumbs"]', f"[{many}]"))
    assert fault.sentence == "Step S1: errors has 201 entries; 200 are the most."


def test_many_unknown_keys_are_not_listed_without_end() -> None:
    keys = "\n".join(f"key{number} = 1" for number in range(MOST_ENTRIES + 50))
    assert len(faults_of(changed('voice = "part"', keys))) == MOST_ENTRIES


def test_harmless_values_stand_where_entries_are_left_out() -> None:
    step = form_of().step["S1"]
    assert step.voice is Voice.NO
    assert step.scored
    assert step.when == ""
    assert step.weight == Fraction(2)


@pytest.mark.parametrize(
    ("old", "new", "meant"),
    [
        ("weight = 0.5", "wieght = 0.5", "weight"),
        ("[overall]", "[overal]", "overall"),
        ("[[critical]]", "[[criticals]]", "critical"),
        ("[rule.minima]", "[rule.minma]", "minima"),
        ("borderline = 2", "bordeline = 2", "borderline"),
        ('watch = ["S3"]', 'wach = ["S3"]', "watch"),
        ('review = "none"', 'revue = "none"', "review"),
    ],
)
def test_a_misspelt_key_that_is_needed_is_one_fault(old: str, new: str, meant: str) -> None:
    fault = only_fault(changed(old, new))
    assert fault.remedy == f"Did you mean “{meant}”?"
    assert fault.line == line_of(old)


def test_a_missing_table_is_asked_for_as_a_table() -> None:
    start, end = SMALL.index("[overall]"), SMALL.index("[[dimensions]]")
    text = changed("overall_minimum = 2\n", "", SMALL[:start] + SMALL[end:])
    assert only_fault(text).remedy == "Add a table [overall]."
