"""What the verifier demands, and what it says of each way to tamper (rule K3)."""

import io
import random
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

import pytest
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

from observe import __version__
from observe.look.marks import DecisionLook
from observe.sheets import reading, record
from observe.sheets.content import Countersigner, Decision, Part, SheetContent
from observe.sheets.sheet import Unsigned, render
from observe.sheets.sign import countersign, issue, sign
from observe.sheets.verify import Level, Verdict, verify
from observe.trust.department import answer, found, request, revoke
from observe.trust.keys import Key, confirmed, make, opened
from observe.trust.standing import Known, Trust
from tests.sheets.samples import passed, remediate

Signed = Callable[[SheetContent], bytes]


def said(verdict: Verdict) -> str:
    return " ".join(verdict.sentences)


def test_a_sheet_as_issued_is_sound(signed: Signed, key: Key) -> None:
    verdict = verify(signed(remediate()), Known({key.fingerprint: "kept here"}), expected=1)
    assert verdict.level is Level.SOUND, verdict.sentences
    assert [one.field for one in verdict.signatures] == ["decided"]
    assert verdict.signatures[0].name == "Dr Petra Lindqvale"
    assert "Its key is known here: kept here." in verdict.sentences
    assert verdict.facts["decision"] == "Remediate"
    assert verdict.facts["learner"] == "Ravi Senapathi"


def test_a_key_that_is_not_known_proves_no_name(signed: Signed) -> None:
    verdict = verify(signed(remediate()))
    assert verdict.level is Level.SOUND
    assert "only what the key says of itself" in said(verdict)


def test_two_signatures_are_sound_and_one_of_them_taken_away_is_missed(
    signed: Signed, at: datetime
) -> None:
    first = signed(remediate())
    both = countersign(first, Part.READ, opened(make("Tarn Valley", at)), at)
    assert verify(both, expected=2).level is Level.SOUND
    taken = verify(first, expected=2)
    assert taken.level is Level.WANTING
    assert "2 signatures were expected; 1 found." in taken.sentences


def test_an_unsigned_sheet_is_said_to_be_unsigned() -> None:
    verdict = verify(render(remediate()).pdf)
    assert verdict.level is Level.WANTING
    assert verdict.sentences[0].startswith("The file is unsigned")


def finished(writer: Any) -> bytes:  # noqa: ANN401 - the library carries no types
    """What a writer of the library has made."""
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def without_signature(pdf: bytes) -> bytes:
    writer = IncrementalPdfFileWriter(io.BytesIO(pdf))
    for reference in writer.root["/AcroForm"]["/Fields"]:
        field = reference.get_object()
        if "/V" in field:
            del field["/V"]
            writer.mark_update(reference.reference)
    return finished(writer)


def test_a_removed_signature_is_named(signed: Signed) -> None:
    verdict = verify(without_signature(signed(remediate())))
    assert verdict.level is Level.WANTING
    assert "The place “decided” holds no signature: it was removed or never made." in (
        verdict.sentences
    )


@pytest.mark.parametrize("added", [b"\n", b"%\n" * 10, b"junk" * 5000])
def test_appended_bytes_are_counted(signed: Signed, added: bytes) -> None:
    verdict = verify(signed(remediate()) + added)
    assert verdict.level is Level.WANTING
    count = "1 byte was" if len(added) == 1 else f"{len(added)} bytes were"
    assert f"{count} added behind the last signature" in said(verdict)


@pytest.mark.parametrize("seed", range(25))
def test_a_flipped_byte_in_the_signed_range_is_never_sound(signed: Signed, seed: int) -> None:
    pdf = bytearray(signed(passed()))
    chance = random.Random(seed)
    gap = reading.spans(bytes(pdf))[-1]
    place = chance.choice([*range(gap.gap_start), *range(gap.gap_end, len(pdf))])
    pdf[place] ^= 1 << chance.randrange(8)
    assert verify(bytes(pdf)).level is not Level.SOUND


