"""Every sheet stands on its pages: nothing over an edge, nothing over anything else."""

from dataclasses import replace
from itertools import combinations
from typing import TypeGuard

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from observe.look.shapes import Disc, Polygon, Rect, Shape, extent
from observe.look.tokens import Token
from observe.sheets.blocks import Item, Line
from observe.sheets.compose import Page, compose
from observe.sheets.content import Part, SheetContent
from observe.sheets.scripts import NUMBERED_NOTE
from observe.sheets.setting import MARGIN, Paper
from observe.sheets.tags import Close, Open, Role
from tests.sheets.samples import ALL, remediate
from tests.sheets.situations import SITUATIONS

Box = tuple[float, float, float, float]
SLACK = 0.05


def overlap(one: Box, other: Box) -> bool:
    return (
        one[0] < other[2] - SLACK
        and other[0] < one[2] - SLACK
        and one[1] < other[3] - SLACK
        and other[1] < one[3] - SLACK
    )


GROUNDS = {Token.BAND, Token.PANEL, Token.WRONGBG}


def is_mark(item: Item) -> TypeGuard[Shape]:
    if isinstance(item, Rect):
        return item.ink not in GROUNDS
    return isinstance(item, Disc | Polygon)


def check(page: Page) -> None:
    lines = [item for item in page.items if isinstance(item, Line)]
    for line in lines:
        left, top, right, bottom = line.box
        assert left >= MARGIN - SLACK, line.text
        assert right <= page.width - MARGIN + SLACK, line.text
        assert top >= 0, line.text
        assert bottom <= page.height - MARGIN / 2, line.text
    for one, other in combinations(lines, 2):
        assert not overlap(one.box, other.box), f"{one.text!r} runs into {other.text!r}"
    marks = [extent((item,)) for item in page.items if is_mark(item)]
    for line in lines:
        for mark in marks:
            assert not overlap(line.box, mark), f"{line.text!r} runs into a mark"


def grounds(page: Page) -> list[Rect]:
    return [item for item in page.items if isinstance(item, Rect) and item.ink in GROUNDS]


def check_grounds(page: Page) -> None:
    """Letters stand wholly on a ground or wholly beside it."""
    for ground in grounds(page):
        box = extent((ground,))
        for line in page.items:
            if isinstance(line, Line) and overlap(line.box, box):
                left, top, right, bottom = line.box
                assert box[0] - SLACK <= left, line.text
                assert right <= box[2] + SLACK, line.text
                assert box[1] - 1 <= top, line.text
                assert bottom <= box[3] + 1, line.text


HEADINGS = {Role.H2, Role.H3}


def check_headings(page: Page) -> None:
    """A heading is followed by letters below or beside it, on the same page and column."""
    heading: Line | None = None
    inside = False
    for item in page.items:
        if isinstance(item, Open) and item.tag.role is Role.ARTIFACT:
            break
        if isinstance(item, Open | Close) and item.tag.role in HEADINGS:
            inside = isinstance(item, Open)
        elif isinstance(item, Line) and inside:
            heading = item
        elif isinstance(item, Line) and heading is not None:
            assert item.y >= heading.y - 12, f"{heading.text!r} stands alone"
            heading = None
    assert heading is None


@pytest.mark.parametrize("name", SITUATIONS)
def test_each_situation_stands_on_its_pages(name: str) -> None:
    make, paper = SITUATIONS[name]
    pages = compose(make(), paper)
    assert len(pages) == 2 or name == "more than two pages"
    for page in pages:
        check(page)
        check_grounds(page)
        check_headings(page)


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("name", SITUATIONS)
def test_no_step_is_alone_with_its_phase_at_the_end_of_a_column(name: str, paper: Paper) -> None:
    content = SITUATIONS[name][0]()
    size = {phase.label: len(phase.steps) for phase in content.phases}
    if len(size) < len(content.phases):
        return  # Phases of one name cannot be told apart here.
    for page in compose(content, paper):
        steps: dict[str, list[float]] = {}
        label = ""
        role = None
        for item in page.items:
            if isinstance(item, Open):
                role = item.tag.role
            elif isinstance(item, Line) and role is Role.H3 and item.text in size:
                label = item.text
                steps[label] = []
            elif isinstance(item, Line) and role is Role.HEAD and item.text.isdigit() and label:
                steps[label].append(item.x)
        for phase, places in steps.items():
            for column in set(places):
                if size[phase] > 3:
                    assert places.count(column) >= 2, phase


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("name", ALL)
def test_nothing_is_cut_and_nothing_overlaps(name: str, paper: Paper) -> None:
    for page in compose(ALL[name](), paper):
        assert (page.width, page.height) == paper.size
        check(page)


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("name", [name for name in ALL if name != "excessive"])
def test_a_sheet_has_two_pages_up_to_the_longest_usual_content(name: str, paper: Paper) -> None:
    assert len(compose(ALL[name](), paper)) == 2


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("name", ALL)
def test_each_signature_has_one_place_on_the_last_page(name: str, paper: Paper) -> None:
    pages = compose(ALL[name](), paper)
    assert [place.name for place in pages[-1].places] == [Part.DECIDED, Part.READ]
    assert not any(page.places for page in pages[:-1])


def all_text(pages: tuple[Page, ...]) -> str:
    return " ".join(i.text for page in pages for i in page.items if isinstance(i, Line))


@pytest.mark.parametrize("name", ALL)
def test_the_first_page_can_stand_alone(name: str) -> None:
    content = ALL[name]()
    first = all_text(compose(content, Paper.A4)[:1])
    assert content.decision.word in first
    assert "1 of" in first
    assert "not clinically reviewed" in first
    assert "nothing about care of patients" in first


def test_nothing_of_an_excessive_sheet_is_lost() -> None:
    content = ALL["excessive"]()
    said = all_text(compose(content, Paper.A4))
    assert said.count("Palpates both iliac") >= len(content.steps)
    assert said.count("W") >= sum(sentence.count("W") for sentence in content.amendments)


names = st.text(
    alphabet=st.characters(categories=("L", "M", "N", "Zs", "P")), min_size=1, max_size=80
)


@settings(max_examples=25)
@given(names, st.text(max_size=300), st.sampled_from(Paper))
def test_any_name_and_any_words_find_their_place(name: str, words: str, paper: Paper) -> None:
    content = remediate()
    content = replace(
        content,
        occasion=replace(content.occasion, learner=name, place=name),
        advice=replace(content.advice, strength=words, change=words),
    )
    for page in compose(content, paper):
        check(page)


def test_letters_without_a_shape_are_explained() -> None:
    content = remediate()

    def of(learner: str) -> SheetContent:
        return replace(content, occasion=replace(content.occasion, learner=learner))

    assert NUMBERED_NOTE in all_text(compose(of("\u5c71\u7530"), Paper.A4))
    for learner in ("Łucja Żółć", "Ελένη", "Олена", "\u05d3\u05d5\u05d3", "\u0633\u0644\u0645"):
        assert NUMBERED_NOTE not in all_text(compose(of(learner), Paper.A4))
