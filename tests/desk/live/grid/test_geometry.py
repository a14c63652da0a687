"""Rows tile the height, the lens lies inside, and every row can be reached."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from observe.desk.live.grid.geometry import (
    LENS_LEAST,
    ColumnMeasure,
    RowMeasure,
    blended,
    column_widths,
    key_widths,
    lens_reaching,
    lens_top,
    open_rows,
    row_heights,
    scrolled,
)

TABLET = RowMeasure(open=70, thin=11.7, thin_least=8.5)
ROWS = st.integers(1, 90)
HEIGHTS = st.integers(320, 1500)


@given(ROWS, HEIGHTS, st.data())
def test_rows_tile_the_height_or_scroll(rows: int, height: int, data: st.DataObject) -> None:
    count = open_rows(rows, height, TABLET)
    top = lens_top(rows, count, data.draw(st.integers(0, rows - 1)))
    heights = row_heights(rows, height, top, count, TABLET)
    assert len(heights) == rows
    assert min(heights) >= int(TABLET.thin_least)
    if count < rows:
        assert sum(heights) >= height
        assert set(heights[top : top + count]) == {TABLET.open}
        thin = heights[:top] + heights[top + count :]
        assert max(thin) - min(thin) <= 1
        if count > LENS_LEAST:
            assert sum(heights) == height


@given(ROWS, HEIGHTS, st.data())
def test_the_lens_lies_inside_and_opens_the_row_that_was_pressed(
    rows: int, height: int, data: st.DataObject
) -> None:
    count = open_rows(rows, height, TABLET)
    pressed = data.draw(st.integers(0, rows - 1))
    top = lens_top(rows, count, pressed)
    assert top >= 0
    assert top + count <= rows
    assert top <= pressed < top + count
    moved = lens_reaching(rows, count, top, data.draw(st.integers(0, rows - 1)))
    assert 0 <= moved <= rows - count


@given(ROWS, HEIGHTS, st.data())
def test_wherever_it_was_scrolled_the_lens_is_in_sight(
    rows: int, height: int, data: st.DataObject
) -> None:
    count = open_rows(rows, height, TABLET)
    top = lens_top(rows, count, data.draw(st.integers(0, rows - 1)))
    heights = row_heights(rows, height, top, count, TABLET)
    offset = scrolled(heights, top, count, height, data.draw(st.integers(0, 2000)))
    start = sum(heights[:top])
    assert offset <= start
    assert start + sum(heights[top : top + count]) <= offset + height or rows <= LENS_LEAST
    assert 0 <= offset <= max(0, sum(heights) - height)


@given(st.lists(st.tuples(st.integers(1, 80), st.integers(1, 80)), min_size=1), st.floats(0, 1))
def test_a_moving_lens_never_tears_the_rows(pairs: list[tuple[int, int]], share: float) -> None:
    start, end = [a for a, _ in pairs], [b for _, b in pairs]
    between = blended(start, end, share)
    low, high = sorted((sum(start), sum(end)))
    assert low <= sum(between) <= high
    assert blended(start, end, 0) == start
    assert blended(start, end, 1) == end


@given(st.integers(900, 2560), st.integers(1, 12))
def test_columns_tile_the_width_and_are_equal(width: int, columns: int) -> None:
    label, widths = column_widths(width, columns, ColumnMeasure((180, 420), (56, 220)))
    assert label + sum(widths) == width
    assert label >= 180
    assert max(widths) - min(widths) <= 1
    assert min(widths) >= 56


def test_eight_learners_and_31_steps_on_a_tablet_open_four_rows() -> None:
    """31 × 8 at 1280 × 800 and 149 dots an inch, over critical keys of 20 mm."""
    assert open_rows(31, 511, TABLET) == 4
    heights = row_heights(31, 511, 7, 4, TABLET)
    assert set(heights[:7]) <= {8, 9}
    assert sum(heights) == 511
    assert column_widths(1268, 8, ColumnMeasure((180, 420), (56, 220)))[1][0] == 116


def test_a_long_form_takes_rows_from_the_lens_before_it_scrolls() -> None:
    assert open_rows(33, 511, TABLET) == 3
    assert open_rows(60, 511, TABLET) == 3
    assert sum(row_heights(60, 511, 20, 3, TABLET)) == 3 * 70 + 485


@given(st.lists(st.integers(30, 260), max_size=12), st.integers(40, 130), st.integers(6, 30))
def test_critical_keys_are_wide_enough_or_not_there(widths: list[int], full: int, gap: int) -> None:
    least = full - 2
    keys = key_widths(widths, least, full, gap)
    if not widths or min(widths) < least:
        assert keys == ()
        return
    assert min(keys) >= least
    spare = {column - key for column, key in zip(widths, keys, strict=True)}
    assert len(spare) == 1
    assert 0 <= min(spare) <= gap
    assert min(spare) == gap or min(keys) <= full


def test_a_column_of_116_px_holds_a_key_as_wide_as_itself() -> None:
    """The tablet: 149 dots an inch, 19.5 mm are 115 px, 20 mm 117 px, 3 mm 18 px."""
    assert key_widths([116] * 8, 115, 117, 18) == (116,) * 8
    assert key_widths([132] * 7, 115, 117, 18) == (117,) * 7
    assert key_widths([154] * 6, 115, 117, 18) == (136,) * 6
    assert key_widths([103] * 9, 115, 117, 18) == ()


def test_a_big_screen_opens_more_rows_and_a_short_form_all_of_them() -> None:
    assert open_rows(31, 1300, TABLET) > 10
    assert row_heights(4, 658, 0, open_rows(4, 658, TABLET), TABLET) == [105] * 4
