"""A director's report counts every planned attempt once, and says what the verbs say."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from observe.domain.troubles import BadInput, Stopped
from observe.work.debrief import attempt_result
from observe.work.demo import cast
from observe.work.demo.term import AFTERNOONS, LEARNERS, LOOKS, SEATS, play_term
from observe.work.logbooks import Logbook, open_logbook
from observe.work.quality import quality
from observe.work.quality_logbook import records_in
from observe.work.report import report
from observe.work.report_figures import Question, Report
from observe.work.reviewing import conditions, gather, review
from observe.work.standard_tables import Wanted


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("report") / "term.observe"
    play_term(made, tick=lambda _done, _total: None)
    return made


@pytest.fixture(scope="module")
def term(path: Path) -> Iterator[Logbook]:
    with open_logbook(path, read_only=True) as logbook:
        yield logbook


@pytest.fixture(scope="module")
def made(term: Logbook) -> Report:
    return report(term, Question(""))


def test_every_planned_attempt_is_counted_once(made: Report, term: Logbook) -> None:
    assert made.attempts.total == AFTERNOONS * SEATS
    assert made.second.total == AFTERNOONS * LOOKS
    assert made.learners == len(LEARNERS)
    assert len(made.workshops) == AFTERNOONS
    outcomes = [
        result.outcome.value
        for workshop in term.workshops().values()
        for seat in workshop.seats
        if (result := attempt_result(term, workshop, seat)).outcome is not None
    ]
    counted = {kind.lower(): count for kind, count in made.attempts.cells}
    for outcome in set(outcomes):
        assert counted[outcome] == outcomes.count(outcome)
    for line in made.lines:
        assert line.total == len(outcomes)


def test_agreement_is_that_of_the_review(made: Report, term: Logbook) -> None:
    (condition,) = conditions(term)
    other = review(gather(term, condition))
    assert made.decided[0].value == other.decided.value
    assert made.decided[0].low == other.decided.low
    assert made.scores.value == other.totals.reliability.value
    found = {one.number: one for one in made.steps}
    for row in other.steps:
        assert found[row.number].found.value == row.found.value
        assert found[row.number].percent.value == row.percent.value
        assert found[row.number].counts.total == made.second.total


def test_the_quality_of_the_form_is_that_of_its_own_verb(made: Report, path: Path) -> None:
    records = records_in(path, Wanted(variant="side-lying")).records
    alone = quality(records)
    common = quality(
        [
            type(one)(
                one.learner,
                {
                    k: v
                    for k, v in one.credits.items()
                    if k != "LPX-22" and not k.startswith("LPX-06")
                },
                one.grade,
                one.observer,
                one.score,
            )
            for one in records
        ]
    )
    assert made.quality.scored == alone.scored
    assert alone.grades is not None
    assert made.quality.r_squared == pytest.approx(alone.grades.r_squared)
    assert made.quality.alpha is not None
    assert made.quality.alpha.value == pytest.approx(common.alpha.value)


def test_nobody_is_named(made: Report) -> None:
    text = json.dumps(made.as_record(), allow_nan=False, ensure_ascii=False)
    people = [one.name for one in (*LEARNERS, cast.MARSH, cast.LINDGREN, cast.RAO)]
    assert not [name for name in people if name in text]


def test_all_fifteen_items_of_the_guideline_stand_in_order(made: Report) -> None:
    assert [one.number for one in made.items] == list(range(1, 16))
    assert all(one.text or one.wanted for one in made.items)


def test_days_are_chosen_and_those_that_are_none_refused(term: Logbook) -> None:
    some = report(term, Question("", since="2026-04-07", until="2026-04-14"))
    assert [day for day, _ in some.workshops] == ["2026-04-07", "2026-04-14"]
    assert some.attempts.total == 2 * SEATS
    for asked, where in (
        (Question("", since="7 April"), "--since"),
        (Question("", since="2027-01-01"), "2027-01-01"),
        (Question("suturing"), "--form"),
    ):
        with pytest.raises(BadInput) as caught:
            report(term, asked)
        assert where in caught.value.where


def test_it_can_be_stopped(term: Logbook) -> None:
    def tick(done: int, total: int) -> None:
        del total
        if done:
            raise Stopped("Stopped.")

    with pytest.raises(Stopped):
        report(term, Question(""), tick=tick)


def test_an_empty_logbook_is_refused(tmp_path: Path) -> None:
    with (
        open_logbook(tmp_path / "l.observe", create=True) as logbook,
        pytest.raises(BadInput, match="No workshop"),
    ):
        report(logbook, Question(""))
