"""What is written by hand into a file is what a reader of the standard finds there."""

import io

from observe.sheets.blocks import Line
from observe.sheets.canvas import SheetCanvas
from observe.sheets.structure import Structure
from observe.sheets.tags import Role, Tag
from observe.sheets.typeset import Style
from tests.sheets.listening import elements, entries, kids, opened, owners


def made(*tags: Tag, pages: int = 1) -> bytes:
    out = io.BytesIO()
    canvas = SheetCanvas(out, pagesize=(100, 100), invariant=1)
    structure = Structure(canvas.write)
    for _ in range(pages):
        structure.begin_page(100)
        for tag in tags:
            structure.enter(tag)
        structure.before(Line(10, 20, "words", Style(10), 30))
        canvas.drawString(10, 80, "words")
        for _tag in tags:
            structure.leave()
        structure.end_page()
        canvas.showPage()
    canvas.structured(structure)
    canvas.save()
    return out.getvalue()


def test_an_element_over_two_pages_names_the_page_of_each_part() -> None:
    reader = opened(made(Tag(Role.P), pages=2))
    _, paragraph = elements(reader)
    first, second = kids(paragraph)
    assert first == 0
    assert (second["/Type"], second["/MCID"], second["/Pg"]["/StructParents"]) == ("/MCR", 0, 1)
    assert {key: len(held) for key, held in owners(reader).items()} == {0: 1, 1: 1}


def test_a_figure_has_its_words_in_any_letters_and_its_box() -> None:
    _, figure = elements(opened(made(Tag(Role.FIGURE, "größer (α) \\ 80 %"))))
    assert figure["/Alt"] == "größer (α) \\ 80 %"
    assert list(figure["/A"]["/BBox"]) == [10, 77, 40, 88]


def test_an_attached_file_comes_back() -> None:
    out = io.BytesIO()
    canvas = SheetCanvas(out, pagesize=(100, 100), invariant=1)
    canvas.attach("record.json", b"{}", "A record")
    canvas.save()
    root = opened(out.getvalue()).root
    name, held = entries(root["/Names"]["/EmbeddedFiles"]["/Names"])
    assert name == "record.json"
    assert held["/EF"]["/F"].data == b"{}"
    assert root["/AF"][0]["/AFRelationship"] == "/Data"
