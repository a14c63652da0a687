"""Rows of a paper sheet: only the boxes that a step may get, and each large enough."""

import pytest

from observe.look.shapes import Rect
from observe.sheets import paper_rows
from observe.sheets.blocks import Block, Line
from observe.sheets.paper_content import PaperScale, PaperStep
from observe.sheets.paper_rows import BOX, critical_table, step_table
from observe.sheets.setting import MM
from tests.sheets.papers import a_sheet

ROOM = 538.0


def boxes(block: Block) -> int:
    """How many boxes: each has one upper and one lower level stroke of its width."""
    strokes = [
        item
        for item in block.items
        if isinstance(item, Rect) and item.width == pytest.approx(BOX) and item.height < 2
    ]
    return len(strokes) // 2


def test_a_box_can_be_ticked_with_a_pen_in_a_glove() -> None:
    assert BOX >= 5 * MM
    assert boxes(paper_rows.box()) == 1


@pytest.mark.parametrize(
    ("step", "count"),
    [
        (PaperStep(1, "Does it"), 7),
        (PaperStep(1, "Does it", voiced=True), 8),
        (PaperStep(1, "Does it", not_applicable=True), 8),
        (PaperStep(1, "Does it", voiced=True, may_not_arise=True), 9),
    ],
)
def test_m1_a_box_for_each_outcome_and_level_and_for_what_else_the_step_may_get(
    step: PaperStep, count: int
) -> None:
    table = step_table(a_sheet(), ROOM)
    assert boxes(paper_rows.step_row(step, table, 1)) == count


def test_no_column_stands_without_a_box_in_it() -> None:
    plain = a_sheet()
    phase = plain.phases[0]
    bare = a_sheet(phases=(type(phase)("Only", (PaperStep(1, "Does it"),)),))
    assert [one.id for one in step_table(bare, ROOM).columns] == [
        *("done", "incorrect", "not done"),
        *("1", "2", "3", "4"),
    ]
    assert len(step_table(plain, ROOM).columns) == 10


def test_c2_only_the_verdicts_that_an_item_can_have() -> None:
    sheet = a_sheet()
    table = critical_table(sheet, ROOM)
    assert [one.id for one in table.columns] == [
        *("watched", "fatal", "counted"),
        *("noticed and put right", "stopped by a hand"),
    ]
    rows = [paper_rows.critical_row(item, table, 1) for item in sheet.criticals]
    assert [boxes(row) for row in rows] == [3, 4, 3]


def test_a_note_stands_behind_its_label_or_below_it() -> None:
    style = paper_rows.LABEL
    short = paper_rows.labelled("Does it", "Essential.", style, 200)
    assert len({line.y for line in short.items if isinstance(line, Line)}) == 2
    long = paper_rows.labelled("Does it", "Essential.", style, 50)
    assert short.height == pytest.approx(style.line)
    assert long.height > short.height


def test_every_grade_has_its_box() -> None:
    words = ("The observer did most of it, or it stayed unfinished", "Alone")
    scale = PaperScale("Help", tuple((n, word, "") for n, word in enumerate(words)))
    assert boxes(paper_rows.scale_row(scale, ROOM, 1)) == 2
    assert boxes(paper_rows.anchored_scale(scale, ROOM)) == 2
