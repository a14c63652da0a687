"""What a listener hears is what is printed, in its order, and nothing is left unmarked."""

import re
import shutil
import subprocess
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pyhanko.pdf_utils import generic

from observe.look.shapes import Rect
from observe.look.tokens import Token
from observe.sheets import printed, reading
from observe.sheets.blocks import Line
from observe.sheets.content import Part, SheetContent
from observe.sheets.setting import Paper
from observe.sheets.sheet import render
from observe.sheets.sign import countersign
from observe.sheets.structure import Element, Stretch, Structure
from observe.sheets.tags import Role, Tag
from observe.sheets.typeset import Style
from observe.trust.keys import Key
from tests.sheets.listening import elements, kids, opened, owners, painted, roles
from tests.sheets.samples import ALL, remediate
from tests.sheets.test_sheet import GOLDEN

NUMBER = re.compile(r"/MCID (\d+)")


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("name", ALL)
def test_all_ink_lies_inside_a_marked_sequence(name: str, paper: Paper) -> None:
    reader = opened(render(ALL[name](), paper).pdf)
    for page in reading.pages(reader):
        found = list(painted(reading.drawing_of(page)))
        assert found
        assert all(len(one.within) == 1 for one in found)
        words = [one.within[0] for one in found if one.operator == "Tj"]
        assert all("/MCID" in one or "/Pagination" in one for one in words)


@pytest.mark.parametrize("name", ALL)
def test_each_sequence_has_its_number_and_its_element(name: str) -> None:
    reader = opened(render(ALL[name](), Paper.A4).pdf)
    held = owners(reader)
    for place, page in enumerate(reading.pages(reader)):
        assert page["/StructParents"] == place
        assert page["/Tabs"] == "/S"
        numbers = [int(one) for one in NUMBER.findall(reading.drawing_of(page).decode("latin-1"))]
        assert numbers == list(range(len(held[place])))
        for number, owner in enumerate(held[place]):
            assert any(
                kid == number if isinstance(kid, int) else "/MCID" in kid and kid["/MCID"] == number
                for kid in kids(owner)
            )


@pytest.mark.parametrize("name", ALL)
def test_a_listener_hears_the_words_that_are_printed(name: str) -> None:
    """All of them once, but for the feet of the pages before the last."""
    reader = opened(render(ALL[name](), Paper.A4).pdf)
    pages = reading.pages(reader)
    heard = Counter(word for page in pages for word in printed.words(page))
    marked = Counter(word for page in pages for word in printed.words(_without_feet(page)))
    foot = heard - marked
    assert set(foot) <= set(printed.words(pages[-1])) | {*map(str, range(1, 9)), "of"}
    assert all(count == len(pages) - 1 or word in marked for word, count in foot.items())


def _without_feet(page: generic.DictionaryObject) -> generic.DictionaryObject:
    drawing = reading.drawing_of(page)
    kept = re.sub(rb"/Artifact <</Type /Pagination.*?EMC", b"", drawing, flags=re.DOTALL)
    copy = generic.DictionaryObject(page)  # type: ignore[no-untyped-call] # no types there
    copy[generic.pdf_name("/Contents")] = generic.StreamObject(stream_data=kept)
    return copy


@pytest.mark.parametrize("name", ALL)
def test_headings_go_down_one_level_at_a_time(name: str) -> None:
    found = roles(opened(render(ALL[name](), Paper.A4).pdf))
    assert found[:2] == ["Document", "H1"]
    assert found.count("H1") == 1
    levels = [int(one[1]) for one in found if re.fullmatch(r"H\d", one)]
    assert all(after <= before + 1 for before, after in pairwise(levels))


WITHIN = {
    "TR": {"Table"},
    "TH": {"TR"},
    "TD": {"TR"},
    "LI": {"L"},
    "Lbl": {"LI"},
    "LBody": {"LI"},
    "H1": {"Document"},
    "H2": {"Document"},
    "H3": {"Document"},
}


@pytest.mark.parametrize("name", ALL)
def test_elements_stand_where_the_standard_has_them(name: str) -> None:
    """ISO 32000-1, 14.8.4.3; every row is as long as the others, with a head and its scope."""
    reader = opened(render(ALL[name](), Paper.A4).pdf)
    for one in elements(reader):
        role = str(one["/S"])[1:]
        above = str(one["/P"]["/S"])[1:] if "/S" in one["/P"] else ""
        assert above in WITHIN.get(role, {above}), role
        if role == "TR":
            assert [str(kid["/S"]) for kid in kids(one)] == ["/TH", "/TD"]
            assert kids(one)[0]["/A"]["/Scope"] == "/Row"
        if role == "Figure":
            assert one["/Alt"]
            left, bottom, right, top = one["/A"]["/BBox"]
            assert 0 <= left < right
            assert 0 <= bottom < top
        assert role == "Document" or "/K" in one or role == "Form"


def test_marks_are_said_in_words() -> None:
    said = [str(one["/Alt"]) for one in elements(opened(render(remediate()).pdf)) if "/Alt" in one]
    assert {"met", "not met", "not asked", "done", "incorrect", "not done", "not seen"} <= set(said)
    assert "A scale with the score 84.9 %, from 82.3 to 85.4 %, provisional cut 78.0 %." in said
    count = len(remediate().steps)
    assert f"The attempt as a ribbon, a block for each of {count} steps, as listed below." in said


