"""From tables to the model: every entry of a form arrives, and its kinds are checked."""

from fractions import Fraction

import pytest

from observe.domain.form import (
    CriticalKind,
    Independence,
    KitItem,
    Review,
    Source,
    Variant,
    Voice,
)
from tests.domain.smallform import changed, form_of, line_of, only_fault

REVIEWED = (
    changed('review = "none"\n', "") + '\n[review]\nname = "A. Reviewer"\ndate = 2026-03-02\n'
)


def test_every_entry_of_a_form_arrives() -> None:
    form = form_of()
    assert (form.id, form.version, form.short) == ("SMALL", "1.0", "Small")
    assert form.cautions == ("Educational template.",)
    assert form.variants == (Variant("left", "From the left"), Variant("right", "From the right"))
    assert [domain.id for domain in form.domains] == ["asepsis", "technique"]
    assert [phase.label for phase in form.phases] == ["Before", "After"]
    assert form.independence == (Independence(1, "With help"), Independence(2, "Alone"))
    assert form.kit == (KitItem("Screwdriver", "learner", Fraction(1), "yes", "Flat."),)
    assert form.sources[0] == Source("B", "A book", "read")
    assert form.language == "en"
    assert form.learners_per_observer == 2


def test_f3_a_step_arrives_whole() -> None:
    step = form_of().step["S3"]
    assert (step.phase, step.domain, step.voice) == ("after", "technique", Voice.PART)
    assert step.weight == Fraction(1, 2)
    assert step.after == (("S1",), ("S2L", "S2R"))
    assert (step.when, step.not_applicable) == ("the screw is loose", True)
    assert step.reasons == ("No screw here",)
    assert step.sources == ("C", "B")


def test_c2_a_critical_item_arrives_whole() -> None:
    item = form_of().critical["C1"]
    assert (item.kind, item.tally, item.averted_is_fatal) == (CriticalKind.TALLY, 3, True)
    assert item.watch == ("S3",)
    assert (item.recognise, item.harm) == ("It is heard.", "It breaks.")


def test_f8_a_form_is_reviewed_or_says_that_it_is_not() -> None:
    assert form_of().review is None
    assert form_of(REVIEWED).review == Review("A. Reviewer", "2026-03-02")
    quoted = changed("2026-03-02", '"2026-03-02"', REVIEWED)
    assert form_of(quoted).whole_digest == form_of(REVIEWED).whole_digest


@pytest.mark.parametrize(
    "day", ['"2026-02-30"', '"soon"', '"20260302"', "2026-03-02T10:00:00", "12", '"٢٠٢٦-٠٣-٠٢"']
)
def test_f8_a_review_needs_a_day(day: str) -> None:
    fault = only_fault(changed("2026-03-02", day, REVIEWED))
    assert fault.sentence == "The review: date is not a day."
    assert fault.line == line_of("date = 2026-03-02", REVIEWED)


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("format = 1\n", "format = 2\n", "written in format 2; this program reads format 1."),
        ('review = "none"', 'review = "yes"', "review is neither “none” nor a table."),
        ('review = "none"', "review = 1", "The review is a number; a table is needed."),
        ('review = "none"\n', "", "The form has no review."),
        ("format = 1\n", "", "The form has no format."),
        ('per = "learner"', 'per = "lerner"', "per is “lerner”, which is not one of its words."),
        ('reusable = "yes"', 'reusable = "often"', "reusable is “often”, which is not one of"),
        ('kind = "tally"\ntally = 3', 'kind = "tally"', "Critical item C1 has no tally."),
        ('kind = "tally"', 'kind = "absolute"', "has a tally and is not of the kind tally."),
        ("weight = 0.5", "weight = 0.5\nscored = false", "Step S3 has a weight and is not scored."),
        ("weight = 0.5\n", "", "Step S3 has no weight."),
    ],
)
def test_one_wrong_entry_is_one_fault(old: str, new: str, sentence: str) -> None:
    assert sentence in only_fault(changed(old, new)).sentence


def test_a_meant_word_is_offered() -> None:
    assert "Did you mean “learner”?" in only_fault(changed('"learner"', '"lerner"')).remedy


def test_f3_a_step_may_go_unscored() -> None:
    assert not form_of(changed("weight = 0.5", "scored = false")).step["S3"].scored