def test_a_flipped_byte_in_what_the_sheet_shows_is_named(signed: Signed) -> None:
    pdf = signed(passed())
    start = pdf.index(b"/Title (")
    changed = pdf[: start + 9] + b"X" + pdf[start + 10 :]
    verdict = verify(changed)
    assert verdict.level is Level.WANTING
    assert "is not valid: the file was changed after it was signed" in said(verdict)


@pytest.mark.parametrize("behind", [2, 10, 400])
def test_nothing_can_hide_in_the_room_left_for_a_signature(signed: Signed, behind: int) -> None:
    pdf = bytearray(signed(passed()))
    gap = reading.spans(bytes(pdf))[-1]
    place = gap.gap_end - behind
    assert pdf[place : place + 1] == b"0"
    pdf[place] = ord("1")
    verdict = verify(bytes(pdf))
    assert verdict.level is Level.WANTING
    assert "something is hidden in the room left for it" in said(verdict)


def with_record(sheet: Unsigned, content: SheetContent) -> Unsigned:
    """The same pages with the record of something else."""
    writer = IncrementalPdfFileWriter(io.BytesIO(sheet.pdf))
    specification = writer.root["/Names"]["/EmbeddedFiles"]["/Names"][1]
    stream = generic.StreamObject(stream_data=record.written(content))
    specification["/EF"][generic.pdf_name("/F")] = writer.add_object(stream)
    writer.update_container(specification)
    return replace(sheet, pdf=finished(writer))


def test_a_record_that_says_something_else_is_named(key: Key, at: datetime) -> None:
    content = remediate()
    content = replace(content, signer=replace(content.signer, fingerprint=key.fingerprint))
    better = replace(content, decision=Decision(DecisionLook.PASS, "Pass", "All is met."))
    forged = sign(with_record(render(better), content), key, at)
    verdict = verify(forged)
    assert verdict.level is Level.WANTING
    assert "printed only: Pass" in said(verdict)
    assert "in the record only: Remediate" in said(verdict)


def test_a_sheet_of_another_version_is_not_called_forged_out_of_hand(
    key: Key, at: datetime
) -> None:
    content = remediate()
    content = replace(
        content,
        signer=replace(content.signer, fingerprint=key.fingerprint),
        origin=replace(content.origin, engine="0.0.1"),
    )
    worded = replace(content, disagree=content.disagree + " Please.")
    verdict = verify(sign(with_record(render(content), worded), key, at))
    assert verdict.level is Level.WANTING
    assert f"drawn by version 0.0.1, this is {__version__}" in said(verdict)


def test_a_sheet_signed_with_another_key_than_it_names_is_wanting(key: Key, at: datetime) -> None:
    content = replace(remediate(), signer=replace(remediate().signer, fingerprint=key.fingerprint))
    verdict = verify(sign(render(content), opened(make("Dr Petra Lindqvale", at)), at))
    assert verdict.level is Level.WANTING
    assert "it was signed with another key" in verdict.sentences[0]


def with_note(pdf: bytes) -> bytes:
    """The file with a note laid over its first page."""
    writer: Any = IncrementalPdfFileWriter(io.BytesIO(pdf))
    library: Any = generic
    note = library.DictionaryObject(
        {
            "/Type": generic.pdf_name("/Annot"),
            "/Subtype": generic.pdf_name("/FreeText"),
            "/Rect": library.ArrayObject(map(library.NumberObject, (100, 700, 300, 750))),
            "/Contents": generic.pdf_string("Pass"),
        }
    )
    page, _ = writer.find_page_for_modification(0)
    writer.register_annotation(page, writer.add_object(note))
    return finished(writer)


