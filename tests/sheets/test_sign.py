"""PAdES B-B signatures, made offline, checked by programs of others."""

import subprocess
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from observe.domain.troubles import Refused
from observe.sheets import reading
from observe.sheets.content import Part, SheetContent
from observe.sheets.setting import Paper
from observe.sheets.sheet import render
from observe.sheets.sign import countersign, issue, sign
from observe.trust.keys import Key, make, opened
from tests.sheets.samples import passed, practice, remediate


def pdfsig(pdf: bytes, folder: Path) -> str:
    path = folder / "sheet.pdf"
    path.write_bytes(pdf)
    done = subprocess.run(
        ["pdfsig", "-nocert", str(path)], capture_output=True, text=True, check=False
    )
    return done.stdout


def test_k2_both_fields_are_there_before_the_first_signature_locks_the_file(
    signed: Callable[[SheetContent], bytes],
) -> None:
    reader = reading.opened(signed(remediate()))
    assert reading.fields(reader) == {Part.DECIDED: True, Part.READ: False}
    signature = reader.embedded_regular_signatures[0]
    assert signature.docmdp_level is not None
    assert signature.docmdp_level.name == "FILL_FORMS"
    assert signature.sig_object["/SubFilter"] == "/ETSI.CAdES.detached"
    assert signature.md_algorithm == "sha256"


def test_the_time_claimed_is_the_time_handed_in(
    signed: Callable[[SheetContent], bytes], at: datetime
) -> None:
    signature = reading.opened(signed(remediate())).embedded_regular_signatures[0]
    assert signature.self_reported_timestamp == at


def test_the_record_names_the_key_that_signs(
    signed: Callable[[SheetContent], bytes], key: Key
) -> None:
    kept = reading.attached(reading.opened(signed(remediate())))
    assert kept is not None
    assert key.fingerprint.encode() in kept


def test_what_was_drawn_is_a_part_of_what_is_signed(key: Key, at: datetime) -> None:
    sheet = render(passed(), Paper.LETTER)
    assert sign(sheet, key, at).startswith(sheet.pdf)


@pytest.mark.outside("pdfsig")
def test_another_program_finds_the_signature_valid_and_total(
    signed: Callable[[SheetContent], bytes], tmp_path: Path
) -> None:
    said = pdfsig(signed(remediate()), tmp_path)
    assert said.count("Signature is Valid") == 1
    assert "Total document signed" in said
    assert "Signature Type: ETSI.CAdES.detached" in said
    assert "SHA-256" in said


@pytest.mark.outside("pdfsig", "qpdf")
def test_k2_the_learner_can_sign_later_and_both_stay_valid(
    signed: Callable[[SheetContent], bytes], at: datetime, tmp_path: Path
) -> None:
    first = signed(remediate())
    both = countersign(first, Part.READ, opened(make("Tarn Valley", at)), at)
    assert both.startswith(first)
    said = pdfsig(both, tmp_path)
    assert said.count("Signature is Valid") == 2
    assert said.count("  - Total document signed") == 1
    done = subprocess.run(
        ["qpdf", "--check", str(tmp_path / "sheet.pdf")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout


def test_a_place_that_is_taken_is_not_signed_again(
    signed: Callable[[SheetContent], bytes], key: Key, at: datetime
) -> None:
    both = countersign(signed(remediate()), Part.READ, key, at)
    with pytest.raises(Refused, match="no empty place"):
        countersign(both, Part.READ, key, at)


def test_signed_sheets_of_one_moment_differ_only_in_what_is_signed(key: Key, at: datetime) -> None:
    one, other = (issue(content, key, at) for content in (practice(), passed()))
    assert one != other


@pytest.mark.outside("pdfinfo")
def test_the_title_stands_in_the_description_of_the_file_too(
    signed: Callable[[SheetContent], bytes], tmp_path: Path
) -> None:
    """ISO 14289-1, 7.1: dc:title, which a reader shows over its window."""
    path = tmp_path / "sheet.pdf"
    path.write_bytes(signed(remediate()))
    done = subprocess.run(
        ["pdfinfo", "-meta", str(path)], capture_output=True, text=True, check=True
    )
    assert "Ravi Senapathi, Adult lumbar puncture, 14 March 2026</rdf:li>" in done.stdout
