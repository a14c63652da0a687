"""What every verb that reads a table has in common."""

from __future__ import annotations

import argparse
from pathlib import Path

import pytest

from observe.commands.reading import add_reading, number, share, told, whole
from observe.domain.troubles import BadInput
from observe.work.table_file import TableFile


@pytest.mark.parametrize(("text", "value"), [("57.5", 57.5), ("57,5", 57.5), ("-1e3", -1000)])
def test_a_number(text: str, value: float) -> None:
    assert number(text) == value


@pytest.mark.parametrize("text", ["", "x", "nan", "inf", "1e40"])
def test_no_number(text: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError):
        number(text)


def test_shares_and_whole_numbers() -> None:
    assert share("0,8") == 0.8
    assert whole("12") == 12
    for text in ("0", "1"):
        with pytest.raises(argparse.ArgumentTypeError):
            share(text)
    for text in ("0", "1.5", "-1", "١", "9999999"):
        with pytest.raises(argparse.ArgumentTypeError):
            whole(text)


def test_each_faulty_row_is_listed_and_nothing_is_computed(
    capsys: pytest.CaptureFixture[str],
) -> None:
    file = TableFile(Path("s.csv"), notices=["Separated by tabs."])
    told([file])
    file.fault(3, "The score is empty.", "Write it.")
    with pytest.raises(BadInput, match="there is 1 fault"):
        told([file])
    said = capsys.readouterr().err
    assert "s.csv: Separated by tabs." in said
    assert "s.csv:3: The score is empty. Write it." in said


def test_the_options_are_there() -> None:
    parser = argparse.ArgumentParser()
    add_reading(parser)
    found = parser.parse_args(["--json", "--decimal-comma"])
    assert (found.json, found.decimal_comma, found.encoding) == (True, True, "utf-8")
