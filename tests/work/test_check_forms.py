"""Each form is checked by itself; what is no form is told in a sentence."""

import errno
from pathlib import Path

import pytest

from observe.domain.formtext import LARGEST_FILE
from observe.domain.troubles import BadInput, Surroundings
from observe.work.check_forms import check, load_form, read_text, shipped
from tests.domain.smallform import SMALL, changed, form_of, line_of


@pytest.fixture
def small(tmp_path: Path) -> Path:
    path = tmp_path / "small.toml"
    path.write_text(SMALL, encoding="utf-8")
    return path


def test_a_sound_form_is_loaded(small: Path) -> None:
    assert load_form(small) == form_of()
    assert read_text(small) == SMALL


def test_a_form_with_faults_is_refused_with_all_of_them(small: Path) -> None:
    text = changed("weight = 0.5", "weight = 0", changed("tally = 3", "tally = 0"))
    small.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as refused:
        load_form(small)
    assert refused.value.what.startswith("The form has 2 faults. Line ")
    assert "Step S3: weight is 0" in refused.value.what
    assert "tally is 0" in refused.value.what
    assert refused.value.where == f"{small}:{line_of('weight = 0.5')}"


def test_remarks_do_not_stop_a_form(small: Path) -> None:
    small.write_text(changed('sources = ["C", "B"]', 'sources = ["C"]'), encoding="utf-8")
    (report,) = check([small])
    assert report.usable
    assert report.blocking == ()
    assert [remark.sentence for remark in report.remarks] == [
        "Nothing in the form uses the source B."
    ]
    assert load_form(small).id == "SMALL"


def test_one_bad_file_hides_no_other(small: Path, tmp_path: Path) -> None:
    binary = tmp_path / "binary.toml"
    binary.write_bytes(b"\x00\x01")
    first, second, third, fourth = check([tmp_path / "none.toml", binary, tmp_path, small])
    assert first.trouble is not None
    assert first.trouble.what == "There is no such file."
    assert second.trouble is not None
    assert second.trouble.what == "The file is not a text."
    assert third.trouble is not None
    assert third.trouble.what == "This is a folder."
    assert fourth.usable


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "The file is empty."),
        (b"id = '\xe9'", "The text is not UTF-8: line 1 holds a byte that does not fit."),
    ],
)
def test_what_is_no_text_is_refused(small: Path, data: bytes, sentence: str) -> None:
    small.write_bytes(data)
    with pytest.raises(BadInput) as refused:
        load_form(small)
    assert refused.value.what == sentence
    assert str(small) in refused.value.where


def test_fifty_megabytes_are_refused_unread(small: Path) -> None:
    with small.open("wb") as file:
        file.truncate(50 * 2**20)
    with pytest.raises(BadInput, match="50 MB"):
        load_form(small)
    assert small.stat().st_size > LARGEST_FILE


def test_a_file_that_may_not_be_read(small: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_: Path) -> bytes:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    (report,) = check([small])
    assert isinstance(report.trouble, Surroundings)
    assert "this account may not use it" in report.trouble.what


def test_the_shipped_forms_are_found_and_sound() -> None:
    assert [path.name for path in shipped()] == [
        "intrauterine-device-placement.toml",
        "lumbar-puncture-adult.toml",
    ]
    assert all(report.usable and not report.faults for report in check(shipped()))


def test_a_program_without_its_forms_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("observe.places.forms", lambda: tmp_path)
    with pytest.raises(Surroundings, match="own forms are missing"):
        shipped()
