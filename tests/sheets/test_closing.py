"""The lower part of the second page, and the foot of both."""

from dataclasses import replace

from observe.look.marks import MarkLook
from observe.sheets.blocks import Block, Line, Place
from observe.sheets.closing import (
    foot,
    form_sentence,
    help_sentence,
    limits,
    notes,
    signatures,
)
from observe.sheets.content import Part
from observe.sheets.setting import SETTINGS
from tests.sheets.samples import passed, practice, remediate

ROOM = 493.0
NORMAL = SETTINGS[1]


def text(block: Block) -> str:
    return " ".join(item.text for item in block.items if isinstance(item, Line))


def test_help_is_counted_named_and_says_who_gave_it() -> None:
    assert help_sentence(remediate()) == (
        "At 4 steps: step 5 asked, step 12 asked, step 18 cued by assistant, step 29 guided."
    )


def test_no_help_is_only_said_of_what_was_seen() -> None:
    content = passed()
    phases = tuple(
        replace(phase, steps=tuple(replace(s, look=look, prompt=0) for s in phase.steps))
        for phase, look in zip(content.phases, [MarkLook.NOT_SEEN] * 99, strict=False)
    )
    assert help_sentence(replace(content, phases=phases)) == ""
    seen = replace(phases[0], steps=(replace(phases[0].steps[0], look=MarkLook.DONE),))
    assert help_sentence(replace(content, phases=(seen, *phases))) == (
        "None was needed in what was seen."
    )


def test_w1_what_the_workshop_left_out_is_printed_with_its_reason() -> None:
    said = text(notes(remediate(), NORMAL, ROOM))
    assert "What this workshop left out" in said
    assert "voiced today, trainer skin is" in said


def test_amendments_cautions_and_the_way_to_disagree_are_printed() -> None:
    said = text(notes(remediate(), NORMAL, ROOM))
    assert "Amended once" in said
    assert "not done became" in said
    assert "It is not a clinical protocol" in said
    assert "Disagree, or want to ask?" in said
    twice = replace(remediate(), amendments=("One.", "Two."))
    assert "Amended twice" in text(notes(twice, NORMAL, ROOM))


def test_f8_a_form_without_review_is_said_to_have_none() -> None:
    content = remediate()
    assert "not clinically reviewed" in form_sentence(content)
    reviewed = replace(
        content, origin=replace(content.origin, reviewed_by="Dr A", reviewed_on="2026-01-02")
    )
    assert "clinically reviewed by Dr A, 2026-01-02" in form_sentence(reviewed)
    assert "not clinically" not in form_sentence(reviewed)


def test_the_limits_count_the_observers() -> None:
    content = remediate()
    assert "by 1 observer, once" in limits(content)
    two = replace(content, occasion=replace(content.occasion, observers=("A", "B")))
    assert "by 2 observers, once" in limits(two)
    assert form_sentence(two).startswith("Observers: A, B.")


def test_the_foot_has_digest_page_and_limits() -> None:
    said = text(foot(remediate(), "ab" * 32, 1, 2, ROOM))
    assert "record " + "ab" * 32 in said
    assert "1 of 2" in said
    assert "nothing about care of patients" in said


def test_k2_there_is_a_place_for_each_signature() -> None:
    block = signatures(remediate(), NORMAL, ROOM)
    places = {item.name: item for item in block.items if isinstance(item, Place)}
    assert set(places) == {Part.DECIDED, Part.READ}
    assert all(place.width == place.height for place in places.values())
    assert "It says seen, not agreed" in text(block)


def test_k1_the_key_is_named_for_what_it_is() -> None:
    assert "not confirmed by a department" in text(signatures(remediate(), NORMAL, ROOM))
    content = remediate()
    unsigned = replace(content, signer=replace(content.signer, fingerprint=""))
    assert "Not signed." in text(signatures(unsigned, NORMAL, ROOM))


def test_practice_is_written_not_decided() -> None:
    assert "Written and signed" in text(signatures(practice(), NORMAL, ROOM))
    assert "Decided and signed" in text(signatures(remediate(), NORMAL, ROOM))
