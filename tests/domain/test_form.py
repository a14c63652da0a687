"""The model of a form: variants, prerequisites, two digests (F1, F2, F5, M5)."""

import re
from collections.abc import Callable
from dataclasses import fields, replace
from fractions import Fraction
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.canonical import canonical
from observe.domain.form import (
    Credit,
    Critical,
    CriticalKind,
    Form,
    Mode,
    Overall,
    Review,
    Rule,
    RuleKind,
    Step,
    Voice,
)
from observe.domain.formtext import read
from tests.domain.smallform import SMALL, changed, form_of

Change = Callable[[str, object], Form]

FORM = form_of()


def with_step(name: str, value: object) -> Form:
    """The small form with its last step changed."""
    part: dict[str, Any] = {name: value}
    return replace(FORM, steps=(*FORM.steps[:-1], replace(FORM.steps[-1], **part)))


def with_critical(name: str, value: object) -> Form:
    part: dict[str, Any] = {name: value}
    return replace(FORM, criticals=(replace(FORM.criticals[0], **part),))


def with_overall(name: str, value: object) -> Form:
    part: dict[str, Any] = {name: value}
    return replace(FORM, overall=replace(FORM.overall, **part))


def with_credit(name: str, value: object) -> Form:
    part: dict[str, Any] = {name: value}
    return replace(FORM, credit=replace(FORM.credit, **part))


def with_rule(name: str, value: object) -> Form:
    part: dict[str, Any] = {name: value}
    return replace(FORM, rule=replace(FORM.rule, **part))


def with_form(name: str, value: object) -> Form:
    part: dict[str, Any] = {name: value}
    return replace(FORM, **part)


SCORING: list[tuple[Change, str, object]] = [
    (with_form, "id", "OTHER"),
    (with_form, "variants", FORM.variants[:1]),
    (with_form, "domains", FORM.domains[:1]),
    (with_form, "steps", FORM.steps[::-1]),
    (with_form, "criticals", ()),
    (with_form, "overall", replace(FORM.overall, label="Grade")),
    (with_form, "dimensions", ()),
    (with_form, "credit", Credit(not_done=Fraction(1, 10))),
    (with_form, "rule", Rule()),
    (with_step, "id", "S4"),
    (with_step, "label", "Turns the bolt"),
    (with_step, "done", "One turn."),
    (with_step, "domain", "asepsis"),
    (with_step, "weight", Fraction(1)),
    (with_step, "scored", False),
    (with_step, "essential", True),
    (with_step, "voice", Voice.NO),
    (with_step, "after", (("S1",),)),
    (with_step, "variants", ("left",)),
    (with_step, "when", ""),
    (with_step, "not_applicable", False),
    (with_critical, "id", "C2"),
    (with_critical, "label", "Loses the tool"),
    (with_critical, "definition", "The tool falls."),
    (with_critical, "watch", ("S1",)),
    (with_critical, "kind", CriticalKind.ABSOLUTE),
    (with_critical, "tally", 4),
    (with_critical, "averted_is_fatal", False),
    (with_overall, "label", "Grade"),
    (with_overall, "grades", FORM.overall.grades[:2]),
    (with_overall, "borderline", 1),
    (with_credit, "done", (Fraction(1),) * 5),
    (with_credit, "incorrect", (Fraction(1, 5),) * 5),
    (with_credit, "not_done", Fraction(1, 5)),
    (with_rule, "kind", RuleKind.COMPENSATORY),
    (with_rule, "cut", Fraction(4, 5) + Fraction(1, 10**9)),
    (with_rule, "minima", {}),
    (with_rule, "k", 1),
    (with_rule, "essential_prompt", 0),
    (with_rule, "coverage", {Mode.FORMATIVE: Fraction(1, 2), Mode.SUMMATIVE: Fraction(9, 10)}),
    (with_rule, "not_applicable_allowance", Fraction(1, 5)),
    (with_rule, "unwatched_open_in_formative", True),
    (with_rule, "overall_minimum", None),
    (with_rule, "time_limit_s", 91),
]

BESIDE: list[tuple[Change, str, object]] = [
    (with_form, "version", "1.1"),
    (with_form, "title", "Another title"),
    (with_form, "short", "Other"),
    (with_form, "purpose", "Another purpose."),
    (with_form, "cautions", ()),
    (with_form, "language", "fr"),
    (with_form, "learners_per_observer", 1),
    (with_form, "phases", FORM.phases[:1]),
    (with_form, "independence", ()),
    (with_form, "kit", ()),
    (with_form, "sources", ()),
    (with_form, "review", Review("A Reviewer", "2026-03-02")),
    (with_step, "phase", "before"),
    (with_step, "reasons", ("None left",)),
    (with_step, "errors", ("Turns too far",)),
    (with_step, "sources", ("C",)),
    (with_critical, "recognise", "It is seen."),
    (with_critical, "harm", "It is lost."),
    (with_critical, "sources", ("B",)),
]


def name_of(one: object) -> str:
    """A test id that is the same in every process, as running them side by side needs."""
    return str(getattr(one, "__name__", one))[:30]


