"""The forms that come with the program: complete, sound, and short enough for screen and sheet."""

import dataclasses
import re
from fractions import Fraction
from pathlib import Path

import pytest

from observe import places
from observe.domain.form import (
    Credit,
    Critical,
    CriticalKind,
    Dimension,
    Form,
    Grade,
    Independence,
    KitItem,
    Overall,
    Review,
    Rule,
    RuleKind,
    Source,
    Step,
)
from observe.domain.formtext import decode, read

FORMS = sorted(places.forms().glob("*.toml"))
SIX_DOMAINS = ["preparation", "asepsis", "technique", "device", "communication", "closing"]
STATUSES = {
    "read",
    "read in a secondary text",
    "from memory, verify",
    "common practice, no source",
}
LONGEST_ON_THE_SHEET = 110


@pytest.fixture(params=FORMS, ids=lambda path: path.stem)
def path(request: pytest.FixtureRequest) -> Path:
    found: Path = request.param
    return found


@pytest.fixture
def form(path: Path) -> Form:
    form, faults = read(decode(path.read_bytes(), path.name))
    assert form is not None, faults
    return form


def test_two_forms_are_shipped() -> None:
    assert [path.stem for path in FORMS] == [
        "intrauterine-device-placement",
        "lumbar-puncture-adult",
    ]


def test_a_shipped_form_has_neither_faults_nor_remarks(path: Path) -> None:
    assert read(decode(path.read_bytes(), path.name))[1] == ()


def test_f8_no_shipped_form_claims_a_review(form: Form) -> None:
    assert form.review is None
    assert any("not a clinical protocol" in caution for caution in form.cautions)


def test_steps_and_critical_items_are_as_many_as_their_procedures_have() -> None:
    counted = {}
    for path in FORMS:
        form, _ = read(path.read_text(encoding="utf-8"))
        assert form is not None
        steps = [len(form.steps_of(variant.id)) for variant in form.variants]
        counted[form.id] = (steps, len(form.criticals))
    assert counted == {"IUP": ([35, 35], 8), "LPX": ([31, 30], 8)}


def test_the_six_standard_domains(form: Form) -> None:
    assert [domain.id for domain in form.domains] == SIX_DOMAINS
    for variant in form.variants:
        assert {step.domain for step in form.steps_of(variant.id)} == set(SIX_DOMAINS)


def test_weights_are_1_to_3(form: Form) -> None:
    assert {step.weight for step in form.steps} == {Fraction(1), Fraction(2), Fraction(3)}


def test_what_done_looks_like_fits_the_sheet(form: Form) -> None:
    long = [step.id for step in form.steps if len(step.done) > LONGEST_ON_THE_SHEET]
    assert not long
    assert all(step.errors for step in form.steps)


def test_f3_f4_each_variant_has_essential_steps_that_are_no_critical_item(form: Form) -> None:
    for variant in form.variants:
        assert len([step for step in form.steps_of(variant.id) if step.essential]) >= 4
    assert not any(step.not_applicable or step.when for step in form.steps if step.essential)


def test_m1_steps_that_may_not_arise_say_when() -> None:
    form, _ = read((places.forms() / "lumbar-puncture-adult.toml").read_text(encoding="utf-8"))
    assert form is not None
    arising = {step.id: step.when for step in form.steps if step.when}
    assert arising == {"LPX-19": "bone is met", "LPX-20": "leg pain is reported"}


def test_c1_every_critical_item_can_be_seen_in_every_variant(form: Form) -> None:
    for variant in form.variants:
        here = {step.id for step in form.steps_of(variant.id)}
        assert all(here & set(item.watch) for item in form.criticals)


def test_c2_contamination_is_recoverable_and_patient_limits_are_not(form: Form) -> None:
    recoverable = [item for item in form.criticals if item.kind is CriticalKind.RECOVERABLE]
    assert len(recoverable) == 1
    assert "it is recovered" in recoverable[0].definition
    stop = [item for item in form.criticals if "stop" in item.label]
    assert [item.kind for item in stop] == [CriticalKind.ABSOLUTE]


def test_the_overall_grade_names_its_borderline(form: Form) -> None:
    names = {grade.value: grade.label for grade in form.overall.grades}
    assert list(names) == [1, 2, 3, 4, 5]
    assert names[form.overall.borderline] == "Borderline"


def test_dimensions_are_the_domains_and_recognising_trouble(form: Form) -> None:
    assert [dimension.id for dimension in form.dimensions] == [*SIX_DOMAINS, "trouble"]
    assert all([grade.value for grade in one.grades] == [1, 2, 3, 4, 5] for one in form.dimensions)
    assert [level.level for level in form.independence] == [1, 2, 3, 4, 5]


def test_f6_f7_the_rule_is_conjunctive_with_a_provisional_cut(form: Form) -> None:
    assert form.rule.kind is RuleKind.CONJUNCTIVE
    assert form.rule.cut == Fraction(4, 5)
    assert "asepsis" in form.rule.minima


def test_f6_one_heavy_step_may_fail_in_a_domain_that_has_a_minimum(form: Form) -> None:
    """A minimum that one mark could fail would make that mark essential unawares."""
    for variant in form.variants:
        for domain, least in form.rule.minima.items():
            weights = [s.weight for s in form.steps_of(variant.id) if s.domain == domain]
            assert (sum(weights) - max(weights)) / sum(weights) >= least


def test_every_source_says_how_it_was_read(form: Form) -> None:
    assert {source.status for source in form.sources} <= STATUSES


def test_no_trade_marks(path: Path) -> None:
    assert not re.search("[™®©]", path.read_text(encoding="utf-8"))


def test_the_guide_to_writing_forms_names_every_key_that_forms_know() -> None:
    """The keys are read from the model: each field of it is a key of the text."""
    guide = (places.forms() / "README.md").read_text(encoding="utf-8")
    named = set(re.findall(r"`\[{0,2}(?:rule\.)?([a-z_]+)\]{0,2}(?: = false)?`", guide))
    other = {"criticals": "critical", "time_limit_s": "time_limit_minutes"}
    for kind in (Form, Step, Critical, Overall, Grade, Dimension, Independence, Credit, Rule):
        fields = {other.get(field.name, field.name) for field in dataclasses.fields(kind)}
        assert fields <= named, f"{kind.__name__}: {sorted(fields - named)}"
    for more in (KitItem, Source, Review):
        assert {field.name for field in dataclasses.fields(more)} <= named
