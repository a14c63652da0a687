"""Two documents side by side: alike is alike whatever the numbers, and a cycle ends."""

import io
from typing import Any

import pytest
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

from observe.sheets import reading
from observe.sheets.lockstep import difference
from observe.sheets.sheet import render
from tests.sheets.samples import passed, remediate

library: Any = generic


def name(text: str) -> generic.NameObject:
    return generic.pdf_name(text)


def number(value: int) -> generic.PdfObject:
    made: generic.PdfObject = library.NumberObject(value)
    return made


def dictionary(**entries: generic.PdfObject) -> generic.DictionaryObject:
    made: generic.DictionaryObject = library.DictionaryObject(
        {name(f"/{key}"): value for key, value in entries.items()}
    )
    return made


def array(*entries: generic.PdfObject) -> generic.ArrayObject:
    made: generic.ArrayObject = library.ArrayObject(entries)
    return made


def stream(data: bytes, **entries: generic.PdfObject) -> generic.StreamObject:
    made: generic.StreamObject = library.StreamObject(dict(dictionary(**entries)), stream_data=data)
    return made


def test_the_same_drawing_is_the_same_document_and_another_is_not() -> None:
    one, same = (reading.opened(render(passed()).pdf) for _ in range(2))
    assert difference(one.root, same.root) is None
    other = reading.opened(render(remediate()).pdf)
    assert difference(other.root, one.root) is not None


def test_an_object_under_another_number_is_the_same_object() -> None:
    writer: Any = IncrementalPdfFileWriter(io.BytesIO(render(passed()).pdf))
    pages = writer.root["/Pages"]["/Kids"]
    page = pages[0]
    page["/Contents"] = writer.add_object(page["/Contents"])
    writer.update_container(page)
    out = io.BytesIO()
    writer.write(out)
    theirs, ours = reading.opened(out.getvalue()), reading.opened(render(passed()).pdf)
    assert difference(theirs.root["/Pages"], ours.root["/Pages"]) is None


@pytest.mark.parametrize(
    ("theirs", "ours", "way"),
    [
        (number(1), number(1), None),
        (number(1), number(2), ()),
        (name("/A"), generic.pdf_string("/A"), ()),
        (dictionary(A=number(1)), dictionary(A=number(1)), None),
        (dictionary(A=number(1)), dictionary(A=number(2)), ("/A",)),
        (dictionary(A=number(1), B=number(1)), dictionary(A=number(1)), ("/B",)),
        (dictionary(), dictionary(A=number(1)), ("/A",)),
        (dictionary(A=array(number(1))), dictionary(A=array(number(2))), ("/A", "1")),
        (array(number(1)), array(), ()),
        (stream(b"a"), stream(b"a"), None),
        (stream(b"a"), stream(b"b"), ()),
        (stream(b"a", F=number(1)), stream(b"a"), ("/F",)),
        (dictionary(A=number(1)), number(1), ()),
        (dictionary(L=number(1)), dictionary(L=number(2)), None),
        (dictionary(L=number(1)), dictionary(), None),
    ],
)
def test_the_way_to_the_first_difference(
    theirs: generic.PdfObject, ours: generic.PdfObject, way: tuple[str, ...] | None
) -> None:
    assert difference(theirs, ours, frozenset({"/L"})) == way


def test_only_what_stands_for_our_signature_may_be_another() -> None:
    ours = dictionary(V=dictionary(Type=name("/Sig"), Contents=number(1)))
    theirs = dictionary(V=dictionary(Type=name("/Sig"), Contents=number(2)))
    assert difference(theirs, ours) is None
    assert difference(dictionary(), ours) == ("/V",)
    assert difference(theirs, dictionary(V=number(2))) == ("/V",)


def test_objects_that_hold_each_other_come_to_an_end() -> None:
    ours, theirs = dictionary(), dictionary()
    ours[name("/A")] = ours
    theirs[name("/A")] = dictionary(A=theirs)
    assert difference(theirs, ours) is None