def test_something_laid_over_a_page_is_named(key: Key, at: datetime) -> None:
    content = remediate()
    content = replace(content, signer=replace(content.signer, fingerprint=key.fingerprint))
    sheet = render(content)
    verdict = verify(sign(replace(sheet, pdf=with_note(sheet.pdf)), key, at))
    assert verdict.level is Level.WANTING
    assert "laid over the pages" in said(verdict)


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "The file is empty."),
        (b"hello", "This is neither a signed sheet (a PDF file) nor a logbook."),
        (b"%PDF-1.7\n", "damaged or cut off"),
        (b"SQLite format 3\x00", "This is neither a signed sheet (a PDF file) nor a logbook."),
    ],
)
def test_what_is_no_sheet_is_said_to_be_none(data: bytes, sentence: str) -> None:
    verdict = verify(data)
    assert verdict.level is Level.UNREADABLE
    assert sentence in said(verdict)


def test_a_pdf_of_another_origin_is_no_sheet() -> None:
    from reportlab.pdfgen.canvas import Canvas

    out = io.BytesIO()
    canvas = Canvas(out)
    canvas.drawString(100, 100, "A letter")
    canvas.save()
    verdict = verify(out.getvalue())
    assert verdict.level is Level.WANTING
    assert "no sheet of this program" in said(verdict)


