"""Cuts as a table: every figure under its head, an empty cell where there is none."""

from __future__ import annotations

import pytest

from observe.work.demo.term import play_term
from observe.work.logbooks import open_logbook
from observe.work.standard_review import StandardReview, review_standards, targets
from observe.work.standard_table import HEADS, standard_table


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> StandardReview:
    path = tmp_path_factory.mktemp("table") / "term.observe"
    play_term(path, tick=lambda _done, _total: None)
    with open_logbook(path, read_only=True) as logbook:
        return review_standards(logbook, targets(logbook)[0], today="2026-06-01")


def test_every_cut_has_its_row(made: StandardReview) -> None:
    heads, *rows = standard_table(made)
    assert heads == HEADS
    assert [row[0] for row in rows] == [one.label for one in made.cuts]
    for row, cut in zip(rows, made.cuts, strict=True):
        found = dict(zip(HEADS, row, strict=True))
        assert float(found["cut"]) == cut.value
        assert int(found["passed"]) + int(found["failed"]) == len(made.scores)
        assert found["undefined"] == ""
