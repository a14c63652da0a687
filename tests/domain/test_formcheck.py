"""Whether the parts of a form fit together (F3, F4, F5)."""

import pytest

from tests.domain.smallform import SMALL, changed, faults_of, form_of, line_of, only_fault

STEP = SMALL[SMALL.index('[[steps]]\nid = "S3"') : SMALL.index("[[critical]]")]
CRITICAL = SMALL[SMALL.index("[[critical]]") : SMALL.index("[overall]")]


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('phase = "after"', 'phase = "afer"', "Step S3 names the phase “afer”, which the form"),
        ('domain = "asepsis"', 'domain = "asepsys"', "Step S1 names the domain “asepsys”"),
        ('variants = ["left"]', 'variants = ["lefft"]', "names the variant “lefft”"),
        ('sources = ["C", "B"]', 'sources = ["C", "B", "D"]', "names the source “D”"),
        ('watch = ["S3"]', 'watch = ["S9"]', "Critical item C1 names the step “S9”"),
        ('watch = ["S3"]', "watch = []", "names no step during which it can be seen"),
        ('watch = ["S3"]\n', "", "names no step during which it can be seen"),
        ('id = "S2R"', 'id = "S1"', "Step S1 stands twice in the form."),
        ('id = "after"', 'id = "before"', "Phase before stands twice in the form."),
        ('id = "right"', 'id = "left"', "Variant left stands twice in the form."),
        ('code = "B"', 'code = "C"', "Source C stands twice in the form."),
        ('id = "C1"', 'id = "S3"', "Critical item S3 is also a step."),
        (
            "essential = true",
            "essential = true\nnot_applicable = true\nreasons = ['No']",
            "Step S1 is essential and may yet be called not applicable.",
        ),
        ("essential = true", "essential = true\nwhen = 'it is wet'", "essential and yet may not"),
        ('reasons = ["No screw here"]\n', "", "and the form offers no reason."),
        ("not_applicable = true\n", "", "has reasons for not applicable, which it cannot be."),
        (
            'tally = 3\nwatch = ["S3"]\nsources = ["C"]',
            'tally = 3\nwatch = ["S3"]',
            "Critical item C1 names no source.",
        ),
        ('sources = ["C", "B"]', "sources = []", "Step S3 names no source."),
        ('cautions = ["Educational template."]\n', "", "The form has no cautions."),
    ],
)
def test_one_misfit_is_found(old: str, new: str, sentence: str) -> None:
    found = [one for one in faults_of(changed(old, new)) if sentence in one.sentence]
    assert len(found) == 1
    assert found[0].blocking


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('label = "Drops the tool"', 'label = "turns the screw."'),
        ('label = "Drops the tool"', 'label = "Half a turn, then looks"'),
        ('definition = "The tool leaves the hand and falls."', 'definition = "Cleans hands"'),
    ],
)
def test_f4_one_behaviour_is_never_both_step_and_critical(old: str, new: str) -> None:
    fault = only_fault(changed(old, new))
    assert "one behaviour is never both" in fault.sentence
    assert fault.line == line_of(old)


def test_f4_a_form_without_a_critical_item_cannot_be_used() -> None:
    assert only_fault(changed(CRITICAL, "")).sentence == "The form has no critical item."


def test_a_form_without_steps_says_so_once() -> None:
    text = SMALL[: SMALL.index("[[steps]]")] + SMALL[SMALL.index("[[critical]]") :]
    sentences = [fault.sentence for fault in faults_of(text)]
    assert sentences.count("The form has no steps.") == 1


def test_a_form_in_which_nothing_is_scored() -> None:
    text = SMALL.replace("weight = 2\n", "scored = false\n").replace(
        "weight = 1\n", "scored = false\n"
    )
    sentences = [one.sentence for one in faults_of(changed("weight = 0.5", "scored = false", text))]
    assert "No step of the form is scored." in sentences


def test_two_steps_of_one_variant_need_two_labels() -> None:
    fault = only_fault(changed('"Turns the screw"', '"Stands on the LEFT"'))
    assert fault.sentence == "Step S3 has the same label as step S2L."
    assert fault.line == line_of('label = "Turns the screw"')


def test_f5_steps_of_two_variants_may_share_a_label() -> None:
    assert form_of(changed('"Stands on the right"', '"Stands on the left"')).id == "SMALL"


def test_faults_of_many_kinds_are_found_in_one_run() -> None:
    text = changed('phase = "after"', 'phase = "afer"')
    text = changed("weight = 2", "weight = -2", text)
    text = changed('watch = ["S3"]', 'watch = ["S33"]', text)
    text = changed("cut = 0.8", "cut = 8", text)
    assert len([fault for fault in faults_of(text) if fault.blocking]) == 4


def without(first: str, after: str) -> str:
    """The small form without the passage from one heading up to another."""
    return SMALL[: SMALL.index(first)] + SMALL[SMALL.index(after) :]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (without("[[domains]]", "[[phases]]"), "The form has no domains."),
        (without("[[phases]]", "[[steps]]"), "The form has no phases."),
        (SMALL[: SMALL.index("[[sources]]")], "The form has no sources."),
    ],
)
def test_a_kind_that_is_missing_whole_is_one_fault(text: str, sentence: str) -> None:
    assert only_fault(text).sentence == sentence


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('watch = ["S3"]', 'watch = "S3"'),
        ('sources = ["C", "B"]', 'sources = "B"'),
        ('reasons = ["No screw here"]', 'reasons = "No screw here"'),
        ("not_applicable = true", 'not_applicable = "true"'),
        ('phase = "after"', "phase = 2"),
        ('id = "asepsis"', 'id = "a sepsis"'),
        ("borderline = 2", 'borderline = "2"'),
        ("overall_minimum = 2", "overall_minimum = true"),
        ('value = 2, label = "Borderline"', 'value = [2], label = "Borderline"'),
        ("level = 1", "level = {}"),
        ('kind = "conjunctive"', 'kind = "konjunctive"'),
        ('kind = "tally"', 'kind = "taly"'),
        ("weight = 0.5", "weight = []"),
    ],
)
def test_what_cannot_be_read_is_not_compared_as_well(old: str, new: str) -> None:
    text = changed(old, new)
    if "a sepsis" in new:
        text = changed('domain = "asepsis"', 'domain = "a sepsis"', text)
    assert only_fault(text).line == line_of(old)


# --------------------------------------------------------------- remarks


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        (
            '[[phases]]\nid = "after"',
            '[[phases]]\nid = "more"\nlabel = "More"\n\n[[phases]]\nid = "after"',
            "Nothing in the form uses the phase more.",
        ),
        (
            '[[domains]]\nid = "technique"',
            '[[domains]]\nid = "more"\nlabel = "More"\n\n[[domains]]\nid = "technique"',
            "Nothing in the form uses the domain more.",
        ),
        ('sources = ["C", "B"]', 'sources = ["C"]', "Nothing in the form uses the source B."),
        (
            "tally = 3",
            "tally = 3\naverted_is_fatal = false",
            "is counted, so that a single averted",
        ),
        ('watch = ["S3"]', 'watch = ["S2L"]', "can be seen during no step of the variant right."),
        (
            "weight = 0.5",
            'weight = 0.5\nvariants = ["left", "right"]',
            "Step S3 names every variant",
        ),
    ],
)
def test_remarks_stop_nothing(old: str, new: str, sentence: str) -> None:
    text = changed(old, new)
    remark = only_fault(text)
    assert sentence in remark.sentence
    assert not remark.blocking
    assert form_of(text).id == "SMALL"
