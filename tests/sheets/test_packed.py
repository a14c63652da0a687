"""A packed file is the same document, smaller."""

import io
import shutil
import subprocess
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas

from observe.sheets.lockstep import difference
from observe.sheets.packed import packed
from observe.sheets.reading import opened


def drawn(*pages: str) -> bytes:
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1)
    for words in pages:
        canvas.drawString(50, 700, words)
        canvas.bookmarkPage(words or "none")
        canvas.showPage()
    canvas.setTitle("endobj stream")
    canvas.save()
    return out.getvalue()


@given(st.lists(st.text("abc \u00e9()\\", max_size=20), min_size=1, max_size=6, unique=True))
def test_what_the_file_says_stays_the_same(pages: list[str]) -> None:
    loose = drawn(*pages)
    small = packed(loose)
    ours, theirs = opened(small), opened(loose)
    assert difference(ours.root, theirs.root) is None
    assert ours.trailer["/Info"]["/Title"] == theirs.trailer["/Info"]["/Title"]
    assert packed(loose) == small


def test_many_small_objects_take_less_room() -> None:
    loose = drawn(*map(str, range(40)))
    assert len(packed(loose)) < len(loose) * 0.6


@pytest.mark.outside("qpdf")
def test_an_outside_program_finds_no_fault(tmp_path: Path) -> None:
    path = tmp_path / "packed.pdf"
    path.write_bytes(packed(drawn("one", "two")))
    assert shutil.which("qpdf")
    done = subprocess.run(
        ["qpdf", "--check", str(path)], capture_output=True, text=True, check=False
    )
    assert "No syntax or stream encoding errors" in done.stdout


@pytest.mark.parametrize(
    "pdf",
    [
        b"",
        b"%PDF-1.4\nstartxref\n0\n%%EOF\n",
        drawn("a").replace(b"%PDF-1", b"%PDF-9"),
        drawn("a").replace(b"/Root", b"/Toor"),
        drawn("a").replace(b"2 0 obj", b"2 0 jbo"),
        packed(drawn("a")),
    ],
)
def test_a_file_of_another_making_is_refused(pdf: bytes) -> None:
    with pytest.raises(ValueError, match=r".+"):
        packed(pdf)
