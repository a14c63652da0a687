"""`observe standard`: the reference tables through the command, bad input, JSON for programs."""

import json
from pathlib import Path

import pytest

from observe.commands.main import run
from tests.standards.data import GRADES, QUALIFIED, SCORES, SIXTY, TEN_ITEMS

KEYS = {
    *("method", "statistic", "cut", "se", "low", "high", "level", "interval", "n", "of"),
    *("given", "unit", "maximum", "cut_percent", "seed", "undefined", "warnings", "notes"),
    *("dropped", "is_not", "details"),
}
LIMITS = "judge,min_cut,max_cut,min_fail,max_fail\n"


def write(path: Path, head: str, *columns: list[object]) -> Path:
    rows = [",".join(map(str, row)) for row in zip(*columns, strict=True)]
    path.write_text("\n".join([head, *rows]) + "\n")
    return path


@pytest.fixture
def station(tmp_path: Path) -> Path:
    numbers: list[object] = list(range(len(SCORES)))
    return write(tmp_path / "s.csv", "learner,score,grade", numbers, [*SCORES], [*GRADES])


@pytest.fixture
def cohort(tmp_path: Path) -> Path:
    numbers: list[object] = list(range(len(SIXTY)))
    return write(tmp_path / "c.csv", "learner,score", numbers, [*SIXTY])


def answer(capsys: pytest.CaptureFixture[str], *arguments: object) -> dict[str, object]:
    assert run(["standard", *map(str, arguments), "--json"]) == 0
    found: dict[str, object] = json.loads(capsys.readouterr().out)
    return found


def details(found: dict[str, object]) -> dict[str, object]:
    kept = found["details"]
    assert isinstance(kept, dict)
    return kept


def test_regression(station: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = answer(capsys, "regression", station, "--borderline", 2, "--percent", "--cut", 60)
    assert set(found) >= KEYS
    assert found["cut"] == pytest.approx(53.14663462, abs=1e-6)
    assert found["se"] == pytest.approx(1.255858117, abs=1e-6)
    assert (found["unit"], found["n"], found["undefined"]) == ("percent", 40, None)
    assert details(found)["r_squared"] == pytest.approx(0.8095113809)
    impact = found["impact"]
    assert isinstance(impact, dict)
    assert impact["effects"][0]["failed"] == 7


def test_group_and_contrasting(
    tmp_path: Path, station: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = answer(capsys, "group", station, "--borderline", 2)
    assert (found["cut"], found["statistic"], found["n"]) == (53.5, "median", 12)
    groups = write(
        tmp_path / "g.csv",
        "learner,score,group",
        [*range(40)],
        [*SCORES],
        [int(flag) for flag in QUALIFIED],
    )
    found = answer(capsys, "contrasting", groups)
    assert found["cut"] == pytest.approx(59.62196878, abs=1e-5)
    beside = found["beside"]
    assert isinstance(beside, list)
    assert [one["statistic"] for one in beside] == [
        "normal",
        "midpoint",
        "median midpoint",
        "fewest errors",
    ]
    found = answer(capsys, "contrasting", groups, "--statistic", "fewest-errors", "--loss", "10,1")
    assert details(found)["false_pass"] == 0


def test_angoff_with_rounds(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cells = [
        (judge, item, value, turn)
        for turn in (1, 2)
        for item, row in enumerate(TEN_ITEMS)
        for judge, value in enumerate(row)
    ]
    columns: list[list[object]] = [list(column) for column in zip(*cells, strict=True)]
    path = write(tmp_path / "a.csv", "judge,item,value,round", *columns)
    found = answer(capsys, "angoff", path)
    assert found["cut"] == pytest.approx(6.575)
    assert found["cut_percent"] == pytest.approx(65.75)
    assert found["se"] == pytest.approx(0.08291561976, abs=1e-8)
    rounds, changes = found["rounds"], found["changes"]
    assert isinstance(rounds, list)
    assert isinstance(changes, list)
    assert [one["round"] for one in rounds] == [1, 2]
    assert changes[0]["changed"] == 0
    assert run(["standard", "angoff", str(path)]) == 0
    out = capsys.readouterr().out
    assert "cut, unrounded                           6.575" in out
    assert "0 of 40 judgements changed" in out


def test_hofstee_crossing_and_not(
    tmp_path: Path, cohort: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "h.csv"
    path.write_text(LIMITS + "A,50,68,5,25\n")
    found = answer(capsys, "hofstee", path, "--scores", cohort)
    assert (found["cut"], details(found)["where"]) == (54, "at a jump")
    path.write_text(LIMITS + "A,58,68,5,20\n")
    found = answer(capsys, "hofstee", path, "--scores", cohort)
    assert (found["cut"], found["se"], found["low"]) == (None, None, None)
    assert "no intersection: the fail-rate curve is above the box" in str(found["undefined"])


def test_essential(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "e.csv"
    path.write_text("judge,item,value,essential\nA,x,0.6,yes\nA,y,0.7,no\nB,x,1,yes\nB,y,0.5,no\n")
    found = answer(capsys, "essential", path)
    assert found["essential"] == ["x"]
    assert found["cut"] == pytest.approx(0.6)
    path.write_text("judge,item,value,essential\nA,x,0.6,yes\n")
    found = answer(capsys, "essential", path)
    assert found["cut"] is None
    assert run(["standard", "essential", str(path)]) == 0
    assert "There is no cut" in capsys.readouterr().out


def test_compare_for_people(station: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["standard", "compare", str(station), "--borderline", "2", "--cut", "60"]) == 0
    out, err = capsys.readouterr()
    assert "Borderline regression                      53.1466" in out
    assert "What it is not" in out
    assert "Against the present cut 60" in out
    assert err == ""
    found = answer(capsys, "compare", station, "--borderline", "2")
    cuts = found["cuts"]
    assert isinstance(cuts, list)
    assert len(cuts) == 8


def test_faults_are_listed_by_line_and_nothing_is_computed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "s.csv"
    path.write_text("learner,score,grade\na,x,2\nb,5,2\nb,6,3\n")
    assert run(["standard", "regression", str(path), "--borderline", "2"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert f"{path}:2: “x” is not a number." in err
    assert f"{path}:4: This learner stands already on line 3." in err
    assert "there are 2 faults" in err


@pytest.mark.parametrize(
    "arguments",
    [
        ["median", "s.csv"],
        ["group", "absent.csv", "--borderline", "2"],
        ["group", "s.csv", "--level", "95"],
        ["group", "s.csv", "--seed", "-1"],
        ["group", "s.csv", "--max", "ten"],
        ["group", "s.csv", "--loss", "1"],
        ["group", "s.csv", "--loss", "0,1"],
        ["group", "s.csv", "--grades", "a,A"],
    ],
)
def test_bad_arguments_end_with_two(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["standard", *arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "what to do:" in err


def test_help_has_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["standard", "--help"]) == 0
    assert "observe standard regression station.csv --borderline 2" in capsys.readouterr().out
