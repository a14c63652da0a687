"""Files that the program makes are there whole or not at all, under a plain name."""

import os
from pathlib import Path

import pytest

from observe.work.whole_file import slug, write_together, write_whole


@pytest.mark.parametrize(
    ("name", "plain"),
    [("Dr Lucía Marrek", "dr-lucia-marrek"), ("../..", "nobody"), ("谢", "nobody"), ("A/b", "a-b")],
)
def test_a_name_is_a_file_name_on_every_system(name: str, plain: str) -> None:
    assert slug(name, "nobody") == plain


def test_a_file_that_cannot_be_written_leaves_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "new" / "file.pdf"
    write_whole(path, b"first")

    def refuse(_: int) -> None:
        raise OSError(28, "full")

    monkeypatch.setattr(os, "fsync", refuse)
    with pytest.raises(OSError, match="full"):
        write_whole(path, b"second")
    assert path.read_bytes() == b"first"
    assert [one.name for one in path.parent.iterdir()] == ["file.pdf"]


def test_files_that_belong_together_are_written_all_or_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_together({tmp_path / "a": b"one", tmp_path / "b": b"two"})
    assert {one.name: one.read_bytes() for one in tmp_path.iterdir()} == {"a": b"one", "b": b"two"}
    room = iter([None, OSError(28, "full")])

    def fill(_: int) -> None:
        trouble = next(room)
        if trouble:
            raise trouble

    monkeypatch.setattr(os, "fsync", fill)
    with pytest.raises(OSError, match="full"):
        write_together({tmp_path / "c": b"three", tmp_path / "d": b"four"})
    assert sorted(one.name for one in tmp_path.iterdir()) == ["a", "b"]
