"""A review as tables that other programs read."""

from __future__ import annotations

from pathlib import Path

from observe.work.demo.rehearsal import RehearsalMachine
from observe.work.logbooks import open_logbook
from observe.work.review_tables import estimates_table, ratings_table
from observe.work.reviewing import conditions, gather, review
from tests.work.second_looks import plan_some, watch_all


def test_ratings_and_figures_have_a_row_each_and_no_empty_heads(tmp_path: Path) -> None:
    machine = RehearsalMachine("2026-03-02T09:00:00.000+00:00")
    with open_logbook(tmp_path / "l.observe", create=True, machine=machine) as logbook:
        plan_some(logbook, workshops=1, learners=3)
        watch_all(logbook, 2)
        (condition,) = conditions(logbook)
        made = review(gather(logbook, condition))
    heads, *ratings = ratings_table(made)
    assert heads == ("unit", "observer", "value", "item", "learner")
    assert {row[3] for row in ratings} >= {"decision", "overall grade"}
    assert all(all(row) for row in ratings)
    columns, *figures = estimates_table(made)
    assert all(len(row) == len(columns) for row in figures)
    assert {row[0] for row in figures} >= {"decision", "score on common steps"}
