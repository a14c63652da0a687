"""Second looks over workshops: gathered, computed, and the same as the command line says."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.commands.main import run
from observe.domain.troubles import Stopped
from observe.work.demo.rehearsal import RehearsalMachine
from observe.work.logbooks import Logbook, open_logbook
from observe.work.review_tables import estimates_table, ratings_table
from observe.work.reviewing import (
    Review,
    common_scores,
    conditions,
    gather,
    review,
    what_would_help,
)
from tests.work.second_looks import plan_some, seen_by_two, watch_all


@pytest.fixture(scope="module")
def busy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Logbook]:
    path = tmp_path_factory.mktemp("busy") / "l.observe"
    with seen_by_two(path, workshops=2, learners=6, seed=7) as logbook:
        yield logbook


@pytest.fixture(scope="module")
def made(busy: Logbook) -> Review:
    (condition,) = conditions(busy)
    return review(gather(busy, condition))


def test_a4_what_scores_alike_under_one_profile_is_one_condition(busy: Logbook) -> None:
    (condition,) = conditions(busy)
    assert [one.date for one, _ in condition.workshops] == ["2026-03-09", "2026-03-02"]
    assert "form" in condition.title


def test_every_planned_pair_is_gathered_and_one_workshop_can_be_chosen(busy: Logbook) -> None:
    (condition,) = conditions(busy)
    everything = gather(busy, condition)
    assert (everything.attempts, len(everything.planned)) == (12, 12)
    assert everything.joined == ()
    newest = condition.workshops[0][0]
    assert len(gather(busy, condition, [newest.id]).planned) == 6
    assert gather(busy, condition, []).planned == ()


def test_the_most_worrying_step_comes_first(made: Review) -> None:
    lows = [one.found.low for one in made.steps if one.found.low is not None]
    assert lows == sorted(lows)
    assert {one.found.coefficient for one in made.steps} <= {
        "gwet_ac1",
        "cohen_kappa",
        "percent_agreement",
        "krippendorff_alpha",
        "conger_kappa",
    }


def test_decisions_and_critical_items_are_counted_both_ways(made: Review) -> None:
    assert sum(made.decisions.values()) == 12
    assert all(
        one.both + one.first_only + one.second_only + one.neither <= 12 for one in made.criticals
    )


def test_a5_scores_are_compared_on_the_steps_that_both_saw(made: Review) -> None:
    pair = made.gathered.planned[0]
    shares = common_scores(pair)
    assert shares is not None
    mean, difference = made.totals.points[0]
    assert mean == pytest.approx(float(50 * sum(shares)))
    assert difference == pytest.approx(float(100 * (shares[0] - shares[1])))


def test_two_observers_are_taken_over_all_steps_with_attempts_together(made: Review) -> None:
    shared = {one.observers: one.shared for one in made.couples}
    assert sum(shared.values()) == 12
    few = [one for one in made.couples if one.shared < 10]
    assert all(one.found is None for one in few)


def test_every_figure_is_what_the_command_line_says_of_the_table(
    made: Review, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "ratings.csv"
    rows = [row for row in ratings_table(made) if row[3] not in ("decision", "overall grade")]
    with path.open("w", encoding="utf-8", newline="") as out:
        csv.writer(out).writerows(rows)
    methods = sorted({one.found.coefficient for one in made.steps} | {"percent_agreement"})
    words = ["agreement", str(path), "--categories", "not full credit,full credit", "--json"]
    assert run([*words, "--method", ",".join(methods)]) in (0, 1)
    told = {
        (one["item"], one["coefficient"]): one
        for one in json.loads(capsys.readouterr().out)["results"]
    }
    for step in made.steps:
        for mine in (step.found, step.percent):
            theirs = told[step.step.id, mine.coefficient]
            assert (theirs["value"], theirs["low"], theirs["high"]) == (
                mine.value,
                mine.low,
                mine.high,
            )


def test_the_table_of_figures_has_a_row_for_each(made: Review) -> None:
    heads, *rows = estimates_table(made)
    assert len(rows) >= 2 * len(made.steps) + 3
    assert all(len(row) == len(heads) for row in rows)
    assert not any("nan" in cell.casefold() for row in rows for cell in row)


def test_it_can_be_stopped_and_tells_how_far_it_is(busy: Logbook) -> None:
    (condition,) = conditions(busy)
    seen: list[tuple[int, int]] = []

    def tick(done: int, total: int) -> None:
        seen.append((done, total))
        if done == 3:
            raise Stopped("Stopped.")

    with pytest.raises(Stopped):
        gather(busy, condition, tick=tick)
    assert seen == [(0, 12), (1, 12), (2, 12), (3, 12)]


def test_an_empty_review_says_what_would_help(tmp_path: Path) -> None:
    machine = RehearsalMachine("2026-03-02T09:00:00.000+00:00")
    with open_logbook(tmp_path / "l.observe", create=True, machine=machine) as logbook:
        assert conditions(logbook) == ()
        plan_some(logbook, workshops=1, learners=3)
        (condition,) = conditions(logbook)
        gathered = gather(logbook, condition)
        assert "3 planned second looks" in what_would_help(gathered)
        made = review(gathered)
        assert all(one.found.value is None for one in made.steps)
        assert made.totals.points == ()
        watch_all(logbook, 1)
        few = what_would_help(gather(logbook, condition))
        assert few.startswith("3 attempts seen by two")
