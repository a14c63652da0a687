"""The HTML twin says what the pages say, and can be read without seeing them (WCAG 2.2)."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.look.tokens import DARK, LIGHT, Theme
from observe.sheets.blocks import Line
from observe.sheets.compose import compose
from observe.sheets.content import SheetContent
from observe.sheets.record import digest_of, written
from observe.sheets.setting import Paper
from observe.sheets.twin import twin
from tests.sheets.samples import ALL, remediate

VOID = frozenset({"meta", "br", "rect", "circle", "path"})
NUMBER = re.compile(r"\d+(?:[.,:]\d+)*")


class Reader(HTMLParser):
    """Words in order, headings, tables, and whether every element closes."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.words: list[str] = []
        self.headings: list[int] = []
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))
        if re.fullmatch(r"h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert tag in VOID or self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words += data.split()


def read(content: SheetContent) -> Reader:
    return Reader(twin(content).decode("utf-8"))


@pytest.mark.parametrize("name", ALL)
def test_every_number_of_the_pages_is_in_it(name: str) -> None:
    content = ALL[name]()
    said = set(NUMBER.findall(" ".join(read(content).words)))
    for page in compose(content, Paper.A4):
        lines = [item.text for item in page.items if isinstance(item, Line)]
        printed = set(NUMBER.findall(" ".join(lines)))
        ticks = {str(tick) for tick in range(0, 101, 10)}
        assert printed - said - ticks == set()


@pytest.mark.parametrize("name", ALL)
def test_wcag_it_has_a_language_a_title_and_headings_in_order(name: str) -> None:
    found = read(ALL[name]())
    assert found.open == []
    assert ("html", {"lang": "en"}) in found.seen
    assert found.headings[0] == 1
    assert found.headings.count(1) == 1
    steps = [b - a for a, b in zip(found.headings, found.headings[1:], strict=False)]
    assert all(step <= 1 for step in steps)
    assert all(attrs.get("scope") for tag, attrs in found.seen if tag == "th")
    assert all(attrs.get("aria-label") for tag, attrs in found.seen if tag == "svg")
    tags = {tag for tag, _ in found.seen}
    assert {"header", "main", "footer"} <= tags
    assert not tags & {"script", "img", "link", "iframe"}


def test_it_asks_no_network_and_names_its_record() -> None:
    content = remediate()
    text = twin(content).decode("utf-8")
    assert "http" not in text
    assert "url(" not in text
    assert digest_of(written(content)) in text


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_wcag_1_4_3_its_letters_have_contrast(theme: Theme) -> None:
    on_sheet = ((theme.ink, theme.sheet), (theme.ink2, theme.sheet))
    for ink, ground in (*on_sheet, (theme.onband, theme.band)):
        assert contrast(ink, ground) >= 4.5


def contrast(one: str, other: str) -> float:
    """The ratio of WCAG 2.2, from relative luminance."""
    bright, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@given(st.text(max_size=80))
def test_whatever_somebody_wrote_stays_text(words: str) -> None:
    content = remediate()
    content = replace(content, advice=replace(content.advice, strength=f"<b>{words}</b>"))
    found = read(content)
    assert "b" not in {tag for tag, _ in found.seen}
    assert found.open == []
