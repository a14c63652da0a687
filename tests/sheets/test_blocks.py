"""Blocks are measured while they are placed: nothing is cut, nothing overlaps, nothing is lost."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.look.shapes import Disc, Rect
from observe.look.tokens import Token
from observe.sheets.blocks import (
    NOTHING,
    Block,
    Line,
    beside,
    bulleted,
    columns,
    drawn,
    figure,
    height_of,
    levelled,
    one_line,
    padded,
    paragraph,
    parted,
    ruled,
    seen_of,
    space,
    stacked,
    tagged,
)
from observe.sheets.tags import Close, Open, Role, Tag
from observe.sheets.typeset import Style

BODY = Style(10)


def lines(block: Block) -> list[Line]:
    return [item for item in block.items if isinstance(item, Line)]


def test_a_paragraph_is_as_high_as_its_lines() -> None:
    block = paragraph("Small steps with the needle, two hands", BODY, 80)
    assert block.height == pytest.approx(len(lines(block)) * BODY.line)
    for one, other in pairwise(lines(block)):
        assert other.y - one.y == pytest.approx(BODY.line)
        assert one.box[3] <= other.box[1]
    assert all(line.box[1] >= 0 and line.box[3] <= block.height for line in lines(block))


def test_flush_right_ends_at_the_edge() -> None:
    for line in lines(paragraph("Tarn Valley Teaching Hospital", BODY, 70, right=True)):
        assert line.x + line.width == pytest.approx(70)


def test_empty_text_takes_no_room_and_leaves_no_gap() -> None:
    assert paragraph("", BODY, 100).height == 0
    one = one_line("a", BODY)
    assert stacked((one, paragraph("", BODY, 100), one), gap=5).height == 2 * one.height + 5
    assert stacked((NOTHING, one), gap=5).height == one.height


@given(st.lists(st.floats(0, 90)), st.floats(0, 9))
def test_how_high_blocks_are_is_known_before_they_are_stacked(
    high: list[float], gap: float
) -> None:
    blocks = [space(one) for one in high]
    assert height_of(blocks, gap) == pytest.approx(stacked(blocks, gap).height)


def test_beside_keeps_tops_level_and_levelled_keeps_middles_level() -> None:
    tall, low = drawn((Rect(0, 0, 5, 30, Token.INK),), 5, 30), one_line("x", BODY)
    assert lines(beside(((0, tall), (10, low)), 50))[0].y == lines(low)[0].y
    shift = (30 - low.height) / 2
    assert lines(levelled(((0, tall), (10, low)), 50))[0].y == lines(low)[0].y + shift


def test_padding_moves_and_grounds() -> None:
    block = padded(one_line("x", BODY), left=3, top=4, right=5, bottom=6, fill=Token.PANEL)
    ground = block.items[0]
    assert isinstance(ground, Rect)
    assert (ground.width, ground.height) == (block.width, block.height)
    assert lines(block)[0].x == 3


@pytest.mark.parametrize("side", [4, 12, 40])
def test_a_mark_stands_in_the_middle_of_the_first_line(side: float) -> None:
    mark = drawn((Rect(0, 0, side, side, Token.INK),), side, side)
    body = paragraph("one two three four five six", BODY, 60)
    block = bulleted(mark, body, indent=side + 5, first_line=BODY.line, wide=100)
    square = block.items[0]
    assert isinstance(square, Rect)
    first = lines(block)[0]
    assert square.y + side / 2 == pytest.approx(first.y - BODY.cap / 2, abs=0.01)
    assert square.bottom <= block.height + 1e-9
    assert square.y >= 0


heights = st.lists(st.floats(1, 90), min_size=1, max_size=30)


@given(heights, st.integers(1, 3), st.floats(0, 8))
def test_columns_keep_the_order_and_are_as_level_as_can_be(
    high: list[float], count: int, gap: float
) -> None:
    parts = [
        Block(10, one, (Rect(0, 0, number + 1, one, Token.INK),)) for number, one in enumerate(high)
    ]
    block = columns(parts, count, 300, 12, gap)
    placed = [item for item in block.items if isinstance(item, Rect)]
    assert [item.width for item in placed] == [number + 1 for number in range(len(parts))]
    order = [(item.x, item.y) for item in placed]
    assert order == sorted(order)
    assert block.height <= sum(high) + gap * (len(high) - 1) + 0.01
    assert block.height <= sum(high) / count + max(high) + gap * len(high) + 0.01


@given(
    st.lists(st.tuples(st.floats(2, 40), st.booleans()), min_size=1, max_size=25),
    st.floats(10, 300),
)
def test_parting_loses_nothing_and_cuts_no_mark(
    rows: list[tuple[float, bool]], room: float
) -> None:
    blocks = [
        paragraph("letters in a line", BODY.at(high / 2), 400)
        if text
        else Block(10, high, (Disc(high / 2, high / 2, high / 2, Token.INK),))
        for high, text in rows
    ]
    whole = padded(stacked(blocks, gap=2), fill=Token.PANEL)
    upper, rest = parted(whole, room)
    parts = [part for part in (upper, rest) if part is not None]
    assert sum(part.height for part in parts) == pytest.approx(whole.height)
    marks = sum(isinstance(item, Line | Disc) for part in parts for item in part.items)
    assert marks == sum(isinstance(item, Line | Disc) for item in whole.items)
    if upper is not None:
        assert upper.height <= room
        for item in upper.items:
            if isinstance(item, Line):
                assert item.box[3] <= upper.height + 0.01


def test_an_element_that_is_parted_goes_on_below() -> None:
    row, mark = Tag(Role.ROW), Block(10, 10, (Disc(5, 5, 5, Token.INK),))
    above = tagged(stacked([paragraph("letters", BODY, 400)] * 3), row)
    below = figure(mark, "a mark")
    upper, rest = parted(stacked((above, below)), 2 * BODY.line)
    assert upper is not None
    assert rest is not None
    assert (upper.items[0], upper.items[-1]) == (Open(row), Close(row))
    assert (rest.items[0], rest.items[-4]) == (Open(row), Close(row))
    assert not any(isinstance(i, Open) and i.tag.role is Role.FIGURE for i in upper.items)
    assert len(seen_of(upper.items)) + len(seen_of(rest.items)) == 4


def test_a_heading_stays_with_what_it_stands_over() -> None:
    title = paragraph("Asepsis", BODY, 400, role=Role.H3)
    body = paragraph("letters", BODY, 400)
    block = stacked((body, title, body))
    upper, _ = parted(block, body.height + title.height + 1)
    assert upper is not None
    assert upper.height == pytest.approx(body.height, abs=2)


def test_a_row_stays_whole_unless_no_page_would_hold_it() -> None:
    row = tagged(stacked([paragraph("letters", BODY, 400)] * 3), Role.ROW)
    upper, _ = parted(stacked((row, row)), row.height * 1.7)
    assert upper is not None
    assert upper.height == pytest.approx(row.height, abs=2)
    upper, _ = parted(row, row.height * 0.7)
    assert upper is not None
    assert upper.height > 0


def test_what_has_nothing_in_it_gets_no_tag() -> None:
    assert tagged(paragraph("", BODY, 100), Role.CELL).items == ()
    assert paragraph("", BODY, 100, role=Role.P).items == ()


def test_what_cannot_be_parted_is_left_whole() -> None:
    disc = Block(50, 50, (Disc(25, 25, 25, Token.INK),))
    assert parted(disc, 30) == (None, disc)


def test_a_rule_and_a_space_have_their_height() -> None:
    assert ruled(100, 1.4, Token.INK).height == 1.4
    assert space(7) == Block(0, 7)