def test_the_file_says_its_language_and_shows_its_title() -> None:
    root = opened(render(remediate()).pdf).root
    assert root["/Lang"] == "en"
    assert bool(root["/MarkInfo"]["/Marked"])
    assert bool(root["/ViewerPreferences"]["/DisplayDocTitle"])


def test_no_claim_is_made_that_nobody_checked(signed: Callable[[SheetContent], bytes]) -> None:
    assert b"pdfuaid" not in signed(remediate())


@pytest.mark.parametrize("later", [False, True])
def test_the_places_for_signatures_are_in_the_tree(
    signed: Callable[[SheetContent], bytes], key: Key, at: datetime, *, later: bool
) -> None:
    pdf = signed(remediate())
    reader = opened(countersign(pdf, Part.READ, key, at) if later else pdf)
    held, forms = owners(reader), [one for one in elements(reader) if one["/S"] == "/Form"]
    assert [str(one["/T"]) for one in forms] == [Part.DECIDED, Part.READ]
    for form in forms:
        tie = form["/K"]
        assert tie["/Type"] == "/OBJR"
        widget = tie["/Obj"]
        assert widget["/T"] == form["/T"]
        assert widget["/TU"] == form["/Alt"]
        assert held[int(widget["/StructParent"])]["/T"] == form["/T"]
        assert widget["/P"]["/StructParents"] == tie["/Pg"]["/StructParents"]


@pytest.mark.outside("pdfinfo")
@pytest.mark.parametrize("name", ALL)
def test_an_outside_program_reads_the_tree(
    name: str, signed: Callable[[SheetContent], bytes], tmp_path: Path
) -> None:
    path = tmp_path / "sheet.pdf"
    path.write_bytes(signed(ALL[name]()))
    said = _tool("pdfinfo", str(path))
    assert re.search(r"Tagged: +yes", said)
    tree = _tool("pdfinfo", "-struct-text", str(path))
    assert tree.startswith("Document\n  H1 (block)\n")
    if name == "remediate":
        heard = " ".join("".join(re.findall(r'"(.*)"', tree)).split())
        place = 0
        for part in _AS_HEARD:
            found = heard.find(part, place)
            assert found >= 0, f"{part!r} is missing, or is heard before what it follows"
            place = found


_LEFT_OUT = {"put right by you", "not clinically reviewed", "1 of 2"}
_AS_HEARD = [part for part in GOLDEN if part not in _LEFT_OUT]
"""Of a critical item the name is heard before what became of it; the first foot is not heard."""


def _tool(*command: str) -> str:
    assert shutil.which(command[0])
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert not done.stderr
    return done.stdout


def test_letters_that_stand_backwards_are_heard_as_written(
    renamed: Callable[[str], SheetContent],
) -> None:
    for learner in ("דוד כהן", "سلام"):
        page = reading.pages(opened(render(renamed(learner)).pdf))[0]
        wanted = "FEFF" + learner.encode("utf-16-be").hex()
        assert f"/ActualText <{wanted}>".encode() in reading.drawing_of(page)
    page = reading.pages(opened(render(remediate()).pdf))[0]
    assert b"/ActualText" not in reading.drawing_of(page)


def line(words: str) -> Line:
    return Line(10, 20, words, Style(10), 30)


BOX = Rect(5, 5, 10, 10, Token.INK)


def test_a_stretch_of_one_element_is_one_sequence() -> None:
    written: list[str] = []
    structure = Structure(written.append)
    paragraph, picture = Tag(Role.P), Tag(Role.FIGURE, "a box")
    structure.begin_page(100)
    structure.before(BOX)
    structure.enter(paragraph)
    structure.before(line("one"))
    structure.before(line("two"))
    structure.leave()
    structure.enter(picture)
    structure.before(BOX)
    structure.before(line("5"))
    structure.leave()
    structure.end_page()
    assert written == [
        "/Artifact BMC",
        "EMC",
        "/P <</MCID 0>> BDC",
        "EMC",
        "/Figure <</MCID 1>> BDC",
        "EMC",
    ]
    assert [kid.tag for kid in structure.document.kids if isinstance(kid, Element)] == [
        paragraph,
        picture,
    ]


def test_an_element_goes_on_over_the_page() -> None:
    structure = Structure(lambda _: None)
    tag = Tag(Role.P)
    for _ in range(2):
        structure.begin_page(100)
        structure.enter(tag)
        structure.before(line("words"))
        structure.leave()
        structure.end_page()
    (element,) = structure.document.kids
    assert isinstance(element, Element)
    assert element.kids == [Stretch(0, 0), Stretch(1, 0)]


@settings(max_examples=20)
@given(st.text(max_size=120), st.sampled_from(Paper))
def test_any_words_are_marked(words: str, paper: Paper) -> None:
    content = remediate()
    content = replace(content, advice=replace(content.advice, strength=words, change=words))
    for page in reading.pages(opened(render(content, paper).pdf)):
        assert all(len(one.within) == 1 for one in painted(reading.drawing_of(page)))
