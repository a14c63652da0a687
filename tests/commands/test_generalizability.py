"""`observe generalizability` on published tables, and on what cannot be studied."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from observe.commands.main import run
from tests.agreement.scores_of_brennan import SET_2, SET_3, SET_4, long

Out = pytest.CaptureFixture[str]


def write(path: Path, table: object, letters: str, *columns: str) -> Path:
    values, levels = long(table, letters)
    rows = zip(*(levels[letter] for letter in letters), map(str, values), strict=True)
    lines = [",".join([*columns, "score"]), *(",".join(row) for row in rows)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def answer(capsys: Out, *arguments: object) -> dict[str, Any]:
    assert run(["generalizability", *map(str, arguments), "--json"]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


def test_a_crossed_table_is_known_by_its_columns(tmp_path: Path, capsys: Out) -> None:
    file = write(tmp_path / "s.csv", SET_3, "pio", "learner", "item", "occasion")
    found = answer(capsys, file, "--n", "i=8,o=2", "--n", "i=16,o=2")
    assert found["design"] == "p x i x o"
    assert found["facets"] == {"p": "learner", "i": "item", "o": "occasion"}
    estimates = {one["effect"]: one["estimate"] for one in found["components"]}
    assert estimates["p x i"] == pytest.approx(0.575)
    here, eight, sixteen = found["dstudy"]
    assert here["phi"] == pytest.approx(0.5541246084)
    assert (eight["phi"], sixteen["g"]) == pytest.approx((0.6890283488, 0.827012987))
    items, occasions = found["needed"]
    assert items["n"] == 19
    assert occasions["n"] is None
    assert "other facets" in occasions["undefined"]


def test_raters_within_tasks_with_columns_of_other_names(tmp_path: Path, capsys: Out) -> None:
    file = write(tmp_path / "s.csv", SET_4, "ptr", "trainee", "bench", "who")
    facets = ["--facet", "p=trainee,t=bench", "--facet", "r=who"]
    found = answer(capsys, file, "--design", "p x (r:t)", *facets)
    assert {one["effect"]: one["df"] for one in found["components"]} == {
        "p": 9,
        "t": 2,
        "p x t": 18,
        "r:t": 9,
        "p x (r:t)": 81,
    }
    assert found["dstudy"][0]["g"] == pytest.approx(0.5514388489)


def test_items_within_persons_for_people(tmp_path: Path, capsys: Out) -> None:
    file = write(tmp_path / "s.csv", SET_2, "pi", "person", "item")
    assert run(["generalizability", str(file), "--design", "i:p", "--cut", "5"]) == 0
    said = capsys.readouterr().out
    assert "Design i:p: p person (10), i item (8)" in said
    assert "2.0250" in said
    assert "0.707" in said
    assert "item (i) for Φ of 0.8: 14 (13.26, rounded up)" in said


def test_an_incomplete_table_says_that_it_is_by_reml(tmp_path: Path, capsys: Out) -> None:
    file = write(tmp_path / "s.csv", SET_3, "pio", "learner", "item", "occasion")
    lines = file.read_text(encoding="utf-8").splitlines()
    lines[3] = lines[3].rsplit(",", 1)[0] + ","
    file.write_text("\n".join(lines), encoding="utf-8")
    found = answer(capsys, file)
    assert (found["method"], found["missing"]) == ("REML", 1)
    assert any("1 row without a score was left out." in note for note in found["notes"])


def test_a_fixed_facet_is_announced(tmp_path: Path, capsys: Out) -> None:
    file = write(tmp_path / "s.csv", SET_3, "pio", "learner", "item", "occasion")
    found = answer(capsys, file, "--fixed", "i")
    assert any("Fixed" in note and "i (item)" in note for note in found["notes"])
    assert [one["facet"] for one in found["needed"]] == ["o"]


@pytest.mark.parametrize(
    ("text", "more", "said"),
    [
        ("learner,item,score\na,1,3\na,1,4\nb,1,2\n", [], "scored twice"),
        ("learner,score\na,1\nb,2\n", [], "do not say what the design is"),
        ("learner,item\na,1\nb,2\n", [], "no column value or score"),
        ("learner,item,score\na,1,x\n", [], "Nothing was computed"),
        ("learner,item,score\n,1,2\nb,1,2\n", [], "Nothing was computed"),
        ("learner,item,score\na,1,2\nb,1,2\n", ["--design", "p x (r:t)"], "No column is facet"),
        ("learner,item,score\na,1,2\nb,2,2\n", ["--design", "nonsense"], "no design"),
        ("learner,item,score\na,1,2\na,2,2\nb,1,3\nb,2,1\n", ["--n", "i"], "which letter"),
        ("learner,item,score\na,1,2\na,2,2\nb,1,3\nb,2,1\n", ["--n", "i=x"], "x is not a number"),
        ("learner,item,score\na,1,2\na,2,2\nb,1,3\nb,2,1\n", ["--n", "z=2"], "no facet z"),
    ],
)
def test_what_cannot_be_studied_is_told(
    text: str, more: list[str], said: str, tmp_path: Path, capsys: Out
) -> None:
    file = tmp_path / "s.csv"
    file.write_text(text, encoding="utf-8")
    assert run(["generalizability", str(file), *more]) == 2
    assert said in capsys.readouterr().err