@pytest.mark.parametrize("part", range(24))
def test_a_file_cut_off_anywhere_is_never_sound(signed: Signed, part: int) -> None:
    pdf = signed(passed())
    assert verify(pdf[: len(pdf) * part // 24]).level is not Level.SOUND


@pytest.mark.deep
@pytest.mark.parametrize("seed", range(400))
def test_no_spoiled_file_is_sound_or_breaks_the_verifier(signed: Signed, seed: int) -> None:
    chance = random.Random(seed)
    pdf = bytearray(signed(passed()))
    for _ in range(chance.choice([1, 1, 3, 30])):
        kind, place = chance.randrange(3), chance.randrange(len(pdf))
        if kind == 0:
            pdf[place] ^= 1 << chance.randrange(8)
        elif kind == 1:
            del pdf[place : place + chance.randrange(1, 200)]
        else:
            pdf[place:place] = chance.randbytes(chance.randrange(1, 200))
    assert verify(bytes(pdf)).level is not Level.SOUND


@dataclass(frozen=True)
class Ward:
    """A department, and a person whose key it confirmed."""

    daily: Key
    root: bytes
    person: Key

    def known(self, *lists: bytes) -> Known:
        return Known({}, (self.root,), lists)


@pytest.fixture(scope="module")
def ward(at: datetime) -> Ward:
    made = found("Acute Care", at, root_passphrase="r", daily_passphrase="d")  # noqa: S106 - of a key that is thrown away
    daily = opened(made.daily, "d")
    own = opened(make("Dr Petra Lindqvale", at))
    leaf = answer(daily, request(own), name="Dr Petra Lindqvale", at=at)
    chain = (leaf, daily.certificate, made.root_certificate)
    return Ward(daily, made.root_certificate, confirmed(own, chain))


def test_k1_a_key_that_the_department_confirmed_is_said_to_be(ward: Ward, at: datetime) -> None:
    verdict = verify(issue(passed(), ward.person, at), ward.known(), now=at)
    assert verdict.level is Level.SOUND, verdict.sentences
    assert verdict.signatures[0].standing.trust is Trust.CONFIRMED


def test_k1_a_key_that_ran_out_since_leaves_its_sheets_sound(ward: Ward, at: datetime) -> None:
    pdf = issue(passed(), ward.person, at)
    verdict = verify(pdf, ward.known(), now=at + timedelta(days=900))
    assert verdict.level is Level.SOUND
    assert verdict.signatures[0].standing.trust is Trust.EXPIRED


@pytest.mark.parametrize(("days", "trust"), [(-9, Trust.EARLY), (900, Trust.LATE)])
def test_k1_a_sheet_signed_before_a_key_began_or_after_it_ended_is_wanting(
    ward: Ward, at: datetime, days: int, trust: Trust
) -> None:
    claimed = at + timedelta(days=days)
    verdict = verify(issue(passed(), ward.person, claimed), ward.known(), now=claimed)
    assert verdict.level is Level.WANTING
    assert verdict.signatures[0].standing.trust is trust


def test_k1_a_revoked_key_makes_its_sheets_wanting(ward: Ward, at: datetime) -> None:
    listed = revoke(ward.daily, [(ward.person.certificate, at)], at=at)
    verdict = verify(issue(passed(), ward.person, at), ward.known(listed), now=at)
    assert verdict.level is Level.WANTING
    assert verdict.signatures[0].standing.trust is Trust.REVOKED


PARTS = (Part.DECIDED, Part.OBSERVED, Part.DIRECTED, Part.READ)


@pytest.fixture(scope="module")
def four_times(key: Key, at: datetime) -> bytes:
    """A sheet that is signed in all its places."""
    places = tuple(Countersigner(part) for part in PARTS[1:])
    pdf = issue(replace(passed(), countersigners=places), key, at)
    for part in PARTS[1:]:
        pdf = countersign(pdf, part, key, at)
    return pdf


def test_a_sheet_signed_in_all_its_places_is_sound(four_times: bytes) -> None:
    verdict = verify(four_times, expected=4)
    assert verdict.level is Level.SOUND, verdict.sentences
    assert [one.field for one in verdict.signatures] == [*PARTS]


def flipped(pdf: bytes, place: int, bit: int) -> bytes:
    changed = bytearray(pdf)
    changed[place] ^= bit
    return bytes(changed)


def places_that_tell(pdf: bytes) -> list[int]:
    """Of each signature its brackets, its first and last digits; each number of a byte range."""
    found = []
    for span in reading.spans(pdf):
        used = span.gap_start + len(pdf[span.gap_start : span.gap_end].rstrip(b">").rstrip(b"0"))
        last = span.gap_end - 1
        found += [span.gap_start, span.gap_start + 1, used - 1, used, last - 1, last]
    for match in re.finditer(rb"/ByteRange \[([\d ]+)\]", pdf):
        found += [place for place in range(*match.span(1)) if pdf[place] != 0x20]
    return found


def test_no_flip_at_the_seams_of_four_signatures_is_sound(four_times: bytes) -> None:
    tried = places_that_tell(four_times)
    assert len(reading.spans(four_times)) == 4
    chance = random.Random(4)
    for place in chance.sample(tried, 12):
        assert verify(flipped(four_times, place, 1)).level is not Level.SOUND, place


def test_no_digit_of_the_last_signature_may_be_written_otherwise(four_times: bytes) -> None:
    """In capitals or not, the number is the same: the byte is another."""
    span = reading.spans(four_times)[-1]
    assert reading.padding_is_zero(four_times, span)
    for place in range(span.gap_start, span.gap_end):
        for bit in (1, 2, 4, 8, 16, 32, 64, 128):
            changed = flipped(four_times, place, bit)
            if (
                four_times[place : place + 1] in b"ABCDEF" and bit == 32
            ) or place > span.gap_end - 4000:
                assert not reading.padding_is_zero(changed, span), place


@pytest.mark.deep
@pytest.mark.parametrize("share", range(32))
def test_no_flip_anywhere_in_four_signatures_is_sound(
    four_times: bytes, share: int, caplog: pytest.LogCaptureFixture
) -> None:
    """All seams, and every signature and every other stretch of the file in turn."""
    chance = random.Random(share)
    spans = reading.spans(four_times)
    digits = [chance.randrange(one.gap_start, one.gap_start + 2400) for one in spans]
    wide = len(four_times) // 16
    places = [wide * part + chance.randrange(wide) for part in range(16)]
    for place in (*places_that_tell(four_times)[share::32], *digits, *places):
        bit = 1 << chance.randrange(8)
        changed = flipped(four_times, place, bit)
        assert verify(changed).level is not Level.SOUND, (place, bit)
    caplog.clear()  # The library says what differs between revisions; here that is expected.
