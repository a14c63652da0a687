"""Ratings files as people save them: read, or every fault named with its line."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.work import ratings_file
from observe.work.ratings_file import RatingsFile, Reading, read

HEADER = "unit,observer,value\n"
TWO = "u1,A,done\nu1,B,done\n"


def of(folder: Path, text: str, **how: object) -> RatingsFile:
    path = folder / "ratings.csv"
    path.write_bytes(text.encode())
    return read(path, Reading(**how))  # type: ignore[arg-type]  # forwards keywords as they are


def lines(found: RatingsFile) -> list[int]:
    return [fault.line for fault in found.faults]


def test_a_plain_file(tmp_path: Path) -> None:
    found = of(tmp_path, HEADER + TWO)
    assert found.items == {None: [("u1", "A", "done"), ("u1", "B", "done")]}
    assert (found.faults, found.notices) == ([], [])


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + HEADER + TWO,
        (HEADER + TWO).replace("\n", "\r\n"),
        (HEADER + TWO).replace("\n", "\r"),
        HEADER + TWO + "\n\n\n",
        HEADER + "\n" + TWO + ",,\n",
        HEADER + TWO.replace("done", " done "),
        HEADER + TWO.rstrip("\n"),
        "unit,observer,value,,\nu1,A,done,,\nu1,B,done\n",
        'unit,observer,value\n"u1","A","done"\n"u1","B","done"\n',
    ],
    ids=[
        "BOM",
        "CRLF",
        "CR",
        "blank end",
        "blank rows",
        "blanks",
        "no end",
        "idle cells",
        "quoted",
    ],
)
def test_ways_of_saving_that_change_nothing(tmp_path: Path, text: str) -> None:
    assert of(tmp_path, text).items == of(tmp_path, HEADER + TWO).items


@pytest.mark.parametrize("separator", [";", "\t"])
def test_other_separators_are_read_and_said(tmp_path: Path, separator: str) -> None:
    found = of(tmp_path, (HEADER + TWO).replace(",", separator))
    assert found.items == of(tmp_path, HEADER + TWO).items
    assert len(found.notices) == 1


def test_items_keep_their_order_and_the_same_unit_may_come_back(tmp_path: Path) -> None:
    text = "item,unit,observer,value\nb,u1,A,1\nb,u1,B,1\na,u1,A,1\na,u1,B,2\n"
    assert list(of(tmp_path, text).items) == ["b", "a"]


def test_an_empty_value_is_missing(tmp_path: Path) -> None:
    found = of(tmp_path, HEADER + "u1,A,done\nu1,B,\n")
    assert found.items[None][1] == ("u1", "B", None)
    assert not found.faults


def test_quoted_cells_may_hold_separators_and_line_ends(tmp_path: Path) -> None:
    text = HEADER + '"unit ""1""","A, first\nobserver",done\nu1,B,wrong\n'
    found = of(tmp_path, text, categories=("done",))
    assert found.items[None][0] == ('unit "1"', "A, first\nobserver", "done")
    assert lines(found) == [4]


def test_all_faults_are_listed_with_their_lines_in_one_run(tmp_path: Path) -> None:
    rows = [
        "u1,A,done",
        "u1,B,Done",
        "u2,A,maybe",
        ",A,done",
        "u3,,done",
        "u1,A,done",
        "u4,A",
        "u4,A,done,more",
        "u5,A,=1+1",
        "u6,A,#N/A",
        f"{'x' * 500},A,done",
        "u7,A," + "y" * 500,
    ]
    found = of(tmp_path, HEADER + "\n".join(rows), categories=("done", "not done"))
    assert lines(found) == [3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13]
    said = [f"{fault.sentence} {fault.remedy}" for fault in found.faults]
    assert said[0] == "“Done” is not a declared category. Did you mean “done”?"
    assert said[1].endswith("Use done, not done; leave the cell empty if it is missing.")
    assert said[2].startswith("The unit is empty.")
    assert said[3].startswith("The observer is empty.")
    assert said[4].startswith("A rated unit u1 already on line 2.")
    assert said[5].startswith("This row has 2 cells; the first line has 3.")
    assert said[6].startswith("This row has 4 cells")
    assert said[7].startswith("“=1+1” is a spreadsheet formula")
    assert said[8].startswith("“#N/A” is a spreadsheet formula")
    assert said[9].startswith("The unit is 500 characters long")
    assert said[10].startswith("The value is 500 characters long")


def test_numbers_on_the_interval_scale(tmp_path: Path) -> None:
    text = 'unit,observer,value\nu1,A,57.50\nu1,B,"57,5"\nu2,A,good\nu2,B,1e5\nu3,A,-3\n'
    found = of(tmp_path, text, numbers=True)
    assert [f"{f.line} {f.sentence} {f.remedy}" for f in found.faults] == [
        "3 “57,5” is not a number. Write 57.5; leave the cell empty if it is missing.",
        "4 “good” is not a number. Write numbers like 57.5; leave the cell empty if it is missing.",
    ]
    assert ("u2", "B", "100000") in found.items[None]


def test_a_decimal_comma_by_option(tmp_path: Path) -> None:
    text = 'unit,observer,value\nu1,A,57.50\nu1,B,"57,5"\nu2,A,"1,234,5"\n'
    found = of(tmp_path, text, numbers=True, decimal_comma=True)
    assert [value for _, _, value in found.items[None]] == ["57.5", "57.5", None]
    assert lines(found) == [4]
    words = of(tmp_path, text, decimal_comma=True)
    assert [value for _, _, value in words.items[None]] == ["57.5", "57.5", "1,234,5"]


