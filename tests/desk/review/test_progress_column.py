"""What is shown of learners over time: where each stands, and what the charts were drawn with."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.desk.review.progress_column import (
    ProgressColumn,
    cusum_course,
    learning_course,
    row_of,
)
from observe.desk.theme import Skin
from observe.standards.retest import Attempt
from observe.work.file_progress import Asked, Progress, Series, progress
from observe.work.progress_logbook import SealedAttempt
from observe.work.retest import Retest

LAST = SealedAttempt(
    "Ada",
    "lp",
    Attempt("2026-03-09", passed=False),
    41.0,
    "Remediate",
    Retest("2026-04-02", "room 2", "o1"),
)
FIRST = SealedAttempt("Ada", "lp", Attempt("2026-03-02", passed=None), 70.0, "Undecided", None)
TOLD = {("Ada", "lp"): (LAST, FIRST)}


def of(*outcomes: bool | None, asked: Asked | None = None) -> Progress:
    attempts = tuple(
        Attempt(f"2026-03-{day:02}", passed) for day, passed in enumerate(outcomes, start=1)
    )
    return progress([Series("Ada", "lp", attempts)], asked or Asked(limit=1.0))


@pytest.mark.parametrize(
    ("outcomes", "said"),
    [
        ((None,), "no decision"),
        ((False, True), "pass"),
        ((False, False, False), "remediate, too many failures"),
        ((True,) * 6, "pass, competence shown"),
        ((True,) * 6 + (False,) * 9, "remediate, competence shown, too many failures"),
    ],
)
def test_a_row_says_where_a_learner_stands(outcomes: tuple[bool | None, ...], said: str) -> None:
    (one,) = of(*outcomes).learners
    if "shown, too" in said:
        assert one.chart.lower is None
    assert row_of(one).state == said


@given(st.lists(st.sampled_from([True, False, None]), max_size=20))
def test_marks_are_of_every_attempt_and_steps_have_a_place_on_the_charts(
    outcomes: list[bool | None],
) -> None:
    made = of(*outcomes)
    (one,) = made.learners
    assert row_of(one).marks == tuple(outcomes)
    for course in (cusum_course(one, made.design), learning_course(one, made.learning)):
        assert course.passed == tuple(each for each in outcomes if each is not None)
        assert len(course.values) == len(course.passed)


def test_a_chart_prints_what_it_was_drawn_with() -> None:
    made = of(False, True, asked=Asked(acceptable=0.1, unacceptable=0.2))
    (one,) = made.learners
    # s and the lines for 0.1, 0.2, 0.1, 0.1 by the formulas of Bolsin and Colson (2000).
    assert cusum_course(one, made.design).design == (
        "Failures of 10 % against 20 %, α 0.1, β 0.1, s 0.145, lines at +2.71 and −2.71."
    )
    assert (
        "% of those who fail 20 % within 50 attempts" in learning_course(one, made.learning).design
    )
    assert "more successes needed in a row" in cusum_course(one, made.design).sentence
    given_limit = of(True)
    (one,) = given_limit.learners
    assert learning_course(one, given_limit.learning).design == "Limit 1.00, as it was given."


def test_attempts_stand_by_date_with_the_day_agreed(skin: Skin) -> None:
    series = Series("Ada", "lp", tuple(one.attempt for one in TOLD["Ada", "lp"]))
    column = ProgressColumn(skin)
    column.show_progress(progress([series], Asked(limit=1.0)), TOLD, ("", ""))
    assert [line.spoken for line in column.attempts.list.lines] == [
        "2026-03-02, 70.0 %, Undecided (no decision)",
        "2026-03-09, 41.0 %, Remediate",
    ]
    assert column.attempts.foot == (
        "Remediate by the policy “last” over 1 attempt. "
        "To show it again: 2026-04-02, room 2, as agreed."
    )
    assert "Not estimable: 0 retests" in column.learners.accessibleName()


def test_with_nothing_to_show_it_says_why(skin: Skin) -> None:
    column = ProgressColumn(skin)
    column.show_progress(None, {}, ("Nothing is sealed.", "Seal it."))
    assert column.learners.accessibleName() == "Learners. Nothing is sealed. Seal it."
    assert column.attempts.list.lines == ()
