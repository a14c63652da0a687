"""A report's pages say what its figures are."""

from __future__ import annotations

from pathlib import Path

import pytest

from observe.sheets.content import Signer
from observe.sheets.report_content import ReportContent, Table
from observe.work.demo.term import LEARNERS, play_term
from observe.work.logbooks import open_logbook
from observe.work.report import report
from observe.work.report_figures import Question, Report
from observe.work.report_pages import TICKS, pages_of
from observe.work.report_suppressed import for_others

SIGNER = Signer("Prof. Hester Achterberg", "director", "1 June 2026, 12:00", "a key", "ab" * 32)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Report:
    path: Path = tmp_path_factory.mktemp("pages") / "term.observe"
    play_term(path, tick=lambda _done, _total: None)
    with open_logbook(path, read_only=True) as logbook:
        return report(logbook, Question(""))


def tables(content: ReportContent) -> dict[str, Table]:
    return {one.title.split(",")[0]: one for part in content.sections for one in part.tables}


def test_the_guideline_stands_in_order_between_summary_and_cautions(made: Report) -> None:
    titles = [one.title for one in pages_of(made, SIGNER, "1").sections]
    assert titles[0] == "In short"
    assert [one.split()[0] for one in titles[1:-1]] == [str(n) for n in range(1, 16)]
    assert titles[-1] == "Bear in mind"


def test_every_step_has_its_figure_and_bar(made: Report) -> None:
    steps = tables(pages_of(made, SIGNER, "1"))["Steps"]
    assert len(steps.rows) == len(steps.bars) == len(made.steps)
    for row, bar, step in zip(steps.rows, steps.bars, made.steps, strict=True):
        assert row[0] == f"{step.number}  {step.label}"
        if step.found.value is None:
            assert bar.value is None
        else:
            assert row[1] == f"{step.found.value:.2f}".replace("-", "−").replace("−0.00", "0.00")
            assert TICKS[0] <= bar.low <= bar.high <= TICKS[-1]


def test_counts_are_those_of_the_report_and_hidden_ones_say_so(made: Report) -> None:
    attempts = tables(pages_of(made, SIGNER, "1"))["Attempts"]
    assert list(attempts.rows) == [(kind, str(n)) for kind, n in made.attempts.cells if n]
    others = pages_of(for_others(made), SIGNER, "1")
    words = [cell for one in tables(others).values() for row in one.rows for cell in row]
    assert "hidden" in words


def test_no_learner_is_named(made: Report) -> None:
    text = repr(pages_of(made, SIGNER, "1"))
    assert not [one.name for one in LEARNERS if one.name in text]
