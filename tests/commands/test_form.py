"""`observe form`: all faults with lines and what to do, for people and for programs."""

import json
import os
import subprocess
from pathlib import Path

import pytest

from observe.commands.main import run
from tests.domain.smallform import SMALL, changed, form_of, line_of

TWENTY = Path(__file__).parents[1] / "domain" / "twenty-faults.toml"


@pytest.fixture
def small(tmp_path: Path) -> Path:
    path = tmp_path / "small.toml"
    path.write_text(SMALL, encoding="utf-8")
    return path


def test_a_sound_form(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["form", str(small)]) == 0
    answer = capsys.readouterr()
    form = form_of()
    assert answer.out.splitlines() == [
        f"{small}: fine.",
        "  A small procedure, SMALL 1.0; not clinically reviewed",
        "  From the left: 3 steps; From the right: 3 steps; 1 critical item; 2 domains",
        f"  digest {form.whole_digest[:12]}, scoring {form.scoring_digest[:12]}",
    ]
    assert answer.err == ""


def test_without_a_file_the_shipped_forms_are_checked(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["form"]) == 0
    answer = capsys.readouterr().out
    assert "Adult lumbar puncture, LPX" in answer
    assert "Intrauterine device placement, IUP" in answer


def test_a_reviewed_form_names_who_and_when(
    small: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    review = 'review = { name = "A. Reviewer", date = 2026-03-02 }'
    small.write_text(changed('review = "none"', review), encoding="utf-8")
    assert run(["form", str(small)]) == 0
    assert "clinically reviewed by A. Reviewer on 2026-03-02" in capsys.readouterr().out


def test_a_fault_names_file_line_sentence_remedy_and_entry(
    small: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    small.write_text(changed('voice = "part"', 'voise = "part"'), encoding="utf-8")
    assert run(["form", str(small)]) == 2
    sentence = "Step S3 has the key “voise”, which forms do not know. Did you mean “voice”?"
    assert capsys.readouterr().out.splitlines() == [
        f"{small}:{line_of('voice =')}: {sentence}",
        '    voise = "part"',
        f"{small}: cannot be used: 1 fault.",
    ]


def test_remarks_are_told_and_change_no_exit_code(
    small: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    small.write_text(changed('sources = ["C", "B"]', 'sources = ["C"]'), encoding="utf-8")
    assert run(["form", str(small)]) == 0
    answer = capsys.readouterr().out
    assert f"{small}: fine." in answer
    assert "remark: Nothing in the form uses the source B." in answer


def test_twenty_faults_are_twenty_findings_and_exit_code_2(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["form", str(TWENTY)]) == 2
    answer = capsys.readouterr().out
    assert len([line for line in answer.splitlines() if line.startswith(f"{TWENTY}:")]) == 21
    assert answer.endswith(f"{TWENTY}: cannot be used: 20 faults.\n")


def test_for_a_program(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    missing = small.with_name("none.toml")
    assert run(["form", str(small), str(TWENTY), str(missing), "--json"]) == 2
    sound, faulty, none = json.loads(capsys.readouterr().out)["forms"]
    form = form_of()
    assert sound == {
        "file": str(small),
        "usable": True,
        "form": {
            "id": "SMALL",
            "version": "1.0",
            "title": "A small procedure",
            "variants": {"left": 3, "right": 3},
            "steps": 4,
            "critical_items": 1,
            "whole_digest": form.whole_digest,
            "scoring_digest": form.scoring_digest,
            "review": None,
        },
        "trouble": None,
        "faults": [],
    }
    assert (faulty["usable"], faulty["form"], len(faulty["faults"])) == (False, None, 20)
    assert faulty["faults"][0]["line"] == 1
    assert none["trouble"]["what"] == "There is no such file."


@pytest.mark.parametrize("kind", ["missing", "folder", "empty", "binary", "latin", "huge"])
def test_what_is_no_form_is_one_sentence_and_others_are_still_checked(
    kind: str, small: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "bad.toml"
    if kind == "folder":
        path.mkdir()
    elif kind == "huge":
        with path.open("wb") as file:
            file.truncate(50 * 2**20)
    elif kind != "missing":
        path.write_bytes({"empty": b"", "binary": b"\x7fELF\0", "latin": b"id = '\xe9'\n"}[kind])
    assert run(["form", str(path), str(small)]) == 2
    answer = capsys.readouterr()
    assert f"{small}: fine." in answer.out
    assert answer.err.startswith(str(path))
    assert answer.err.count("\n") == 1
    assert "Traceback" not in answer.err


def test_help_shows_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["form", "--help"]) == 0
    assert "observe form my-form.toml" in capsys.readouterr().out


def test_as_its_own_process(python: str, checkout: Path, small: Path) -> None:
    small.write_text(changed("cut = 0.8", "cut = 80 %"), encoding="utf-8")
    done = subprocess.run(
        [python, "-m", "observe", "form", str(small)],
        cwd=checkout,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 2
    assert done.stdout.splitlines()[0].startswith(f"{small}:{line_of('cut = 0.8')}: ")
    assert done.stderr == ""


@pytest.mark.skipif(os.name != "posix", reason="other systems take no such file names")
def test_a_files_name_cannot_pass_for_words_of_the_program(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for text in (SMALL, "id = 1\n", ""):
        path = tmp_path / "a\nb.toml: fine.\x1b[2J"
        path.write_text(text, encoding="utf-8")
        run(["form", str(path)])
        answer = capsys.readouterr()
        said = answer.out + answer.err
        assert "\x1b" not in said
        assert not any(line.startswith("b.toml") for line in said.splitlines())
