"""Widths, faces and broken lines."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.look.fonts import OTHER_SCRIPTS, TEXT
from observe.look.tokens import Token, Weight
from observe.sheets.typeset import Style, broken, has, largest, prepared, runs, width

BODY = Style(10)
texts = st.text(alphabet=st.characters(codec="utf-8"), max_size=120)


@pytest.mark.parametrize("weight", [one for one in Weight if one is not Weight.ITALIC])
def test_figures_share_one_width(weight: Weight) -> None:
    style = Style(10, weight)
    assert len({round(width(figure, style), 6) for figure in "0123456789"}) == 1


def test_width_grows_with_size_and_is_that_of_the_parts() -> None:
    assert width("Remediate", BODY.at(20)) == pytest.approx(2 * width("Remediate", BODY))
    assert width("ab", BODY) == pytest.approx(width("a", BODY) + width("b", BODY))


@given(texts, st.floats(25, 400))
def test_no_line_is_wider_than_its_room(text: str, room: float) -> None:
    assert all(width(line, BODY) <= room + 1e-6 for line in broken(text, BODY, room))


@given(texts, st.floats(25, 400))
def test_no_letter_is_lost_between_lines(text: str, room: float) -> None:
    def bare(part: str) -> str:
        return part.translate(str.maketrans("", "", " \u00a0-"))

    assert bare("".join(broken(text, BODY, room))) == bare(prepared(text))


def test_a_word_of_forty_letters_is_broken_with_hyphens() -> None:
    lines = broken("Wolfeschlegelsteinhausenbergerdorffwelche", BODY, 90)
    assert len(lines) > 1
    assert all(line.endswith("-") for line in lines[:-1])


def test_a_hard_space_keeps_its_words_together() -> None:
    assert broken("as much as 84.9\u00a0%", BODY, 62) == ("as much as", "84.9\u00a0%")


def test_empty_text_has_no_lines() -> None:
    assert broken("", BODY, 100) == ()
    assert broken(" \n ", BODY, 100) == ()


def test_each_letter_is_set_in_a_face_that_has_it() -> None:
    parts = runs("Ravi \u05d0 \u0416", BODY)
    assert [part.face for part in parts] == [
        TEXT[Weight.REGULAR],
        OTHER_SCRIPTS,
        TEXT[Weight.REGULAR],
    ]
    assert has("\u2265")
    assert has("\u03ba")
    assert not has("\u5c71")


def test_the_largest_size_that_fits_is_taken() -> None:
    sizes = (23.0, 19.0, 15.0)
    style = Style(23, Weight.BLACK)
    assert largest("Ravi", style, sizes, 200, lines=1).size == 23
    assert largest("Maximiliana Wilhelmina", style, sizes, 200, lines=1).size < 23
    assert largest("W" * 60, style, sizes, 200, lines=1).size == 15


def test_a_style_keeps_all_but_what_is_changed() -> None:
    assert BODY.bold().in_ink(Token.WRONG) == Style(10, Weight.BOLD, Token.WRONG)
