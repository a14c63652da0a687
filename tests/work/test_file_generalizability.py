"""Which column is which facet of a table of scores."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe.domain.troubles import BadInput
from observe.work.file_generalizability import Asked, file_generalizability


def table(path: Path, head: str) -> Path:
    rows = [f"a{n % 4},b{n // 4},{(n * 7) % 10}" for n in range(12)]
    path.write_text("\n".join([head, *rows]), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("head", "design"),
    [
        ("learner,item,score", "p x i"),
        ("Unit,Observer,Value", "p x r"),
        ("student,station,score", "p x t"),
        ("p,r,score", "p x r"),
    ],
)
def test_facets_are_known_by_usual_words(head: str, design: str, tmp_path: Path) -> None:
    found = file_generalizability(table(tmp_path / "s.csv", head), Asked())
    assert found.study is not None
    assert found.study.design.text == design


def test_a_column_that_is_named_is_taken(tmp_path: Path) -> None:
    file = table(tmp_path / "s.csv", "trainee,examiner,score")
    found = file_generalizability(file, Asked(columns={"p": "Trainee"}))
    assert found.columns == {"p": "trainee", "r": "examiner"}


def test_a_design_whose_facet_has_no_column_is_told(tmp_path: Path) -> None:
    file = table(tmp_path / "s.csv", "learner,item,score")
    with pytest.raises(BadInput, match="No column is facet r"):
        file_generalizability(file, Asked(design="p x r"))
