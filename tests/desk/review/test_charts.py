"""Charts over time: every value and line in words, and places on the axes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from observe.desk import paint
from observe.desk.review.charts import Course, CoursePanel, Limit, MasteryPanel, segment
from observe.desk.theme import Skin
from observe.standards.mastery import mastery

EMPTY = ("Nothing yet.", "Seal an attempt.")
COURSE = Course(
    (0.8, 1.7, 1.5),
    (False, False, True),
    (Limit(2.0, "unacceptable"), Limit(-2.0, "acceptable")),
    "Ada: cannot be shown yet.",
    "Failures of 10 % against 25 %.",
)


@pytest.fixture
def parent(qtbot: QtBot) -> QWidget:
    widget = QWidget()
    qtbot.addWidget(widget)
    return widget


def test_a_course_is_read_out_whole(skin: Skin, parent: QWidget) -> None:
    panel = CoursePanel(skin, parent, "CUSUM")
    panel.show_course(COURSE, EMPTY)
    said = panel.accessibleName()
    assert said.startswith("CUSUM. Ada: cannot be shown yet.")
    assert "unacceptable at +2.0, acceptable at −2.0" in said
    assert "1 fail +0.8, 2 fail +1.7, 3 pass +1.5" in said


def test_without_an_attempt_a_course_says_why(skin: Skin, parent: QWidget) -> None:
    panel = CoursePanel(skin, parent, "CUSUM")
    panel.show_course(None, EMPTY)
    assert panel.accessibleName() == "CUSUM. Nothing yet. Seal an attempt."


@pytest.mark.parametrize("size", [(300, 260), (420, 300), (700, 420)])
@pytest.mark.parametrize("many", [3, 40])
def test_every_text_of_a_chart_has_its_place(
    skin: Skin, parent: QWidget, size: tuple[int, int], many: int, misfits: list[paint.Misfit]
) -> None:
    course = Course(
        tuple(0.1 * place for place in range(many)),
        (True,) * many,
        COURSE.limits,
        COURSE.sentence,
        COURSE.design,
    )
    panel = CoursePanel(skin, parent, "CUSUM")
    panel.resize(*size)
    panel.show_course(course, EMPTY)
    panel.grab()
    cohort = MasteryPanel(skin, parent)
    cohort.resize(*size)
    cohort.show_cohort(mastery([[False] * many + [True], [True], [False]]), EMPTY)
    cohort.grab()
    assert misfits == []


def test_a_cohort_is_read_out(skin: Skin, parent: QWidget) -> None:
    panel = MasteryPanel(skin, parent)
    panel.show_cohort(mastery([[True], [False, True], [False]]), EMPTY)
    assert "attempt 1: 3 tried, 1 passed first, 33 % by now, 5 to 95 %" in panel.accessibleName()
    assert panel.accessibleName().endswith("100 % by now, no interval.")


@given(
    st.tuples(st.floats(-500, 500), st.floats(-500, 500)),
    st.tuples(st.floats(-500, 500), st.floats(-500, 500)),
)
def test_a_stroke_runs_from_place_to_place(
    start: tuple[float, float], end: tuple[float, float]
) -> None:
    first, second, third, fourth = segment(start, end, 2).points
    for one, other, place in ((first, fourth, start), (second, third, end)):
        middle = ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)
        assert middle == pytest.approx(place, abs=1e-6)
