"""Whether grades, credit and rule of a form make sense (F6, F7, M3, S5)."""

import pytest

from tests.domain.smallform import SMALL, changed, faults_of, form_of, line_of, only_fault

GRADES = SMALL[SMALL.index("grades = [") : SMALL.index("[[dimensions]]")]
MINIMA = SMALL[SMALL.index("[rule.minima]") : SMALL.index("[[kit]]")]


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("borderline = 2", "borderline = 7", "borderline is not a grade between the lowest and"),
        ("borderline = 2", "borderline = 1", "borderline is not a grade between the lowest and"),
        ("borderline = 2", "borderline = 3", "borderline is not a grade between the lowest and"),
        ("overall_minimum = 2", "overall_minimum = 9", "overall_minimum is not a grade"),
        ("value = 3", "value = 4", "The overall grade: grade 4 follows grade 2."),
        ('value = 2, label = "Light"', 'value = 1, label = "Light"', "grade 1 follows grade 1."),
        ("level = 2", "level = 1", "Independence level 1 follows level 1."),
        ("[1, 0.75, 0.5, 0.25, 0]", "[1, 0.5, 0.75, 0.25, 0]", "more credit for more help"),
        ("[1, 0.75, 0.5, 0.25, 0]", "[0.9, 0.75, 0.5, 0.25, 0]", "without a prompt does not give"),
        ("[1, 0.75, 0.5, 0.25, 0]", "[1.5, 1, 0.5, 0.25, 0]", "leaves the range from 0 to 1"),
        ("[1, 0.75, 0.5, 0.25, 0]", "[1, 0.75, 0.5, 0.25, -1]", "leaves the range from 0 to 1"),
        ("[0, 0, 0, 0, 0]", "[0, 0, 0, 0, 0.1]", "incorrect gives more credit for more help"),
        ("[0, 0, 0, 0, 0]", "[0.3, 0, 0, 0, 0]", "incorrect gives more than a step done with"),
        ("not_done = 0", "not_done = 0.3", "not_done gives more than a step done with much help"),
        ("technique = 0.6", "tecnique = 0.6", "a minimum for the domain “tecnique”"),
        ("cut = 0.8", "cut = 0.8\nk = 1", "The rule is conjunctive and has a k"),
        ('kind = "conjunctive"', 'kind = "compensatory"', "compensatory and has domain minima"),
        ('kind = "conjunctive"', 'kind = "k-of-n"', "The rule asks for 0 of 1 domain minima."),
        ('kind = "conjunctive"', 'kind = "k-of-n"\nk = 2', "The rule asks for 2 of 1 domain"),
        (MINIMA, "", "The rule is conjunctive and has no domain minima."),
        (
            GRADES,
            GRADES[: GRADES.index("  { value = 3")] + "]\n\n",
            "has 2 grades; 3 are the fewest",
        ),
    ],
)
def test_one_misfit_is_found(old: str, new: str, sentence: str) -> None:
    found = [fault for fault in faults_of(changed(old, new)) if sentence in fault.sentence]
    assert len(found) == 1
    assert found[0].blocking


def test_m3_credit_that_rises_stands_on_the_line_of_the_table() -> None:
    fault = only_fault(changed("[1, 0.75, 0.5, 0.25, 0]", "[1, 0.5, 0.75, 0.25, 0]"))
    assert fault.line == line_of("done = [1, 0.75")


def test_m3_incorrect_may_give_some_credit() -> None:
    form = form_of(changed("incorrect = [0, 0, 0, 0, 0]", "incorrect = [0.25, 0.2, 0, 0, 0]"))
    assert max(form.credit.incorrect) == form.credit.done[3]


@pytest.mark.parametrize("k", [1, 2])
def test_f6_k_of_n(k: int) -> None:
    text = changed('kind = "conjunctive"', f'kind = "k-of-n"\nk = {k}')
    assert form_of(changed("technique = 0.6", "technique = 0.6\nasepsis = 0.5", text)).rule.k == k


def test_f6_compensatory_has_the_cut_alone() -> None:
    assert (
        form_of(changed('"conjunctive"', '"compensatory"', changed(MINIMA, ""))).rule.minima == {}
    )


def test_a_minimum_for_a_domain_that_one_variant_does_not_score() -> None:
    text = changed('phase = "before"\ndomain = "asepsis"', 'phase = "before"\ndomain = "technique"')
    text = changed('label = "Stands on the left"', 'label = "Stands left"', text)
    text = text.replace(
        'id = "S2L"\nphase = "before"\ndomain = "technique"',
        'id = "S2L"\nphase = "before"\ndomain = "asepsis"',
    )
    fault = only_fault(changed("technique = 0.6", "asepsis = 0.6", text))
    assert fault.sentence == (
        "The rule has a minimum for the domain asepsis, of which the variant right scores no step."
    )


def test_s2_less_coverage_in_summative_mode_is_a_remark() -> None:
    remark = only_fault(changed("summative = 0.9", "summative = 0.5"))
    assert "less coverage in summative" in remark.sentence
    assert not remark.blocking


def test_no_grades_at_all_is_one_fault() -> None:
    text = changed(GRADES, "\n", changed("overall_minimum = 2\n", ""))
    assert only_fault(text).sentence == "The overall grade has 0 grades; 3 are the fewest."
