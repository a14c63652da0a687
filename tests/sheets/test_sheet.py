"""The unsigned PDF: same bytes each time, one attached record, text in reading order."""

import json
import shutil
import subprocess
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from observe.sheets import reading
from observe.sheets.content import Part, SheetContent
from observe.sheets.record import FORMAT, digest_of, read
from observe.sheets.setting import Paper
from observe.sheets.sheet import render
from observe.sheets.sign import sign
from observe.trust.keys import Key
from tests.sheets.samples import ALL, remediate
from tests.sheets.situations import SITUATIONS


def tool(*command: str) -> str:
    assert shutil.which(command[0])
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.mark.parametrize("paper", list(Paper))
def test_the_same_content_gives_the_same_bytes(paper: Paper) -> None:
    assert render(remediate(), paper).pdf == render(remediate(), paper).pdf


def test_p1_the_record_is_attached_and_is_the_content() -> None:
    made = render(remediate())
    kept = reading.attached(reading.opened(made.pdf))
    assert kept is not None
    assert read(kept) == remediate()
    assert digest_of(kept) == made.digest


@pytest.mark.parametrize("paper", list(Paper))
def test_pages_have_the_size_of_the_paper(paper: Paper) -> None:
    size = reading.page_size(reading.opened(render(remediate(), paper).pdf))
    assert size == pytest.approx(paper.size, abs=0.01)


@pytest.mark.parametrize("situation", SITUATIONS)
def test_a_sheet_is_small_enough_for_any_letter_box(situation: str, key: Key, at: datetime) -> None:
    made, paper = SITUATIONS[situation]
    assert len(sign(render(made(), paper), key, at)) < 110_000


def test_fields_lie_on_the_page_they_are_drawn_on() -> None:
    made = render(remediate())
    assert [(field.name, field.page) for field in made.fields] == [
        (Part.DECIDED, 1),
        (Part.READ, 1),
    ]
    for field in made.fields:
        left, bottom, right, top = field.box
        assert 0 < left < right < Paper.A4.size[0]
        assert 0 < bottom < top < Paper.A4.size[1]


@pytest.mark.outside("qpdf", "pdftotext", "pdffonts", "pdfdetach")
@pytest.mark.parametrize("name", ALL)
def test_outside_programs_read_the_sheet(name: str, tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    path.write_bytes(render(ALL[name](), Paper.LETTER).pdf)
    assert "No syntax or stream encoding errors" in tool("qpdf", "--check", str(path))
    fonts = tool("pdffonts", str(path)).splitlines()[2:]
    assert fonts
    assert all(line.split()[-5:-2] == ["yes", "yes", "yes"] for line in fonts), fonts
    tool("pdfdetach", "-saveall", "-o", str(tmp_path), str(path))
    assert json.loads((tmp_path / "record.json").read_bytes())["format"] == FORMAT


GOLDEN = [
    "Ravi Senapathi",
    "second attempt, formative",
    "Remediate",
    "One line of the rule failed",
    "Critical items",
    "None fatal. One lapse, put right by you.",
    "Each domain",
    "Preparation 58.3 %, at least 70 % needed.",
    "put right by you",
    "Your score, and what was not seen",
    "84.9 %",
    "provisional cut 78.0",
    "Overall grade",
    "Domains",
    "Keep doing",
    "Change next time",
    "Steps to work on",
    "What happens now",
    "Your own goal",
    "not clinically reviewed",
    "1 of 2",
    "Step by step",
    "Communication",
    "Introduces self and confirms identity",
    "incorrect, asked 14:08",
    "Closing",
    "Records level, needle, attempts, pressure",
    "Help you were given",
    "Amended once",
    "Disagree, or want to ask?",
    "Decided and signed",
    "Read by the learner",
    "2 of 2",
]


@pytest.mark.outside("pdftotext")
def test_text_comes_back_in_the_order_of_reading(tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    path.write_bytes(render(remediate()).pdf)
    text = " ".join(tool("pdftotext", "-raw", str(path), "-").split())
    place = 0
    for part in GOLDEN:
        found = text.find(part, place)
        assert found >= 0, f"{part!r} is missing, or stands before what it follows"
        place = found


@pytest.mark.outside("pdftotext")
@pytest.mark.parametrize(
    "learner",
    ["Łucja Żółć-Ńowak", "Nguyễn Thị Ánh", "Ελένη Παππά", "Олена Ковальчук", "דוד כהן"],
)
def test_names_of_many_scripts_come_back_as_written(
    learner: str, tmp_path: Path, renamed: Callable[[str], SheetContent]
) -> None:
    path = tmp_path / "sheet.pdf"
    path.write_bytes(render(renamed(learner)).pdf)
    assert learner in tool("pdftotext", str(path), "-")
