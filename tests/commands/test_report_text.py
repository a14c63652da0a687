"""Figures of a report in words: an interval, or why there is none."""

from __future__ import annotations

from observe.agreement import Ratings, percent_agreement
from observe.commands.report_text import decimal, figure_text
from observe.work.report_figures import figure


def test_a_figure_says_its_interval_and_number() -> None:
    rows = [[1, 1]] * 9 + [[0, 1]] * 3
    found = percent_agreement(Ratings.from_table(rows, scale="nominal", categories=[0, 1]))
    said = figure_text(figure("decision", found))
    assert said.startswith("Percent agreement")
    assert "0.75 (95 % interval" in said
    assert said.endswith("n = 12)")


def test_a_figure_without_a_value_says_why() -> None:
    rows = [[1, None], [None, 1]]
    found = percent_agreement(Ratings.from_table(rows, scale="nominal", categories=[0, 1]))
    assert figure_text(figure("decision", found)) == found.undefined


def test_no_zero_has_a_sign() -> None:
    assert decimal(-0.001) == "0.00"
    assert decimal(-0.126) == "-0.13"
