"""What is printed against what is recorded (rule K3)."""

from dataclasses import replace

import pytest

from observe.look.marks import DecisionLook
from observe.sheets import reading
from observe.sheets.content import Decision
from observe.sheets.printed import Comparison, Likeness, compare, drawn_again, words
from observe.sheets.setting import Paper
from observe.sheets.sheet import render
from tests.sheets.samples import ALL, remediate


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("name", ALL)
def test_a_sheet_drawn_again_is_the_same(name: str, paper: Paper) -> None:
    content = ALL[name]()
    reader = reading.opened(render(content, paper).pdf)
    assert compare(reader, drawn_again(reader, content)) == Comparison(Likeness.SAME)


def test_words_that_differ_are_named() -> None:
    content = remediate()
    reader = reading.opened(render(content).pdf)
    better = replace(content, decision=Decision(DecisionLook.PASS, "Pass", "All is met."))
    compared = compare(reader, drawn_again(reader, better))
    assert compared.likeness is Likeness.DIFFERENT
    assert "Remediate" in compared.only_printed
    assert "Pass" in compared.only_recorded


def test_a_mark_that_differs_without_a_word_is_no_same_sheet() -> None:
    content = remediate()
    reader = reading.opened(render(content).pdf)
    line = replace(content.lines[0], look=content.lines[3].look)
    changed = replace(content, lines=(line, *content.lines[1:]))
    assert compare(reader, drawn_again(reader, changed)).likeness is not Likeness.SAME


def test_words_come_back_from_the_page_whatever_their_face() -> None:
    content = remediate()
    content = replace(content, occasion=replace(content.occasion, learner="Łucja דוד Ελένη (a)"))
    found = words(reading.pages(reading.opened(render(content).pdf))[0])
    assert found[:4] == ["Łucja", "דוד"[::-1], "Ελένη", "(a)"]
    assert "84.9" in found
