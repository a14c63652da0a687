"""Tables of named columns: what is read, and every fault with its line."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.work.table_file import Column, TableFile, read_table

COLUMNS = (
    Column("learner", full=True),
    Column("score", number=True, low=0, high=100),
    Column("grade", needed=False),
)


def table(tmp_path: Path, text: str, *, decimal_comma: bool = False) -> TableFile:
    path = tmp_path / "table.csv"
    path.write_text(text, encoding="utf-8")
    return read_table(path, COLUMNS, decimal_comma=decimal_comma)


def test_rows_with_their_lines_and_missing_cells(tmp_path: Path) -> None:
    found = table(tmp_path, "Learner;Score;room\na;57,5;1\n\nb;NA;2\n", decimal_comma=True)
    assert [(row.line, row.texts["learner"], row.numbers["score"]) for row in found.rows] == [
        (2, "a", 57.5),
        (4, "b", None),
    ]
    assert found.columns == ("learner", "score")
    assert found.notices == ["Read with semicolons between the cells.", "Not used: column room."]


def test_all_faults_in_one_run_each_with_its_line(tmp_path: Path) -> None:
    found = table(
        tmp_path,
        "learner,score\na,x\n,5\nb,101\nc,=A1\nd\n" + "e" * 201 + ',3\nf,"57,5"\ng,1\n',
    )
    assert [(fault.line, fault.sentence.split(",")[0]) for fault in found.faults] == [
        (2, "“x” is not a number."),
        (3, "The learner is empty."),
        (4, "A score of 101 is not on the scale from 0 to 100."),
        (5, "“=A1” is a spreadsheet formula or its error"),
        (6, "This row has 1 cells; the first line has 2."),
        (7, "The learner is 201 characters long; at most 200 are read."),
        (8, "“57"),
    ]
    assert "Write 57.5" in found.faults[-1].remedy
    assert [row.line for row in found.rows] == [9]


def test_what_stands_twice_names_the_first_line(tmp_path: Path) -> None:
    found = table(tmp_path, "learner,score\na,1\nb,2\na,3\n")
    found.twice(["learner"], "This learner", "Keep one.")
    assert [(one.line, one.sentence) for one in found.faults] == [
        (4, "This learner stands already on line 2.")
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "empty"),
        ("name,score\na,1\n", "no column learner; it has: name, score"),
        ("learner,score,score\na,1,2\n", "names score twice"),
        ("learner,score\n", "nothing below the first line"),
        ('learner,score\n"a,1\n', "cannot be split"),
    ],
)
def test_what_is_no_such_table(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        table(tmp_path, text)


def test_reading_stops_at_a_thousand_faults(tmp_path: Path) -> None:
    found = table(tmp_path, "learner,score\n" + "a,x\n" * 1500)
    assert (len(found.faults), found.cut) == (1000, True)


@given(st.text(max_size=80))
def test_any_text_is_a_table_or_bad_input(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    path = tmp_path_factory.mktemp("any") / "table.csv"
    path.write_bytes(("learner,score\n" + text).encode("utf-8", "replace"))
    try:
        found = read_table(path, COLUMNS)
    except BadInput:
        return
    assert found.rows or found.faults
