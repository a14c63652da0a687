"""Shape alone tells every mark from every other; height is independence."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.look.marks import (
    DECISION_MARK,
    LINE_MARK,
    MARK_TOKEN,
    PROMPTED,
    DecisionLook,
    LineLook,
    MarkLook,
    decision_shapes,
    line_shapes,
    mark_shapes,
    rod_mark_shapes,
)
from observe.look.shapes import Rect, extent
from observe.look.tokens import Token
from tests.look.raster import difference, picture


@pytest.mark.parametrize("side", [14, 22, 40])
def test_every_two_marks_differ_in_one_ink(side: int) -> None:
    pictures = {look: picture(mark_shapes(look, side), side, side) for look in MarkLook}
    for one, other in combinations(MarkLook, 2):
        apart = difference(pictures[one], pictures[other])
        assert apart >= side * side * 0.02, f"{one} and {other} look alike at {side} px"


@given(st.sampled_from(MarkLook), st.floats(9, 200))
def test_a_mark_stays_in_its_square(look: MarkLook, side: float) -> None:
    left, top, right, bottom = extent(mark_shapes(look, side))
    assert left >= -1e-9
    assert top >= -1e-9
    assert right <= side + 1e-9
    assert bottom <= side + 1e-9


@given(st.sampled_from(MarkLook), st.floats(1, 120), st.floats(6, 60))
def test_a_mark_stays_in_its_step_of_the_rod(look: MarkLook, width: float, height: float) -> None:
    left, top, right, bottom = extent(rod_mark_shapes(look, width, height))
    assert left >= -1e-9
    assert top >= -1e-9
    assert right <= width + 1e-9
    assert bottom <= height + 1e-9


def block_height(look: MarkLook, side: float, *, in_rod: bool) -> float:
    shapes = rod_mark_shapes(look, side, side) if in_rod else mark_shapes(look, side)
    block = shapes[0]
    assert isinstance(block, Rect)
    assert block.bottom == pytest.approx(side), "a block stands on the sill"
    return block.height


@given(st.floats(9, 200), st.booleans())
def test_more_help_is_a_lower_block(side: float, in_rod: bool) -> None:
    looks = [MarkLook.DONE, *sorted(PROMPTED, key=PROMPTED.__getitem__)]
    heights = [block_height(look, side, in_rod=in_rod) for look in looks]
    assert heights == sorted(heights, reverse=True)
    assert len(set(heights)) == 5


def test_a_block_in_the_rod_fills_its_step_and_has_quarter_heights() -> None:
    for look, share in [
        (MarkLook.DONE, 1),
        (MarkLook.PROMPT_1, 0.75),
        (MarkLook.PROMPT_2, 0.5),
        (MarkLook.PROMPT_3, 0.25),
    ]:
        block = rod_mark_shapes(look, 30, 16)[0]
        assert isinstance(block, Rect)
        assert (block.width, block.height) == (30, 16 * share)


@pytest.mark.parametrize(("look", "level"), PROMPTED.items())
def test_there_is_one_dot_for_each_prompt_level(look: MarkLook, level: int) -> None:
    assert len(mark_shapes(look, 22)) == 1 + level
    assert len(rod_mark_shapes(look, 30, 20)) == 1 + level
    assert len(rod_mark_shapes(look, 30, 9)) == 1, "a low rod tells levels by height alone"


def test_what_went_wrong_hangs_from_above_and_what_was_not_seen_lies_on_the_sill() -> None:
    assert extent(mark_shapes(MarkLook.INCORRECT, 20))[1] == 0
    assert extent(mark_shapes(MarkLook.NOT_SEEN, 20))[1] > 15
    assert extent(mark_shapes(MarkLook.NOT_SEEN, 20))[3] == 20


def test_triangle_and_slot_keep_their_shape_in_a_wide_step() -> None:
    left, _, right, _ = extent(rod_mark_shapes(MarkLook.INCORRECT, 100, 10))
    assert (left, right) == pytest.approx((43.25, 56.75))
    left, _, right, _ = extent(rod_mark_shapes(MarkLook.NOT_DONE, 100, 10))
    assert (left, right) == pytest.approx((44, 56))


def test_pass_stands_remediate_hangs_undecided_is_dots() -> None:
    assert decision_shapes(DecisionLook.PASS, 20) == mark_shapes(MarkLook.DONE, 20)
    assert decision_shapes(DecisionLook.REMEDIATE, 20) == mark_shapes(MarkLook.INCORRECT, 20)
    assert decision_shapes(DecisionLook.UNDECIDED, 20) == mark_shapes(MarkLook.NOT_SEEN, 20)


def test_every_decision_line_and_mark_has_its_picture_and_colour() -> None:
    assert set(DECISION_MARK) == set(DecisionLook)
    assert set(LINE_MARK) == set(LineLook)
    assert set(MARK_TOKEN) == set(MarkLook)
    for line in LineLook:
        assert line_shapes(line, 14)
    assert MARK_TOKEN[MarkLook.INCORRECT] is Token.WRONG
