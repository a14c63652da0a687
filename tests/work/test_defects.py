"""The report of a defect says where in the program, and nothing of whom it was about."""

import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest

from observe import places
from observe.work import defects, disk

AT = datetime(2026, 3, 2, 9, 30, tzinfo=UTC)
LEARNER = "Ada Lindqvist"


def speak_of(learner: str) -> None:
    raise ValueError(learner)


def a_defect() -> BaseException:
    """An error that passed through a module of the program while another was being handled."""
    try:
        speak_of(LEARNER)
    except ValueError:
        try:
            disk.commit_ms(Path(f"/nowhere/{LEARNER}"))
        except OSError as defect:
            return defect
    raise AssertionError


def test_it_names_the_kinds_of_error_and_the_programs_own_lines() -> None:
    told = defects.report(a_defect(), AT)
    assert "defect met at 2026-03-02 09:30:00 UTC" in told
    assert "builtins.FileNotFoundError\n  observe/work/disk.py:" in told
    assert "commit_ms" in told
    assert "builtins.ValueError" in told


def test_it_leaves_out_messages_values_and_paths() -> None:
    told = defects.report(a_defect(), AT)
    assert LEARNER not in told
    assert str(Path(defects.__file__).parents[2]) not in told


def test_a_chain_that_bites_its_own_tail_ends() -> None:
    first, second = ValueError(), KeyError()
    first.__cause__, second.__cause__ = second, first
    assert defects.report(first, AT).count("ValueError") == 1


def test_a_library_that_is_not_installed_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(defects, "_LIBRARIES", ("no-such-library",))
    assert "no-such-library is not installed" in defects.report(sqlite3.Error(), AT)


def test_it_is_kept_in_the_data_folder(own_home: Path) -> None:
    path = defects.write(a_defect())
    assert path is not None
    assert path.parent == own_home / "defects"
    assert "FileNotFoundError" in path.read_text(encoding="utf-8")


def test_where_it_cannot_be_kept_nothing_else_goes_wrong(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setattr(places, "data", lambda: tmp_path / "file")
    assert defects.write(a_defect()) is None
