import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.sheets import reading
from observe.sheets.reading import Damaged, Span, padding_is_zero, spans
from observe.sheets.sheet import render
from tests.sheets.samples import passed


@given(st.binary(max_size=300))
def test_bytes_of_any_kind_are_damaged_at_worst(data: bytes) -> None:
    with pytest.raises(Damaged):
        reading.opened(b"%PDF-1.4\n" + data)


def held(value: str) -> tuple[bytes, Span]:
    data = f"<{value}>".encode()
    return b"x" + data, Span(1, 1 + len(data), 1 + len(data))


@pytest.mark.parametrize(
    ("value", "is_zero"),
    [
        ("3003020101", True),  # X.690, 8.1.3: 30 sequence, 03 its length, then its content
        ("30030201010000", True),
        ("30030201010001", False),
        ("308103020101" + "00" * 40, True),
        ("30820003020101" + "00" * 40 + "01", False),
        ("30", False),
        ("3080020101", False),
        ("3003020A0B", True),
        ("3003020a01", False),
        ("30030A0B0C", True),
        ("30030a0B0C", False),
        ("zz", False),
        ("", False),
    ],
)
def test_k3_only_zeros_may_follow_a_signature_in_its_room(value: str, is_zero: bool) -> None:
    assert padding_is_zero(*held(value)) is is_zero


def test_room_without_its_brackets_is_no_room() -> None:
    assert not padding_is_zero(b"3003020101", Span(0, 10, 10))


def test_byte_ranges_are_found_in_a_broken_file_too() -> None:
    data = b"junk /ByteRange [0 10 20 30] more /ByteRange[ 0 1 2 99999999999999999 ]"
    assert spans(data) == (Span(10, 20, 50),)


def test_what_is_not_there_is_not_there() -> None:
    reader = reading.opened(render(passed()).pdf)
    assert reading.fields(reader) == {}
    assert [reading.annotations_of(page) for page in reading.pages(reader)] == [(), ()]


@pytest.mark.parametrize("times", [1, 2])
def test_a_page_that_grows_beyond_any_sheet_is_not_read(times: int) -> None:
    """1,000 times as large for each time that it is deflated (RFC 1951)."""
    held = bytes(400_000_000)
    for _ in range(times):
        held = zlib.compress(held, 9)
    filters = b"/FlateDecode " * times
    page = b"<</Length %d /Filter [%b]>>\nstream\n%b\nendstream" % (len(held), filters, held)
    objects = (
        b"<</Type /Catalog /Pages 2 0 R>>",
        b"<</Type /Pages /Kids [3 0 R] /Count 1>>",
        b"<</Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] /Contents 4 0 R>>",
        page,
    )
    pdf, places = b"%PDF-1.4\n", []
    for number, one in enumerate(objects, start=1):
        places.append(len(pdf))
        pdf += b"%d 0 obj\n%b\nendobj\n" % (number, one)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    pdf += b"xref\n0 5\n0000000000 65535 f \n%btrailer\n<</Size 5 /Root 1 0 R>>\n" % table
    pdf += b"startxref\n%d\n%%%%EOF\n" % pdf.index(b"xref\n0 5")
    (found,) = reading.pages(reading.opened(pdf))
    with pytest.raises(Damaged):
        reading.drawing_of(found)
