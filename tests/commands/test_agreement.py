"""`observe agreement`: published tables through the command, bad input, JSON for programs."""

import argparse
import json
import sqlite3
import subprocess
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

import pytest

from observe.commands import agreement
from observe.commands.main import run
from observe.domain.troubles import BadInput

KEYS = [
    "item",
    "coefficient",
    "form",
    "value",
    "low",
    "high",
    "level",
    "interval",
    "units",
    "used",
    "observers",
    "undefined",
    "note",
]
KEEP_ONE = "Keep one of the two; name repeated attempts as units of their own."
# Cohen J (1960), Educational and Psychological Measurement 20:37-46.
COHEN_1960 = [[88, 14, 18], [10, 40, 10], [2, 6, 12]]


def csv_of(table: Sequence[Sequence[int]], names: Sequence[str]) -> str:
    lines = ["unit,observer,value"]
    for i, row in enumerate(table):
        for j, count in enumerate(row):
            for k in range(count):
                lines += [f"{i}.{j}.{k},A,{names[i]}", f"{i}.{j}.{k},B,{names[j]}"]
    return "\n".join(lines) + "\n"


@pytest.fixture
def cohen(tmp_path: Path) -> Path:
    path = tmp_path / "cohen.csv"
    path.write_text(csv_of(COHEN_1960, ["one", "two", "three"]))
    return path


def handle(*arguments: str) -> int:
    parser = argparse.ArgumentParser()
    agreement.add(parser.add_subparsers())
    parsed = parser.parse_args(["agreement", *arguments])
    code: int = parsed.handler(parsed)
    return code