def test_numbers_as_programs_write_them(tmp_path: Path) -> None:
    text = HEADER + "u1,A,0.30000000000000004\nu1,B,1e-05\nu2,A,.5\nu2,B,7.\n"
    found = of(tmp_path, text, numbers=True)
    values = [value for _, _, value in found.items[None]]
    assert values == ["0.30000000000000004", "0.00001", "0.5", "7"]


def test_na_is_missing_unless_it_is_declared(tmp_path: Path) -> None:
    text = HEADER + "u1,A,NA\nu1,B,NaN\nu2,A,done\nu2,B,done\n"
    assert [value for _, _, value in of(tmp_path, text).items[None]][:2] == [None, None]
    declared = of(tmp_path, text, categories=("NA", "done"))
    assert [value for _, _, value in declared.items[None]][:2] == ["NA", None]
    assert not of(tmp_path, text.replace("done", "7"), numbers=True).faults


def test_whose_a_unit_is(tmp_path: Path) -> None:
    text = "unit,observer,value,Learner\nu1,A,x,Ada\nu1,B,x,Ada\nu2,A,x,Ben\nu2,B,y,Ada\nu3,A,x,\n"
    found = of(tmp_path, text, owner="learner")
    assert found.owners == {"u1": "Ada", "u2": "Ben"}
    assert [f"{f.line} {f.sentence}" for f in found.faults] == [
        "5 Unit u2 is Ada's here and Ben's above.",
        "6 The learner is empty.",
    ]
    assert of(tmp_path, text).owners == {}


def test_numbers_lose_their_idle_zeros_in_front_too(tmp_path: Path) -> None:
    found = of(tmp_path, HEADER + "u1,A,07\nu1,B,7.0\n", numbers=True)
    assert [value for _, _, value in found.items[None]] == ["7", "7"]


def test_an_unquoted_decimal_comma_is_a_cell_too_many(tmp_path: Path) -> None:
    found = of(tmp_path, HEADER + "u1,A,1,0\nu1,B,1\n")
    assert lines(found) == [2]
    assert "write decimals with a point" in found.faults[0].remedy


def test_a_declared_category_may_look_like_anything(tmp_path: Path) -> None:
    found = of(tmp_path, HEADER + "u1,A,=\nu1,B,@\n", categories=("=", "@"))
    assert not found.faults


def test_doubtful_categories_are_said_when_none_were_declared(tmp_path: Path) -> None:
    found = of(tmp_path, HEADER + "u1,A,done\nu1,B,Done\nu2,A,N/A\nu2,B,done\n")
    assert found.notices == [
        "“done” and “Done” are counted as two categories.",
        "“N/A” is counted as a category; leave cells empty for missing.",
    ]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "The file is empty"),
        ("\n \n", "The file is empty"),
        (HEADER, "no rating below the first line"),
        (HEADER + "u1,A,done\nu2,A,done\n", "All ratings are by one observer, A"),
        (HEADER + 'u1,A,"done\nu1,B,done\n', "The row that begins on line 2 cannot be split"),
        (HEADER + f'u1,A,"{"x" * 140_000}"\n', "The row that begins on line 2 cannot be split"),
    ],
)
def test_a_file_that_is_no_table_of_two_observers(tmp_path: Path, text: str, sentence: str) -> None:
    with pytest.raises(BadInput, match=sentence) as trouble:
        of(tmp_path, text)
    assert str(tmp_path) in trouble.value.where
    assert trouble.value.remedy


def test_thousands_of_observers(tmp_path: Path) -> None:
    rows = "".join(f"u{who % 100},observer {who},done\n" for who in range(5000))
    assert len(of(tmp_path, HEADER + rows).items[None]) == 5000


def test_reading_stops_at_the_thousandth_fault(tmp_path: Path) -> None:
    found = of(tmp_path, HEADER + ",A,done\n" * 1500)
    assert found.cut
    assert (len(found.faults), found.faults[-1].line) == (1000, 1001)
    assert not of(tmp_path, HEADER + ",A,done\n" * 999).cut


def test_values_too_many_to_be_categories_are_refused(tmp_path: Path) -> None:
    rows = "".join(f"u{n},A,{n}\nu{n},B,{n + 1}\n" for n in range(1001))
    with pytest.raises(BadInput, match="more than 1,000 different values") as trouble:
        of(tmp_path, HEADER + rows)
    assert "interval scale" in trouble.value.remedy
    assert len(of(tmp_path, HEADER + rows, numbers=True).items[None]) == 2002


def test_very_many_rows_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ratings_file, "MOST_ROWS", 1)
    with pytest.raises(BadInput, match="more than 1 rows"):
        of(tmp_path, HEADER + TWO)


@given(st.binary(max_size=200))
def test_any_bytes_are_a_table_or_a_sentence(
    tmp_path_factory: pytest.TempPathFactory, data: bytes
) -> None:
    path = tmp_path_factory.mktemp("any") / "any.csv"
    path.write_bytes(HEADER.encode() + data)
    try:
        found = read(path)
    except BadInput as trouble:
        assert trouble.remedy  # noqa: PT017 - either outcome is right
    else:
        assert found.faults or len({row[1] for rows in found.items.values() for row in rows}) > 1
