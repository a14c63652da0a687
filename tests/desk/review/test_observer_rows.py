"""Observers on one axis: round ends, every interval inside, every row in words."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.desk.review import observer_rows
from observe.desk.review.observer_rows import ObserverRows, sentences, spoken
from observe.desk.theme import Skin
from observe.work.file_severity import Asked, Score, SeverityStudy, severity_of
from observe.work.severity_logbook import Habits

SCORES = [
    Score(f"learner {place}", who, 60 + 3 * (place % 3) + shift * (1 + place % 2), (place, ""))
    for place in range(8)
    for who, shift in (("Ada", -2.0), ("Bo", 1.5))
]


@pytest.fixture
def study() -> SeverityStudy:
    return severity_of(SCORES, Asked(), ordered=True)


@given(st.floats(0.01, 100))
def test_the_axis_has_few_round_ticks_beyond_what_it_must_hold(most: float) -> None:
    step = observer_rows._step(most)
    assert f"{step:g}".strip("0.")[0] in "125"
    assert most <= 4 * step
    assert most > step or step <= 1


def test_every_interval_lies_on_the_axis(skin: Skin, study: SeverityStudy) -> None:
    rows = ObserverRows(skin)
    rows.show_study(study, {}, ("", ""))
    for one in rows.ordered:
        assert one.effect.low is not None
        assert one.effect.high is not None
        assert rows.axis.start <= one.effect.low <= one.effect.high <= rows.axis.end
    assert 0 in rows.axis.ticks
    assert [one.effect.observer for one in rows.ordered] == ["Ada", "Bo"]


def test_a_row_says_its_figures_and_how_records_were_entered(study: SeverityStudy) -> None:
    ada = study.observers[0]
    assert spoken(ada).startswith("Ada: −")
    assert "8 scores, 8 learners shared" in spoken(ada)
    drift, contrast, entered = sentences(ada, {"Ada": Habits(8, 2, 1)})
    assert drift.startswith("Drift: ")
    assert contrast.startswith("Contrast: ")
    assert entered.startswith("Of 8 records, 2 had all dimensions rated alike, and 1 had")
    assert len(sentences(ada, {})) == 2


def test_without_a_study_it_says_why(skin: Skin) -> None:
    rows = ObserverRows(skin)
    rows.show_study(None, {}, ("Nothing is sealed.", "Seal it."))
    assert rows.accessibleName().endswith("Nothing is sealed. Seal it.")
    assert rows.needed(800) > 0
