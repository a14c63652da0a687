"""Every step by phase, with mark, word and time."""

from dataclasses import replace
from itertools import pairwise

import pytest

from observe.look.marks import MarkLook
from observe.look.tokens import Token, Weight
from observe.sheets.blocks import Block, Line, Place, seen_of
from observe.sheets.content import StepNote
from observe.sheets.setting import SETTINGS
from observe.sheets.steplist import ROD_HIGH, rod_block, step_list, step_word, title
from tests.sheets.samples import longest, passed, remediate

ROOM = 493.0
NORMAL = SETTINGS[1]


def lines(block: Block) -> list[Line]:
    return [item for item in block.items if isinstance(item, Line)]


@pytest.mark.parametrize(
    ("step", "word"),
    [
        (StepNote(1, "x", MarkLook.DONE, "14:05"), "14:05"),
        (StepNote(1, "x", MarkLook.PROMPT_2, "14:20", prompt=2), "cued 14:20"),
        (StepNote(1, "x", MarkLook.INCORRECT, "14:08", prompt=1), "incorrect, asked 14:08"),
        (StepNote(1, "x", MarkLook.DONE, "14:05", voiced=True), "said 14:05"),
        (StepNote(1, "x", MarkLook.NOT_SEEN), "not seen"),
        (StepNote(1, "x", MarkLook.DID_NOT_ARISE), "did not arise"),
        (StepNote(1, "x", MarkLook.PROMPT_4, "14:09", prompt=4), "taken over 14:09"),
    ],
)
def test_the_word_of_a_step(step: StepNote, word: str) -> None:
    assert step_word(step) == word


def test_all_steps_are_listed_once_in_order() -> None:
    content = remediate()
    listed = [
        int(line.text)
        for line in lines(step_list(content, NORMAL, ROOM))
        if line.text.isdigit() and line.style.ink is Token.INK2
    ]
    assert listed == [step.number for step in content.steps]


def test_everything_but_done_alone_and_unseen_is_bold() -> None:
    found = {line.text: line.style.weight for line in lines(step_list(remediate(), NORMAL, ROOM))}
    assert found["Introduces self and confirms identity"] is Weight.REGULAR
    assert found["Gives aftercare and warning signs"] is Weight.BOLD
    assert found["Records leg function and pain baseline"] is Weight.REGULAR


def test_a_reason_stands_under_its_step() -> None:
    assert "round needle today" in [
        line.text for line in lines(step_list(remediate(), NORMAL, ROOM))
    ]


def test_the_legend_holds_what_is_on_the_sheet_and_no_more() -> None:
    said = " ".join(line.text for line in lines(title(remediate(), NORMAL, ROOM)))
    assert "did not arise" in said
    assert "said, not shown" in said
    content = passed()
    alone = replace(
        content,
        phases=tuple(
            replace(
                phase,
                steps=tuple(replace(s, look=MarkLook.DONE, voiced=False) for s in phase.steps),
            )
            for phase in content.phases
        ),
    )
    said = " ".join(line.text for line in lines(title(alone, NORMAL, ROOM)))
    assert "done" in said
    assert "incorrect" not in said


def test_the_rod_is_numbered_and_carries_pennants() -> None:
    with_flags, without = (rod_block(one, NORMAL, ROOM) for one in (remediate(), passed()))
    assert with_flags.height > without.height > ROD_HIGH
    assert [line.text for line in lines(without)][:3] == ["1", "2", "3"]
    drawn = seen_of(with_flags.items)
    crit = [i for i in drawn if not isinstance(i, Line | Place) and i.ink is Token.CRIT]
    assert crit


def test_numbers_under_the_rod_never_touch() -> None:
    row = lines(rod_block(longest(), NORMAL, 200))
    for one, other in pairwise(row):
        assert one.x + one.width < other.x


def test_no_steps_have_no_rod() -> None:
    assert rod_block(replace(remediate(), phases=()), NORMAL, ROOM).height == 0