@pytest.mark.parametrize(("change", "name", "value"), SCORING, ids=name_of)
def test_f1_each_part_of_scoring_changes_both_digests(
    change: Change, name: str, value: object
) -> None:
    other = change(name, value)
    assert other.scoring_digest != FORM.scoring_digest
    assert other.whole_digest != FORM.whole_digest


@pytest.mark.parametrize(("change", "name", "value"), BESIDE, ids=name_of)
def test_f1_what_is_beside_scoring_changes_the_whole_digest_alone(
    change: Change, name: str, value: object
) -> None:
    other = change(name, value)
    assert other.scoring_digest == FORM.scoring_digest
    assert other.whole_digest != FORM.whole_digest


def test_f1_every_field_of_the_model_is_in_one_of_the_two_lists() -> None:
    listed = {(change, name) for change, name, _ in (*SCORING, *BESIDE)}
    for change, kind in (
        (with_form, Form),
        (with_step, Step),
        (with_critical, Critical),
        (with_overall, Overall),
        (with_credit, Credit),
        (with_rule, Rule),
    ):
        for part in fields(kind):
            assert (change, part.name) in listed, f"{kind.__name__}.{part.name}"


def test_f1_a_typo_in_common_errors_orphans_no_standard() -> None:
    other = form_of(changed("Forgets the thumbs", "Forgets the thumb"))
    assert other.scoring_digest == FORM.scoring_digest
    assert other.whole_digest != FORM.whole_digest


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("weight = 0.5", "weight = 0.500"),
        ("weight = 0.5", "weight = 5e-1"),
        ("weight = 2", "weight = 2.0"),
        ("cut = 0.8", "cut = 0.80 # provisional"),
        ("[1, 0.75, 0.5, 0.25, 0]", "[\n  1.0, 0.75,\n  0.50, 0.25, 0.0, # by prompt\n]"),
        ('id = "S3"', "\n\n# the last one\nid   =   'S3'"),
        ('done = "Half a turn, then looks."', 'done = """\nHalf a turn,\n  then looks."""'),
        ('label = "Cleans hands"', 'label = "Cleans  hands "'),
    ],
)
def test_f1_f2_spelling_of_numbers_blanks_and_remarks_change_no_digest(old: str, new: str) -> None:
    other = form_of(changed(old, new))
    assert (other.whole_digest, other.scoring_digest) == (FORM.whole_digest, FORM.scoring_digest)


def test_f2_line_ends_byte_order_mark_and_composed_letters_change_no_digest() -> None:
    accented = changed("Touch", "Doigté", SMALL.replace('id = "touch"', 'id = "t"'))
    split = accented.replace("é", "e\u0301")
    windows = "\ufeff" + split.replace("\n", "\r\n")
    assert form_of(windows).whole_digest == form_of(accented).whole_digest


@given(st.randoms(use_true_random=False))
def test_f1_the_order_of_keys_in_a_table_changes_no_digest(random: Random) -> None:
    tables = re.split(
        r"\n\n(?=\[)", SMALL.replace("grades = [\n", "grades = [").replace(" },\n", " }, ")
    )
    mixed = []
    for table in tables:
        lines = table.strip().split("\n")
        head = [line for line in lines if line.startswith("[")]
        body = [line for line in lines if not line.startswith("[")]
        random.shuffle(body)
        mixed.append("\n".join((*head, *body)))
    form, faults = read("\n\n".join(mixed))
    assert form is not None, faults
    assert form.whole_digest == FORM.whole_digest


def test_f2_the_scoring_record_holds_no_float() -> None:
    """Every share of the small form is written as a reduced fraction or a whole number."""
    assert FORM.rule.cut == Fraction(4, 5)
    assert FORM.steps[-1].weight == Fraction(1, 2)
    assert canonical(FORM.rule.cut) == b'"4/5"'


def test_f5_variants_share_the_common_steps() -> None:
    assert [step.id for step in FORM.steps_of("left")] == ["S1", "S2L", "S3"]
    assert [step.id for step in FORM.steps_of("right")] == ["S1", "S2R", "S3"]
    assert [step.id for step in FORM.steps_of("")] == ["S1", "S2L", "S2R", "S3"]
    assert [step.id for step in FORM.common_steps()] == ["S1", "S3"]


def test_f5_two_steps_meet_where_some_variant_has_both() -> None:
    common, left, right, last = FORM.steps
    assert common.meets(left)
    assert left.meets(last)
    assert left.meets(left)
    assert not left.meets(right)


def test_f5_numbers_follow_the_variant() -> None:
    assert FORM.numbers_of("left") == {"S1": 1, "S2L": 2, "S3": 3}
    assert FORM.numbers_of("right") == {"S1": 1, "S2R": 2, "S3": 3}


def test_m5_alternatives_of_another_variant_are_ignored() -> None:
    last = FORM.step["S3"]
    assert list(FORM.groups(last, "left")) == [("S1",), ("S2L",)]
    assert list(FORM.groups(last, "right")) == [("S1",), ("S2R",)]
    assert list(FORM.groups(replace(last, after=(("S2R",),)), "left")) == []


def test_critical_items_are_found_by_id() -> None:
    assert FORM.critical["C1"].tally == 3
