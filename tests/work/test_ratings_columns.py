"""The first line of a ratings file."""

import pytest

from observe.domain.troubles import BadInput
from observe.work.ratings_columns import find_columns


@pytest.mark.parametrize(
    ("header", "delimiter", "notice"),
    [
        ("unit,observer,value", ",", ()),
        ("unit;observer;value", ";", ("Read with semicolons between the cells.",)),
        ("unit\tobserver\tvalue", "\t", ("Read with tabs between the cells.",)),
        ("\n\nUnit , OBSERVER,Value", ",", ()),
        ('"unit","observer","value",,', ",", ()),
        ("unit,date,observer,value", ",", ("Not used: column date.",)),
    ],
)
def test_separators_and_names(header: str, delimiter: str, notice: tuple[str, ...]) -> None:
    columns = find_columns(f"{header}\nu1,A,done\n", "x.csv")
    assert columns.delimiter == delimiter
    assert columns.notices == notice
    assert columns.item is None


def test_places_and_width() -> None:
    columns = find_columns("value;item;unit;observer\n", "x.csv")
    places = (columns.unit, columns.observer, columns.value, columns.item)
    assert (places, columns.width) == ((2, 3, 0, 1), 4)


@pytest.mark.parametrize(
    ("header", "what", "remedy"),
    [
        ("unit,rater,value", "no column observer; it has: unit, rater, value", "“rater” to be obs"),
        ("units,observer,score", "no columns unit or value", "“units” to be unit"),
        ("units,observer,score", "no columns unit or value", "“score” to be value"),
        ("hello", "no columns unit or observer or value; it has: hello", "Name the columns"),
        ('"unclosed', "no columns unit or observer or value", "Name the columns"),
        ("x" * 140_000, "it has: nothing that can be read", "Name the columns"),
        ("u1,A,done", "it has: u1, A, done", "Name the columns unit, observer, value."),
    ],
)
def test_a_missing_column_names_those_found(header: str, what: str, remedy: str) -> None:
    with pytest.raises(BadInput, match=what) as trouble:
        find_columns(f"{header}\n", "x.csv")
    assert trouble.value.where == "x.csv, line 1"
    assert remedy in trouble.value.remedy


def test_the_column_of_the_learners() -> None:
    columns = find_columns("unit,observer,value,Pupil\n", "x.csv", "pupil")
    assert (columns.owner, columns.notices) == (3, ())
    assert find_columns("unit,observer,value,Pupil\n", "x.csv").owner is None
    with pytest.raises(BadInput, match="names it twice"):
        find_columns("unit,observer,value,pupil,pupil\n", "x.csv", "pupil")


def test_a_column_named_twice() -> None:
    with pytest.raises(BadInput, match="names value twice"):
        find_columns("unit,observer,value,Value\n", "x.csv")
