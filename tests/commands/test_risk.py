"""`observe risk` on a table whose numbers another program gives."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from observe.commands.main import run
from tests.standards.test_classification import SCORES
from tests.standards.test_subkoviak import SCORES as COUNTS
from tests.work.machines import lead_desk

Out = pytest.CaptureFixture[str]


def write(path: Path, scores: list[float]) -> str:
    lines = [f"l{place},{score}" for place, score in enumerate(scores)]
    path.write_text("\n".join(["learner,score", *lines]), encoding="utf-8")
    return str(path)


def test_for_programs(tmp_path: Path, capsys: Out) -> None:
    file = write(tmp_path / "s.csv", [*SCORES])
    assert run(["risk", file, "--cut", "60", "--reliability", "0.82", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["accuracy"] == pytest.approx(0.9042801643, abs=1e-7)
    assert found["parameters"] == 2
    assert len(found["learners"]) == 120
    assert 0 < found["learners"][0]["p_at_cut"] < 1


def test_for_people(tmp_path: Path, capsys: Out) -> None:
    file = write(tmp_path / "s.csv", [*SCORES])
    assert run(["risk", file, "--cut", "60", "--reliability", "0.82"]) == 0
    said = capsys.readouterr().out
    assert "Right decisions:          90.43 %" in said
    assert "truly at or above it" in said
    assert "This is the cut alone" in said


def test_counted_items_have_subkoviak_and_kr21(tmp_path: Path, capsys: Out) -> None:
    file = write(tmp_path / "s.csv", [*COUNTS])
    words = ["--cut", "4", "--items", "5", "--reliability", "0.58", "--json"]
    assert run(["risk", file, *words]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["subkoviak"]["agreement"] == pytest.approx(0.7544044975)
    assert found["kr21"] == pytest.approx(0.655, abs=0.002)


def test_each_count_has_its_own_error(tmp_path: Path, capsys: Out) -> None:
    path = tmp_path / "counts.csv"
    rows = [f"{name},{score}" for name, score in zip("ABCDEFGHIJ", range(20, 40, 2), strict=True)]
    path.write_text("\n".join(["learner,score", *rows, "Z,40"]), encoding="utf-8")
    words = ["risk", str(path), "--cut", "30", "--items", "40", "--reliability", "0.7"]
    assert run([*words, "--json"]) == 0
    found = {one["learner"]: one for one in json.loads(capsys.readouterr().out)["learners"]}
    # Lord 1957: the square root of x (n - x) / (n - 1).
    assert found["A"]["sem_conditional"] == pytest.approx((20 * 20 / 39) ** 0.5)
    assert found["Z"]["sem_conditional"] == 0
    assert run(words) == 0
    assert "own error (Lord)" in capsys.readouterr().out


def test_a1_without_a_reliability_there_is_no_risk(tmp_path: Path, capsys: Out) -> None:
    file = write(tmp_path / "s.csv", [*SCORES])
    assert run(["risk", file, "--cut", "60", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["undefined"].startswith("Not estimable")
    assert "accuracy" not in found


@pytest.mark.parametrize(
    ("text", "said"),
    [("learner\na\n", "no column score"), ("learner,score\na,x\n", "Nothing was computed"),
     ("learner,score\na,5\n", "too few")],
)  # fmt: skip
def test_what_cannot_be_judged_is_told(text: str, said: str, tmp_path: Path, capsys: Out) -> None:
    file = tmp_path / "s.csv"
    file.write_text(text, encoding="utf-8")
    assert run(["risk", str(file), "--cut", "60", "--reliability", "0.8"]) == 2
    assert said in capsys.readouterr().err


def test_a9_of_a_logbook_what_would_flip_each_decision(tmp_path: Path, capsys: Out) -> None:
    desk = lead_desk(tmp_path, looks=0)
    desk.seal(desk.watch(1, "o1"))
    desk.logbook.close()
    assert run(["risk", str(desk.logbook.path), "--records", "20"]) == 0
    said = capsys.readouterr().out
    assert (
        "Skills afternoon, seat 1, Lina One: pass. It would be remediate, were not done: step"
        in " ".join(said.split())
    )
    assert "The whole rule, 1 attempts recorded 20 times each" in said
    assert run(["risk", str(desk.logbook.path), "--error", "0.1", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["whole_rule"]["step_error"] == 0.1
    assert found["attempts"][0]["flips_to"] == "remediate"


def test_a_table_without_a_cut_is_told(tmp_path: Path, capsys: Out) -> None:
    assert run(["risk", write(tmp_path / "s.csv", [*SCORES])]) == 2
    assert "needs a cut" in capsys.readouterr().err
