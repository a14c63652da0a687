"""A report as a file: signed, sound, tagged, and the same bytes each time."""

from __future__ import annotations

import subprocess
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from observe.sheets.report import render
from observe.sheets.report_content import ReportContent
from observe.sheets.setting import Paper
from observe.sheets.sign import sign
from observe.sheets.verify import Level, verify
from observe.trust.keys import Key
from tests.sheets.reports import short


def by(key: Key, content: ReportContent) -> ReportContent:
    signer = replace(content.signer, key=key.label, fingerprint=key.fingerprint)
    return replace(content, signer=signer)


@pytest.mark.parametrize("paper", Paper)
def test_a_signed_report_is_sound(key: Key, at: datetime, paper: Paper) -> None:
    verdict = verify(sign(render(by(key, short(rows=40)), paper), key, at))
    assert verdict.level is Level.SOUND
    assert verdict.facts["report"] == "Adult lumbar puncture"
    assert "The pages print what the attached record says, drawn again here." in verdict.sentences


def test_an_unsigned_report_and_one_signed_by_another_are_wanting(key: Key, at: datetime) -> None:
    assert verify(render(short()).pdf).level is Level.WANTING
    other = replace(short().signer, fingerprint="0" * 64)
    verdict = verify(sign(render(replace(short(), signer=other)), key, at))
    assert verdict.level is Level.WANTING
    assert any(one.startswith("The report names") for one in verdict.sentences)


@pytest.mark.parametrize("part", [0.1, 0.4, 0.8])
def test_a_changed_byte_is_named(key: Key, at: datetime, part: float) -> None:
    pdf = bytearray(sign(render(by(key, short())), key, at))
    pdf[int(part * len(pdf))] ^= 1
    assert verify(bytes(pdf)).level is not Level.SOUND


def test_the_same_report_has_the_same_bytes() -> None:
    assert render(short()).pdf == render(short()).pdf


@pytest.mark.outside("pdfsig", "qpdf", "pdfinfo")
def test_outside_programs_agree(key: Key, at: datetime, tmp_path: Path) -> None:
    path = tmp_path / "report.pdf"
    path.write_bytes(sign(render(by(key, short(rows=40))), key, at))
    said = subprocess.run(["pdfsig", path], capture_output=True, text=True, check=False).stdout
    assert "Signature is Valid" in said
    assert "Total document signed" in said
    assert (
        subprocess.run(["qpdf", "--check", path], capture_output=True, check=False).returncode == 0
    )
    tree = subprocess.run(
        ["pdfinfo", "-struct-text", path], capture_output=True, text=True, check=False
    ).stdout
    assert "Table" in tree
    assert tree.index("Director's report") < tree.index("In short") < tree.index("Bear in mind")
