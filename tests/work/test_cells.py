"""Cells: one way to write a value, nothing shown that a terminal would obey."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.work.cells import one_line, plain_number, shown, tidy_value


def test_a_plain_number_has_no_idle_zeros_at_either_end() -> None:
    assert [plain_number(text) for text in ("007.50", "+3", "-0", "100")] == [
        "7.5",
        "3",
        "0",
        "100",
    ]


def test_what_a_terminal_would_obey_becomes_a_blank() -> None:
    assert one_line("a\x1b[31m\nb") == "a [31m b"


@pytest.mark.parametrize(
    ("cell", "value"),
    [
        (" done ", "done"),
        ("1.0", "1"),
        ("+1", "1"),
        ("-0.0", "0"),
        ("57.50", "57.5"),
        ("100", "100"),
        ("01", "01"),
        ("1e3", "1e3"),
        ("0.30000000000000004", "0.30000000000000004"),
        ("1,0", "1,0"),
        ("e\u0301", "\u00e9"),
        ("", ""),
    ],
)
def test_one_way_to_write_a_value(cell: str, value: str) -> None:
    assert tidy_value(cell) == value


@given(st.text(max_size=30))
def test_tidying_twice_is_tidying_once(cell: str) -> None:
    assert tidy_value(tidy_value(cell)) == tidy_value(cell)


@given(st.text())
def test_what_is_shown_is_one_short_printable_line(cell: str) -> None:
    assert shown(cell).isprintable()
    assert len(shown(cell)) <= 40
