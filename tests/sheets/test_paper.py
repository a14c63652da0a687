"""Paper scoring sheets: two pages for 31 steps, nothing cut, the same bytes each time."""

from __future__ import annotations

import subprocess
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from observe.sheets.blocks import Line
from observe.sheets.compose import Page
from observe.sheets.paper import MARGIN, compose, render
from observe.sheets.setting import Paper
from tests.sheets.papers import a_sheet

SLACK = 0.05


def sound(page: Page) -> None:
    """Every line stands within the margins and runs into no other."""
    lines = [item for item in page.items if isinstance(item, Line)]
    for line in lines:
        left, top, right, bottom = line.box
        assert left >= MARGIN - SLACK, line.text
        assert right <= page.width - MARGIN + SLACK, line.text
        assert top >= MARGIN - SLACK, line.text
        assert bottom <= page.height - MARGIN + SLACK, line.text
    for one, other in combinations(lines, 2):
        (a, b, c, d), (e, f, g, h) = one.box, other.box
        crossed = a < g - SLACK and e < c - SLACK and b < h - SLACK and f < d - SLACK
        assert not crossed, f"{one.text!r} runs into {other.text!r}"


def numbers(pages: tuple[Page, ...]) -> list[str]:
    """The numbers of the steps, in the order in which they stand."""
    texts = [item.text for page in pages for item in page.items if isinstance(item, Line)]
    return [
        text
        for text, following in pairwise(texts)
        if text.isdecimal() and following.startswith("Does the thing")
    ]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("learner", ["Lina One", "", "Anna-Katharina Wolfeschlegelstein " * 3])
def test_31_steps_stand_on_two_pages_in_their_order(paper: Paper, learner: str) -> None:
    pages = compose(a_sheet(learner=learner), paper)
    assert len(pages) == 2
    assert numbers(pages) == [f"{number}" for number in range(1, 32)]
    for page in pages:
        sound(page)


@pytest.mark.parametrize("count", [12, 60, 90])
def test_larger_forms_flow_on_and_each_sheet_takes_whole_leaves(count: int) -> None:
    pages = compose(a_sheet(count), Paper.A4)
    assert len(pages) % 2 == 0
    assert numbers(pages) == [f"{number}" for number in range(1, count + 1)]
    heads = ["done" in {i.text for i in page.items if isinstance(i, Line)} for page in pages]
    assert heads[0]
    for page in pages:
        sound(page)


@given(st.text(max_size=80), st.text(max_size=200))
@settings(max_examples=8)
def test_any_words_find_their_place(learner: str, caution: str) -> None:
    for page in compose(a_sheet(12, learner=learner, caution=caution), Paper.LETTER):
        sound(page)


@pytest.mark.outside("pdftotext", "qpdf")
def test_outside_programs_read_it_and_the_bytes_are_the_same_each_time(tmp_path: Path) -> None:
    made = render([a_sheet(), a_sheet(learner="")], Paper.A4, "Paper scoring sheets")
    assert made == render([a_sheet(), a_sheet(learner="")], Paper.A4, "Paper scoring sheets")
    path = tmp_path / "paper.pdf"
    path.write_bytes(made)
    subprocess.run(["qpdf", "--check", path], check=True, capture_output=True)
    told = subprocess.run(["pdftotext", "-layout", path, "-"], check=True, capture_output=True)
    text = told.stdout.decode("utf-8")
    assert text.count("\f") == 4
    for words in ("Lina One", "Does the thing that is number 31", "Watched by", "Typed in by"):
        assert words in text
    lowered = text.lower()
    assert not [
        word for word in ("score ", "cut score", "coverage", "remediate") if word in lowered
    ]
