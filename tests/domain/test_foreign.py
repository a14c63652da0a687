"""What was written elsewhere cannot pass for words of the program."""

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from observe.domain.foreign import one_line, seen, shown_path

TEXTS = st.text(st.characters(), max_size=300)


def test_lines_escape_codes_and_turned_writing_are_made_visible() -> None:
    assert one_line("a\u202eb\x1b[2J\n c", 20) == "a�b�[2J c"
    assert seen("a\nThe file is sound.\x9b1m") == "a�The file is sound.�1m"


def test_a_long_text_is_cut_at_its_end_and_a_long_path_at_its_start() -> None:
    assert one_line("x" * 30, 10) == "x" * 9 + "…"
    assert shown_path("/long/way/sheet.pdf", 10) == "…sheet.pdf"
    assert shown_path("two  blanks.pdf") == "two  blanks.pdf"


def test_letters_of_any_script_and_narrow_blanks_stay() -> None:
    assert seen("Łucja דוד 10\u202f000") == "Łucja דוד 10\u202f000"


@given(TEXTS)
def test_nothing_that_steers_is_left(text: str) -> None:
    for shown in (seen(text), one_line(text, 40), shown_path(text)):
        assert not any(unicodedata.category(sign) in {"Cc", "Cf", "Cs", "Zl"} for sign in shown)


@given(TEXTS)
def test_no_text_is_shown_longer_than_allowed(text: str) -> None:
    assert len(one_line(text, 40)) <= 40
    assert len(shown_path(text, 60)) <= 60
