"""Letters of every script on a page that places letters side by side."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.sheets.scripts import as_written, needs_note, runs_leftward, shown, tidy, turned


def everything(_: str) -> bool:
    return True


def latin(character: str) -> bool:
    return ord(character) < 0x250


def test_blanks_are_single_and_steering_letters_are_gone() -> None:
    assert tidy("  Ravi\t\n Senapathi\u202e\u200b ") == "Ravi Senapathi"
    assert tidy("84.9\u00a0%") == "84.9\u00a0%"
    assert tidy("e\u0301") == "\u00e9"


@given(st.text(max_size=60))
def test_tidying_twice_changes_nothing_more(text: str) -> None:
    assert tidy(tidy(text)) == tidy(text)


def test_hebrew_is_turned_and_figures_within_keep_their_order() -> None:
    assert turned("Dr \u05d0\u05d1\u05d2 Cohen") == "Dr \u05d2\u05d1\u05d0 Cohen"
    assert turned("\u05d0 123 \u05d1") == "\u05d1 123 \u05d0"
    assert turned("\u05d0(\u05d1)\u05d2") == "\u05d2(\u05d1)\u05d0"


def test_times_and_brackets_within_hebrew_keep_their_sense() -> None:
    assert turned("\u05d0 12:30 \u05d1") == "\u05d1 12:30 \u05d0"
    assert turned("\u05d0 (\u05d1)") == "(\u05d1) \u05d0"
    assert turned("(\u05d0)") == "(\u05d0)"


def test_a_mark_over_a_letter_stays_over_it() -> None:
    assert turned("\u05d0\u05b8\u05d1") == "\u05d1\u05d0\u05b8"


def test_arabic_letters_take_the_form_of_their_place() -> None:
    # Unicode Standard, chapter 9.2: seen and lam join on both sides, alef and meem end here.
    joined = shown("\u0633\u0644\u0645", everything)
    names = [unicodedata.name(character) for character in joined]
    assert names == [
        "ARABIC LETTER SEEN INITIAL FORM",
        "ARABIC LETTER LAM MEDIAL FORM",
        "ARABIC LETTER MEEM FINAL FORM",
    ]


def test_a_letter_that_does_not_join_onward_breaks_the_word() -> None:
    joined = shown("\u062f\u0627\u0631", everything)
    assert all("ISOLATED" in unicodedata.name(character) for character in joined)


def test_letters_without_a_shape_are_given_by_number_and_said_so() -> None:
    assert shown("\u5c71\u7530 Hanae", latin) == "[5C71][7530] Hanae"
    assert needs_note("\u5c71\u7530 Hanae", latin)
    assert not needs_note("Lucía Marrek", latin)


@pytest.mark.parametrize("text", ["Ravi Senapathi", "Łucja Żółć", "84.9\u00a0%"])
def test_text_from_left_to_right_stays_as_it_is(text: str) -> None:
    assert turned(shown(text, everything)) == text


@given(st.text(max_size=40))
def test_turning_loses_no_letter(text: str) -> None:
    line = tidy(text)
    mirror = str.maketrans("()[]{}<>«»", "(([[{{<<««")
    assert sorted(turned(line).translate(mirror)) == sorted(line.translate(mirror))


def test_a_line_of_hebrew_alone_ends_at_the_left_with_its_stop() -> None:
    assert turned("\u05d0\u05d1 3, (\u05d2).") == ".(\u05d2) ,3 \u05d1\u05d0"
    assert turned("\u05d0\u05d1, Tarn.") == "\u05d1\u05d0, Tarn."


def test_text_runs_leftward_if_all_its_letters_do() -> None:
    assert runs_leftward("\u05d0\u05d1 12.")
    assert runs_leftward("\u0633\u0644\u0645")
    assert not runs_leftward("\u05d0 Tarn")
    assert not runs_leftward("12.")
    assert not runs_leftward("\u03b1 12")


@given(st.text("\u0633\u0644\u0645\u0627 \u05d0ab.", max_size=20))
def test_letters_come_back_as_they_are_typed(text: str) -> None:
    assert as_written(shown(text, lambda _: True)) == tidy(text)
