"""Pages of a report: nothing overlaps or leaves its page, heads come again over a longer table."""

from __future__ import annotations

import pytest

from observe.sheets.blocks import Line, Place, seen_of
from observe.sheets.compose import Page
from observe.sheets.report_content import FIELD
from observe.sheets.report_pages import compose
from observe.sheets.setting import Paper
from tests.sheets.reports import short

DIGEST = "ab" * 32


def lines(page: Page) -> list[Line]:
    return [item for item in seen_of(page.items) if isinstance(item, Line)]


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize(("rows", "texts"), [(1, 1), (3, 4), (40, 2), (120, 30)])
def test_no_words_overlap_or_leave_the_page(paper: Paper, rows: int, texts: int) -> None:
    for page in compose(short(rows=rows, texts=texts), paper, DIGEST):
        boxes = [line.box for line in lines(page)]
        for left, top, right, bottom in boxes:
            assert left >= 0
            assert top >= 0
            assert right <= page.width
            assert bottom <= page.height
        for place, one in enumerate(boxes):
            for other in boxes[place + 1 :]:
                apart = one[2] <= other[0] + 0.01 or other[2] <= one[0] + 0.01
                assert apart or one[3] <= other[1] + 1.2 or other[3] <= one[1] + 1.2


def test_a_long_table_has_its_heads_on_every_page_and_each_row_once() -> None:
    pages = compose(short(rows=120), Paper.A4, DIGEST)
    with_rows = [page for page in pages if any("Names the" in line.text for line in lines(page))]
    assert len(with_rows) >= 2
    for page in with_rows:
        assert [line.text for line in lines(page)].count("interval") == 1
    numbers = [
        line.text.split()[0] for page in pages for line in lines(page) if "Names the" in line.text
    ]
    assert numbers == [str(at) for at in range(120)]


def test_the_place_for_the_signature_is_on_the_last_page() -> None:
    pages = compose(short(rows=60), Paper.LETTER, DIGEST)
    assert [place.name for page in pages for place in page.places] == [FIELD]
    assert isinstance(pages[-1].places[0], Place)


def test_every_page_says_its_number_and_code() -> None:
    pages = compose(short(rows=60), Paper.A4, DIGEST)
    for number, page in enumerate(pages, start=1):
        texts = [line.text for line in lines(page)]
        assert f"{number} of {len(pages)}" in texts
        assert "abab abab abab" in texts


def test_a_title_never_stands_alone_at_the_foot() -> None:
    for texts in range(1, 14):
        for page in compose(short(rows=3, texts=texts), Paper.A4, DIGEST):
            said = [line.text for line in lines(page)]
            if "11 Numbers" in said:
                assert said.index("11 Numbers") < len(said) - 4