def test_cohens_table_gives_the_printed_kappa(
    cohen: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Cohen (1960) prints .492."""
    assert handle(str(cohen), "--categories", "one,two,three") == 0
    out, err = capsys.readouterr()
    assert "Cohen's kappa                          0.492   0.392 to 0.591            200" in out
    assert "Percent agreement                     70.0 %   63.1 % to 76.3 %          200" in out
    assert err == ""


def test_json_has_the_keys_in_order_and_every_fitting_coefficient(
    cohen: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert handle(str(cohen), "--json", "--categories", "one,two,three") == 0
    results = json.loads(capsys.readouterr().out)["results"]
    assert all(list(row) == KEYS for row in results)
    by_name = {row["coefficient"]: row for row in results}
    assert set(by_name) == {
        "percent_agreement",
        "specific_agreement",
        "cohen_kappa",
        "scott_pi",
        "fleiss_kappa",
        "conger_kappa",
        "brennan_prediger",
        "gwet_ac1",
        "krippendorff_alpha",
    }
    kappa = by_name["cohen_kappa"]
    assert kappa["value"] == pytest.approx(0.4915254237)
    assert (kappa["item"], kappa["undefined"], kappa["note"]) == (None, None, "")
    assert (kappa["units"], kappa["used"], kappa["observers"], kappa["level"]) == (
        200,
        200,
        2,
        0.95,
    )
    assert isinstance(kappa["interval"], str)


def test_json_of_a_table_without_variation_holds_null_and_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "same.csv"
    path.write_text(csv_of([[12]], ["done"]))
    assert handle(str(path), "--json", "--categories", "not done,done") == 0
    rows = {row["coefficient"]: row for row in json.loads(capsys.readouterr().out)["results"]}
    assert rows["percent_agreement"]["value"] == 1
    kappa = rows["cohen_kappa"]
    assert [kappa[key] for key in ("value", "low", "high", "interval")] == [None] * 4
    assert "every rating is the same" in kappa["undefined"]
    ac1 = rows["gwet_ac1"]
    assert (ac1["value"], ac1["low"], ac1["high"]) == (1, None, None)
    assert "interval not estimable" in ac1["note"]


def test_weighted_kappa_comes_with_an_order_and_by_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Westlund & Kurland (1953), Winnipeg: linear .380; quadratic .525."""
    path = tmp_path / "winnipeg.csv"
    table = [[38, 5, 0, 1], [33, 11, 3, 0], [10, 14, 5, 6], [3, 7, 3, 10]]
    path.write_text(csv_of(table, ["certain", "probable", "possible", "doubtful"]))
    how = ["--scale", "ordinal", "--categories", "certain, probable, possible, doubtful"]
    assert handle(str(path), *how, "--method", "weighted_kappa", "--json") == 0
    rows = json.loads(capsys.readouterr().out)["results"]
    assert [(row["form"], round(row["value"], 3)) for row in rows] == [
        ("linear", 0.380),
        ("quadratic", 0.525),
    ]


def rows_of(capsys: pytest.CaptureFixture[str]) -> list[dict[str, object]]:
    rows: list[dict[str, object]] = json.loads(capsys.readouterr().out)["results"]
    return rows


@pytest.mark.parametrize(
    ("weights", "printed"),
    [
        ("0,1,3;1,0,6;3,6,0", 0.348),
        ("0 1 3; 1 0 6; 3 6 0;", 0.348),
        ("0,1,4;1,0,6;2,2,0", 0.353),
    ],
)
def test_own_weights(
    cohen: Path, capsys: pytest.CaptureFixture[str], weights: str, printed: float
) -> None:
    """Cohen J (1968), Psychological Bulletin 70:213-220, prints .348 and .353."""
    how = ["--categories", "one,two,three", "--method", "weighted_kappa", "--json"]
    assert handle(str(cohen), *how, "--weights", weights) == 0
    (row,) = rows_of(capsys)
    assert (row["form"], round(float(str(row["value"])), 3)) == ("custom", printed)


def test_weights_that_are_none(cohen: Path) -> None:
    for weights, sentence in (
        ("cubic", "no weights 'cubic'"),
        ("0,1;1,x2", "neither a name nor rows of numbers"),
        ("0,1;1,0", "no square of 3 by 3"),
    ):
        how = ["--method", "weighted_kappa", "--categories", "one,two,three"]
        with pytest.raises(BadInput, match=sentence):
            handle(str(cohen), *how, "--weights", weights)


SHROUT_FLEISS = [
    [9, 2, 5, 8],
    [6, 1, 3, 2],
    [8, 4, 6, 8],
    [7, 1, 2, 6],
    [10, 5, 6, 9],
    [6, 2, 4, 7],
]


def scores_of(table: Sequence[Sequence[object]], separator: str = ",") -> str:
    lines = [separator.join(("unit", "observer", "value"))]
    lines += [
        separator.join((f"u{unit}", f"judge {judge}", str(value)))
        for unit, row in enumerate(table, start=1)
        for judge, value in enumerate(row, start=1)
    ]
    return "\n".join(lines) + "\n"


def test_methods_for_numbers_take_numbers(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Shrout & Fleiss (1979), Psychological Bulletin 86:420-428: ICC(2,1) .29, ICC(3,k) .91."""
    path = tmp_path / "scores.csv"
    path.write_text(scores_of(SHROUT_FLEISS))
    assert handle(str(path), "--method", "icc,cronbach_alpha", "--json") == 0
    rows = {str(row["form"]): row for row in rows_of(capsys)}
    assert len(rows) == 7
    assert round(float(str(rows["ICC(2,1)"]["value"])), 2) == 0.29
    assert rows["raw"]["value"] == pytest.approx(rows["ICC(3,k)"]["value"])
    path.write_text(scores_of([row[:2] for row in SHROUT_FLEISS]))
    assert handle(str(path), "--method", "bland_altman", "--json") == 0
    limits = rows_of(capsys)
    assert [row["form"] for row in limits] == ["bias", "lower limit", "upper limit"]
    assert limits[0]["value"] == pytest.approx(31 / 6)


def test_a_decimal_comma(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    halves = [[value / 2 for value in row] for row in SHROUT_FLEISS]
    point, comma = tmp_path / "point.csv", tmp_path / "comma.csv"
    point.write_text(scores_of(halves))
    comma.write_text(scores_of(halves, ";").replace(".", ","))
    assert handle(str(point), "--method", "icc", "--json") == 0
    one = rows_of(capsys)
    assert handle(str(comma), "--method", "icc", "--decimal-comma", "--json") == 0
    assert rows_of(capsys) == one


@pytest.mark.parametrize(
    ("encoding", "option"),
    [
        ("utf-8", []),
        ("utf-8-sig", []),
        ("utf-16", []),
        ("latin-1", ["--encoding", "latin-1"]),
    ],
)
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_encodings_and_line_ends(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    encoding: str,
    option: list[str],
    end: str,
) -> None:
    path = tmp_path / "words.csv"
    text = csv_of([[9, 1], [1, 9]], ["fertig", "nicht ausgeführt"])
    path.write_bytes(text.replace("\n", end).encode(encoding))
    how = ["--categories", "fertig,nicht ausgeführt", "--method", "cohen_kappa", "--json"]
    assert handle(str(path), *how, *option) == 0
    (row,) = rows_of(capsys)
    assert row["value"] == pytest.approx(0.8)


def test_by_item_insists_on_items(
    cohen: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(BadInput, match="no column item to answer by"):
        handle(str(cohen), "--by", "item")
    path = tmp_path / "items.csv"
    path.write_text("item,unit,observer,value\na,1,A,x\na,1,B,x\nb,1,A,x\nb,1,B,NA\n")
    how = ["--by", "item", "--method", "percent_agreement", "--categories", "x,y", "--json"]
    assert handle(str(path), *how) == 0
    rows = rows_of(capsys)
    assert [(row["item"], row["value"]) for row in rows] == [("a", 1), ("b", None)]
    assert "no unit was rated by two or more observers" in str(rows[1]["undefined"])


def test_learners_are_taken_together(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "learners.csv"
    lines = ["unit,observer,value,learner"]
    for unit in range(60):
        second = "x" if unit % 3 else "y"
        lines += [f"{unit},A,x,L{unit // 4}", f"{unit},B,{second},L{unit // 4}"]
    path.write_text("\n".join(lines))
    how = ["--method", "percent_agreement", "--categories", "x,y", "--json"]
    assert handle(str(path), *how, "--cluster", "learner") == 0
    out, err = capsys.readouterr()
    assert "units of one learner together" in out
    assert err == ""
    with pytest.raises(BadInput, match="column “pupil”; the first line has none"):
        handle(str(path), "--cluster", "pupil")


def test_the_method_note(cohen: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert handle(str(cohen), "--categories", "one,two,three", "--explain") == 0
    text = capsys.readouterr().out
    assert "Recommended: Cohen's kappa." in text
    assert "Method note, in the order of GRRAS" in text
    assert "  15. More: [to be written:" in text
    assert handle(str(cohen), "--categories", "one,two,three", "--explain", "--json") == 0
    answer = json.loads(capsys.readouterr().out)
    (one,) = answer["explained"]
    assert one["recommended"]["coefficient"] == "cohen_kappa"
    assert [item["number"] for item in one["method_note"]] == list(range(1, 16))
    assert one["method_note"][4]["text"] == ""


def test_a_seed_wants_resampling(cohen: Path) -> None:
    with pytest.raises(BadInput, match="A seed is for resampled intervals"):
        handle(str(cohen), "--seed", "3")


def test_a_category_with_a_comma_is_quoted(tmp_path: Path) -> None:
    path = tmp_path / "comma.csv"
    path.write_text('unit,observer,value\nu1,A,"yes, alone"\nu1,B,no\n')
    assert handle(str(path), "--categories", 'no,"yes, alone"') == 0
    with pytest.raises(BadInput, match="cannot be told apart"):
        handle(str(path), "--categories", 'no,"yes')


def test_faults_are_listed_and_nothing_is_computed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "faulty.csv"
    path.write_text("unit;observer;value\nu1;A;done\nu1;A;done\nu1;B;doen\n")
    with pytest.raises(BadInput, match="Nothing was computed: the file has 2 faults"):
        handle(str(path), "--categories", "done,not done", "--json")
    out, err = capsys.readouterr()
    assert out == ""
    assert err.splitlines() == [
        f"observe: {path}: Read with semicolons between the cells.",
        f"{path}:3: A rated unit u1 already on line 2. {KEEP_ONE}",
        f"{path}:4: “doen” is not a declared category. Did you mean “done”?",
    ]


def test_so_many_faults_that_reading_stopped(tmp_path: Path) -> None:
    path = tmp_path / "faulty.csv"
    path.write_text("unit,observer,value\n" + ",A,done\n" * 1500)
    with pytest.raises(BadInput, match="has 1,000 faults; reading stopped on line 1001"):
        handle(str(path))


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "The file is empty."),
        (b"unit,rater,value\nu1,A,1\n", "Did you mean “rater” to be observer?"),
        (b"unit,observer,value\n", "There is no rating below the first line."),
        (b"unit,observer,value\nu1,A,1\n", "All ratings are by one observer, A."),
        (b"unit,observer,value\nu1,A,\xff\n", "not UTF-8: byte 26 of the file is 0xff"),
        (b"unit,observer\0", "This is not a text file"),
        (b"unit,observer,value\nu1,A,1\nu1,B,0\n", "Not in this version: pearson."),
    ],
)
def test_bad_input_is_a_sentence_and_exit_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], data: bytes, sentence: str
) -> None:
    path = tmp_path / "bad.csv"
    path.write_bytes(data)
    extra = ["--method", "pearson"] if "pearson" in sentence else []
    assert run(["agreement", str(path), *extra]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert sentence in err
    assert "Traceback" not in err


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["x.csv", "--scale", "metric"],
        ["x.csv", "--level", "95"],
        ["x.csv", "--level", "high"],
        ["x.csv", "--seed", "-1"],
        ["x.csv", "--by", "observer"],
        ["x.csv", "--encoding", "utf-7"],
    ],
)
def test_wrong_arguments_exit_2(capsys: pytest.CaptureFixture[str], arguments: list[str]) -> None:
    assert run(["agreement", *arguments]) == 2
    assert capsys.readouterr().out == ""


def test_help_has_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["agreement", "--help"]) == 0
    assert "observe agreement ratings.csv --categories" in capsys.readouterr().out


def test_as_a_program_of_its_own(cohen: Path, python: str, checkout: Path) -> None:
    done = subprocess.run(
        [python, "-m", "observe", "agreement", str(cohen), "--json"],
        cwd=checkout,
        capture_output=True,
        check=False,
        text=True,
    )
    assert (done.returncode, done.stderr) == (0, "")
    rows = json.loads(done.stdout)["results"]
    assert any(row["coefficient"] == "cohen_kappa" for row in rows)


def test_registering_the_verb_loads_no_numerical_library(python: str, checkout: Path) -> None:
    code = (
        "import sys, observe.commands.agreement, observe.work.file_agreement;"
        "print(sorted({'numpy', 'scipy'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [python, "-c", code], cwd=checkout, capture_output=True, check=True, text=True
    )
    assert done.stdout.strip() == "[]"


def test_the_second_looks_of_a_logbook_are_compared(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from observe.work.demo.run import demonstrate

    def quiet(done: int, total: int) -> None:
        del done, total

    made = demonstrate(tmp_path / "demo", tick=quiet)
    before = made.logbook.read_bytes()
    assert run(["agreement", str(made.logbook), "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    row = answer["results"][0]
    assert list(row) == KEYS
    assert row["item"] == "2026-05-12 Lumbar puncture, skills afternoon: decision"
    assert (row["units"], row["used"], row["level"]) == (3, 3, 0.95)
    planned = [(one["form"]["id"], one["second_looks"]["planned"]) for one in answer["workshops"]]
    assert planned == [("LPX", 3), ("LPX", 2), ("IUP", 0)]
    rows_of_an_item = Counter(one["item"] for one in answer["results"])
    assert max(rows_of_an_item.values()) == len(("percent agreement", "kappa"))

    assert run(["agreement", str(made.logbook)]) == 0
    assert "Contested critical items: 1 (seat 6)." in capsys.readouterr().out
    assert made.logbook.read_bytes() == before


def test_a_foreign_database_is_no_logbook(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = tmp_path / "other.db"
    with sqlite3.connect(other) as database:
        database.execute("CREATE TABLE t (x)")
    database.close()
    assert run(["agreement", str(other)]) == 2
    assert "logbook" in capsys.readouterr().err


def test_a_logbook_takes_a_level_and_no_option_of_tables(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from observe.store.log import Log

    path = tmp_path / "empty.observe"
    Log.open(path, create=True).close()
    assert run(["agreement", str(path), "--level", "0.9"]) == 0
    assert "No workshop" in capsys.readouterr().out
    for option in (
        ["--scale", "ordinal"],
        ["--scale", "nominal"],
        ["--method", "pabak"],
        ["--weights", "linear"],
        ["--by", "item"],
        ["--interval", "bca"],
        ["--seed", "0"],
        ["--cluster", "learner"],
        ["--decimal-comma"],
        ["--explain"],
    ):
        assert run(["agreement", str(path), *option]) == 2
        assert f"Leave out {option[0]}." in capsys.readouterr().err


def test_nothing_is_computed_from_a_logbook_that_was_changed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from observe.work.demo.run import demonstrate

    def quiet(done: int, total: int) -> None:
        del done, total

    made = demonstrate(tmp_path / "demo", tick=quiet)
    with sqlite3.connect(made.logbook) as tool:
        guards = tool.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in guards:
            tool.execute(f"DROP TRIGGER {name}")
        tool.execute("UPDATE event SET body = replace(body, 'not-done', 'done')")
        for _, sql in guards:
            tool.execute(sql)
    tool.close()
    assert run(["agreement", str(made.logbook)]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert "not what was written" in told.err


def test_words_are_given_where_they_are_asked_for_with_whose_they_are(
    cohen: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["agreement", str(cohen), "--method", "cohen_kappa", "--words", "landis-koch"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "In words: " in said
    assert "Landis JR, Koch GG (1977)" in said
    assert run(["agreement", str(cohen), "--words", "mine"]) == 2
    assert "no scale of words" in capsys.readouterr().err
