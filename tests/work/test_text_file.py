"""A text file from outside: its text, or one sentence that says where and what to do."""

import os
import sys
from pathlib import Path

import pytest

from observe.domain.troubles import BadInput, Surroundings
from observe.work.text_file import read_text


def read(path: Path, most: int = 1000) -> str:
    return read_text(path, most, "Split it.")


def written(folder: Path, data: bytes) -> Path:
    path = folder / "file.csv"
    path.write_bytes(data)
    return path


def test_a_byte_order_mark_is_no_part_of_the_text(tmp_path: Path) -> None:
    assert read(written(tmp_path, "\ufeffunité".encode())) == "unité"


@pytest.mark.parametrize("encoding", ["utf-8", "latin-1"])
@pytest.mark.parametrize("mark", ["utf-8-sig", "utf-16"])
def test_a_mark_says_more_than_the_option(tmp_path: Path, encoding: str, mark: str) -> None:
    path = written(tmp_path, "unité".encode(mark))
    assert read_text(path, 1000, "Split it.", encoding=encoding) == "unité"


def test_latin_1_by_option(tmp_path: Path) -> None:
    path = written(tmp_path, "unité".encode("latin-1"))
    assert read_text(path, 1000, "Split it.", encoding="latin-1") == "unité"


def test_utf_16_of_either_end(tmp_path: Path) -> None:
    for end in ("le", "be"):
        assert read(written(tmp_path, "\ufeffunité".encode(f"utf-16-{end}"))) == "unité"


@pytest.mark.parametrize(
    ("data", "what", "where"),
    [
        (b"a,b\r\nc,\xe9\r\n", "not UTF-8: byte 8 of the file is 0xe9", ", line 2"),
        (b"a\rb\rc\xff", "not UTF-8: byte 6 of the file is 0xff", ", line 3"),
        (b"a\nb\0c", "not a text file: byte 4 is zero", ", line 2"),
        ("unit".encode("utf-16") + b"x", "begins as UTF-16, and byte 11", ""),
        ("un\0it".encode("utf-16"), "not a text file: it has characters that are zero", ""),
        (b"PK\x03\x04rest", "spreadsheet or an archive", ""),
        (b"x" * 1001, "up to 0 MB are read", ""),
    ],
)
def test_what_is_no_utf8_text_is_named_with_its_place(
    tmp_path: Path, data: bytes, what: str, where: str
) -> None:
    path = written(tmp_path, data)
    with pytest.raises(BadInput, match=what) as trouble:
        read(path)
    assert trouble.value.where == f"{path}{where}"
    assert trouble.value.remedy


def test_the_larger_file_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "large.csv"
    with path.open("wb") as file:
        file.truncate(50 * 2**20)
    with pytest.raises(BadInput, match="The file has 50 MB; up to 32 MB are read") as trouble:
        read(path, 32 * 2**20)
    assert trouble.value.remedy == "Split it."


def test_a_folder_and_a_missing_file(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="This is a folder"):
        read(tmp_path)
    with pytest.raises(BadInput, match="no such file"):
        read(tmp_path / "absent.csv")


@pytest.mark.skipif(sys.platform == "win32", reason="named pipes in the file system")
def test_a_pipe_is_refused_instead_of_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(BadInput, match="not an ordinary file"):
        read(tmp_path / "pipe")


def test_the_machine_refuses(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    with pytest.raises(Surroundings, match="this account may not use it"):
        read(written(tmp_path, b"unit"))
