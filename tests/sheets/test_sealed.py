"""Who holds the key can sign anything; the verifier sees what is no sheet (rule K3)."""

import io
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.fields import append_signature_field

from observe.sheets import printed, reading, record, sealed
from observe.sheets.content import Part, SheetContent
from observe.sheets.setting import Paper
from observe.sheets.sheet import render
from observe.sheets.sign import countersign, sign
from observe.sheets.verify import Level, Verdict, verify
from observe.trust.keys import Key, make, opened
from tests.sheets.samples import ALL, remediate

Loose = Any  # what the library has no types for
Forge = Callable[[Loose], None]

library: Loose = generic
name = generic.pdf_name


def numbers(*values: float) -> Loose:
    """An array of numbers."""
    return library.ArrayObject(library.FloatObject(value) for value in values)


def changed(pdf: bytes, forge: Forge) -> bytes:
    """The file with a later revision made by `forge`."""
    writer: Loose = IncrementalPdfFileWriter(io.BytesIO(pdf))
    forge(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


@pytest.fixture
def own(key: Key) -> SheetContent:
    """A sheet that says Remediate and names the key it will be signed with."""
    return replace(remediate(), signer=replace(remediate().signer, fingerprint=key.fingerprint))


@pytest.fixture
def judged(own: SheetContent, key: Key, at: datetime) -> Callable[[Forge], Verdict]:
    """The verdict on a sheet that the holder of the key changes before signing it."""

    def verdict(forge: Forge) -> Verdict:
        sheet = render(own)
        return verify(sign(replace(sheet, pdf=changed(sheet.pdf, forge)), key, at))

    return verdict


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("sample", ALL)
def test_a_sheet_as_signed_holds_nothing_beside_the_sheet(
    sample: str, paper: Paper, key: Key, at: datetime
) -> None:
    pdf = sign(render(ALL[sample](), paper), key, at)
    for signed in (pdf, countersign(pdf, Part.READ, opened(make("Tarn Valley", at)), at)):
        reader = reading.opened(signed)
        kept = reading.attached(reader)
        assert kept is not None
        again = printed.drawn_again(reader, record.read(kept))
        assert sealed.beside(reader, again) == ""


def test_a_change_that_changes_nothing_is_sound(judged: Callable[[Forge], Verdict]) -> None:
    def forge(writer: Loose) -> None:
        writer.update_root()

    assert judged(forge).level is Level.SOUND


PAGE = {
    "/CropBox": numbers(0, 0, 595, 420),
    "/TrimBox": numbers(0, 0, 595, 420),
    "/Rotate": library.NumberObject(180),
    "/UserUnit": library.FloatObject(9.5),
    "/Group": library.DictionaryObject({name("/S"): name("/Transparency")}),
    "/AA": library.DictionaryObject(),
    "/MediaBox": numbers(0, 400, 595.2756, 841.8898),
}


@pytest.mark.parametrize("entry", PAGE)
@pytest.mark.parametrize("place", ["page", "pages"])
def test_a_page_that_is_cut_turned_or_scaled_is_no_sheet(
    entry: str, place: str, judged: Callable[[Forge], Verdict]
) -> None:
    def forge(writer: Loose) -> None:
        node = writer.root["/Pages"]
        if place == "page":
            node = node["/Kids"][0]
        node[name(entry)] = PAGE[entry]
        writer.update_container(node)

    verdict = judged(forge)
    assert verdict.level is Level.WANTING
    assert "the pages are not the sheet drawn again" in " ".join(verdict.sentences)
    assert not any("drawn again here" in one for one in verdict.sentences)


def picture(writer: Loose) -> Loose:
    """What a field shows: PASS on a white box as large as the page."""
    font = {"/Type": "/Font", "/Subtype": "/Type1", "/BaseFont": "/Helvetica-Bold"}
    fonts = library.DictionaryObject(
        {name("/F1"): library.DictionaryObject({name(k): name(v) for k, v in font.items()})}
    )
    return writer.add_object(
        library.StreamObject(
            {
                name("/Type"): name("/XObject"),
                name("/Subtype"): name("/Form"),
                name("/BBox"): numbers(0, 0, 595, 842),
                name("/Resources"): library.DictionaryObject({name("/Font"): fonts}),
            },
            stream_data=b"1 1 1 rg 0 0 595 842 re f 0 g BT /F1 40 Tf 80 650 Td (PASS) Tj ET",
        )
    )


def shows_a_picture(writer: Loose, field: Loose) -> None:
    """Only what the field shows is another; it stands where it should."""
    field["/AP"] = library.DictionaryObject({name("/N"): picture(writer)})


def covers_the_page(_writer: Loose, field: Loose) -> None:
    """The field is as large as the page."""
    field["/Rect"] = numbers(0, 0, 595, 842)


def covers_the_page_with_a_picture(writer: Loose, field: Loose) -> None:
    """Both."""
    shows_a_picture(writer, field)
    covers_the_page(writer, field)


def has_a_second_widget(writer: Loose, field: Loose) -> None:
    """A second place of the same name, over the first page."""
    second = library.DictionaryObject(field)
    covers_the_page_with_a_picture(writer, second)
    page, _ = writer.find_page_for_modification(0)
    writer.register_annotation(page, writer.add_object(second))


def does_something(_writer: Loose, field: Loose) -> None:
    """The field opens a page of the web."""
    field["/A"] = library.DictionaryObject({name("/S"): name("/URI")})


FIELDS = [
    shows_a_picture,
    covers_the_page,
    covers_the_page_with_a_picture,
    has_a_second_widget,
    does_something,
]


@pytest.mark.parametrize("forge", FIELDS, ids=lambda forge: forge.__name__)
def test_a_place_for_a_signature_shows_the_seal_where_the_sheet_has_it_or_nothing(
    forge: Callable[[Loose, Loose], None],
    own: SheetContent,
    key: Key,
    at: datetime,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    honest: Loose = append_signature_field

    def forged(writer: Loose, specification: Loose) -> None:
        honest(writer, specification)
        if specification.sig_field_name == "read":
            fields = writer.root["/AcroForm"]["/Fields"]
            field = fields[len(fields) - 1]
            forge(writer, field)
            writer.update_container(field)

    with monkeypatch.context() as patched:
        patched.setattr("observe.sheets.sign.append_signature_field", forged)
        pdf = sign(render(own), key, at)
    verdict = verify(pdf)
    assert verdict.signatures[0].is_valid
    assert verdict.level is Level.WANTING
    assert not any("drawn again here" in one for one in verdict.sentences)
    if forge is not has_a_second_widget:
        assert "The place “read” is not where a sheet has it" in verdict.sentences[0]


ROOT = {
    "/OpenAction": library.DictionaryObject({name("/S"): name("/URI")}),
    "/OCProperties": library.DictionaryObject(),
    "/Collection": library.DictionaryObject(),
    "/AA": library.DictionaryObject(),
    "/PageMode": name("/FullScreen"),
}


@pytest.mark.parametrize("entry", ROOT)
def test_what_a_file_does_when_it_is_opened_is_no_part_of_a_sheet(
    entry: str, judged: Callable[[Forge], Verdict]
) -> None:
    def forge(writer: Loose) -> None:
        writer.root[name(entry)] = ROOT[entry]
        writer.update_root()

    verdict = judged(forge)
    assert verdict.level is Level.WANTING
    assert verdict.sentences[0] == f"The file holds something that no sheet holds, at {entry}."


def test_how_a_sheet_is_shown_is_part_of_it(judged: Callable[[Forge], Verdict]) -> None:
    def forge(writer: Loose) -> None:
        writer.root[name("/ViewerPreferences")] = library.DictionaryObject()
        writer.update_root()

    said = judged(forge).sentences[0]
    assert said == "The file holds something that no sheet holds, at /DisplayDocTitle."


def test_what_a_listener_is_told_is_part_of_a_sheet(judged: Callable[[Forge], Verdict]) -> None:
    def forge(writer: Loose) -> None:
        element = writer.root["/StructTreeRoot"]["/K"]["/K"][0]
        element[name("/Alt")] = generic.pdf_string("Somebody else")
        writer.update_container(element)

    verdict = judged(forge)
    assert verdict.level is Level.WANTING
    assert verdict.sentences[0] == "The file holds something that no sheet holds, at /Alt."


def test_a_second_attached_file_is_no_part_of_a_sheet(judged: Callable[[Forge], Verdict]) -> None:
    def forge(writer: Loose) -> None:
        names = writer.root["/Names"]["/EmbeddedFiles"]["/Names"]
        names.append(generic.pdf_string("other.json"))
        names.append(names.raw_get(1))
        writer.update_container(names)

    assert judged(forge).level is Level.WANTING


def test_the_title_over_the_window_is_the_sheets(judged: Callable[[Forge], Verdict]) -> None:
    def forge(writer: Loose) -> None:
        writer.set_custom_trailer_entry(name("/Info"), writer.trailer.raw_get("/Info"))
        told = writer.trailer["/Info"]
        told["/Title"] = generic.pdf_string("Pass")
        writer.update_container(told)

    assert "The title of the file is not the sheet's." in judged(forge).sentences


def described(words: bytes) -> Forge:
    def forge(writer: Loose) -> None:
        made = library.StreamObject(stream_data=words)
        made[name("/Type")] = name("/Metadata")
        made[name("/Subtype")] = name("/XML")
        writer.root[name("/Metadata")] = writer.add_object(made)
        writer.update_root()

    return forge


XMP = (
    b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF'
    b' xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about=""'
    b' xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:title><rdf:Alt>'
    b'<rdf:li xml:lang="x-default">Somebody else</rdf:li></rdf:Alt></dc:title>'
    b"</rdf:Description></rdf:RDF></x:xmpmeta>"
)


NOT_THE_TITLE = "The title of the file is not the sheet's."


def test_a_title_in_the_description_of_a_file_is_the_sheets_too(
    own: SheetContent, key: Key, at: datetime
) -> None:
    """A reader shows that one over its window."""
    pdf = changed(sign(render(own), key, at), described(XMP))
    assert NOT_THE_TITLE in verify(pdf).sentences


@pytest.mark.parametrize("words", [XMP[:200], b"", b"<!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>"])
def test_a_description_that_cannot_be_read_is_never_sound(
    own: SheetContent, key: Key, at: datetime, words: bytes
) -> None:
    pdf = changed(sign(render(own), key, at), described(words))
    assert verify(pdf).level is Level.WANTING


def test_the_words_alone_prove_nothing_even_where_another_version_is_said_to_have_drawn_them(
    own: SheetContent, key: Key, at: datetime
) -> None:
    """Else a drawing of anything would be sound as long as it names an older version."""

    def forge(writer: Loose) -> None:
        page = writer.root["/Pages"]["/Kids"][0]
        white = writer.add_object(library.StreamObject(stream_data=b"1 g 0 0 595 842 re f"))
        page["/Contents"] = library.ArrayObject([page.raw_get("/Contents"), white])
        writer.update_container(page)

    old = replace(own, origin=replace(own.origin, engine="0.0.1"))
    sheet = render(old)
    verdict = verify(sign(replace(sheet, pdf=changed(sheet.pdf, forge)), key, at))
    assert verdict.level is Level.WANTING
    assert "something may be covered, cut or added." in verdict.sentences[0]
    assert "check it with that version" in verdict.sentences[0]


def test_a_sheet_of_another_version_that_is_drawn_alike_is_sound(
    own: SheetContent, key: Key, at: datetime
) -> None:
    old = replace(own, origin=replace(own.origin, engine="0.0.1"))
    assert verify(sign(render(old), key, at)).level is Level.SOUND
