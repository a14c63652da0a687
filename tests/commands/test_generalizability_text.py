"""Components and D studies as people read them."""

from __future__ import annotations

from pathlib import Path

from observe.commands.generalizability_text import generalizability_text
from observe.work.file_generalizability import Asked, FileStudy, file_generalizability
from observe.work.table_file import TableFile


def test_every_number_has_its_column(tmp_path: Path) -> None:
    file = tmp_path / "s.csv"
    rows = [f"{learner},{item},{(learner * item) % 5}" for learner in range(6) for item in range(4)]
    file.write_text("\n".join(["learner,item,score", *rows]), encoding="utf-8")
    found = file_generalizability(file, Asked(cut=2.0, n=[{"i": 8.0}]))
    said = generalizability_text(found).splitlines()
    assert said[0] == "Design p x i: p learner (6), i item (4)"
    heads = [line for line in said if line.startswith(("effect", "numbers"))]
    assert len(heads) == 2
    assert all(len(line) <= 110 for line in said)
    assert sum(line.startswith("i ") for line in said) >= 3


def test_of_a_faulty_file_nothing_is_said(tmp_path: Path) -> None:
    assert generalizability_text(FileStudy(TableFile(tmp_path), {})) == ""
