"""A cut as JSON: what programs read, and what an approval reads, are the same numbers."""

from __future__ import annotations

import json
from decimal import Decimal

from observe.standards import borderline_regression
from observe.standards.cut import PERCENT, Asking
from observe.work.file_standard import FileStandard
from observe.work.standard_record import cut_record, result_of, standard_record

SCORES = [40.0, 52.5, 55.0, 61.0, 70.5, 72.0, 80.0, 91.0]
GRADES = [1.0, 2.0, 2.0, 3.0, 3.0, 4.0, 4.0, 5.0]
CUT = borderline_regression(SCORES, GRADES, borderline=2, asking=Asking(PERCENT))


def test_a_result_has_the_numbers_of_the_record_exactly() -> None:
    found = result_of(CUT)
    assert found["cut"] == Decimal(repr(CUT.value))
    assert found["maximum"] == 100
    assert (found["method"], found["n"], found["of"]) == ("borderline_regression", 8, "candidates")


def test_a_comparison_lists_its_cuts_and_a_method_stands_at_the_top() -> None:
    compared = standard_record(FileStandard("compare", (), (CUT, CUT)))
    assert compared["cuts"] == [cut_record(CUT), cut_record(CUT)]
    alone = standard_record(FileStandard("regression", (), (CUT,)))
    assert alone["cut"] == CUT.value
    assert alone["beside"] == []
    json.dumps(alone, allow_nan=False)


def test_where_every_item_is_essential_there_is_a_sentence() -> None:
    found = standard_record(FileStandard("essential", ()))
    assert found["cut"] is None
    assert "essential" in str(found["undefined"])
